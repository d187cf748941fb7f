"""A file of receipts or hours to entries of a build: read, laid out, taken over, and checked as a build is."""

from collections.abc import Container, Iterable, Iterator, Mapping, Sequence
from contextlib import suppress

import msgspec
from msgspec import Struct

from hitchworth import validation
from hitchworth.localization.locales import resolve_locale
from hitchworth.model.build import Build
from hitchworth.model.document import Document
from hitchworth.model.entry import Component, Labor
from hitchworth.model.fault import Fault
from hitchworth.model.receipt_import import ImportSettings, ReceiptImport
from hitchworth.reference.currencies import exponent_of
from hitchworth.reference.receipt_words import LANGUAGES, Language
from hitchworth.workbooks.calendar import is_calendar, read_calendar
from hitchworth.workbooks.cells import cell_place, cell_text, column_name
from hitchworth.workbooks.currencies import currency_of, tell_unnamed_currency
from hitchworth.workbooks.findings import Findings
from hitchworth.workbooks.hours import read_labor
from hitchworth.workbooks.layout import Layout, find_layout, with_known_fields
from hitchworth.workbooks.reading import read_tables
from hitchworth.workbooks.receipts import Destination, Imported, read_components
from hitchworth.workbooks.rows import Rows
from hitchworth.workbooks.table import MAX_ROWS, TOO_MANY_ROWS, Source, UnreadableFileError

_FIELD_SOURCES = {
    "unit_cost": ("unit_cost", "amount", "gross", "price", "credit"),
    "hours": ("hours", "start", "end"),
    "exchange_rate": ("exchange_rate", "currency", "unit_cost", "amount", "gross", "price"),
}
"""The columns from which a field may come."""
FIELD_OPTIONS = {
    "exchange_rate": "; for all rows in it: --set exchange_rate=RATE, or a column with the header exchange_rate"
}
"""What a fault of a field adds: how to say it for all rows."""

_BY_NAME = ("columns", "constants", "categories")
"""The settings that say something by name: kept ones are completed, not replaced."""
_CORRECTIONS = (
    *(*_BY_NAME, "fill_down", "evidence_grade", "tax_in_amount", "difference"),
    *("date_order", "decimal_mark", "sign", "currency"),
)
"""The settings that change what a row becomes, and not which rows are read."""


class KeptSettings(Struct, frozen=True, forbid_unknown_fields=True):
    """How files with certain headers were read."""

    headers: tuple[str, ...]
    settings: ImportSettings
    left_out: tuple[str, ...] = ()
    """The rows that were left out, by what stands in them."""
    freight: tuple[str, ...] = ()
    """The rows that were declared to be freight, in the same way."""
    ids: dict[str, str] = {}
    """The ids of the entries that rows have become, by what stands in the row."""


class Reading(Struct, frozen=True):
    """A file as it was read."""

    answer: ReceiptImport
    contents: dict[int, str]
    """What stands in each row that is not empty, counted from 1: by this a row is known again in any reading."""

    @property
    def ids(self) -> dict[str, str]:
        """The ids of the entries that rows became, by content."""
        return {self.contents[row.row]: row.id for row in self.answer.rows if row.id is not None}

    def kept_in(self, kept: Sequence[KeptSettings]) -> KeptSettings | None:
        """Return what was kept of files with its headers; null where nothing was."""
        headers = tuple(column.header for column in self.answer.columns)
        return next((each for each in kept if each.headers == headers), None)


def completed(declared: ImportSettings, kept: ImportSettings) -> ImportSettings:
    """Return the declared settings, completed by kept ones."""
    default = ImportSettings()
    names = (name for name in ImportSettings.__struct_fields__ if getattr(declared, name) == getattr(default, name))
    left_out = {name: getattr(kept, name) for name in names}
    merged = {name: getattr(kept, name) | getattr(declared, name) for name in _BY_NAME}
    return msgspec.structs.replace(declared, **{**left_out, **merged})


def ids_of(build: Build) -> frozenset[str]:
    """Return the ids of the lines of a build."""
    return frozenset((*(part.id for part in build.components), *(entry.id for entry in build.labor)))


def headers_of(layout: Layout) -> tuple[str, ...]:
    """Return the headers by which a layout is known again: those of the columns that are not empty."""
    return tuple(column.header for column in layout.imported_columns())


def import_receipts(
    content: bytes | Source, declared: ImportSettings, locale: str, build: Build | None = None
) -> ReceiptImport:
    """Return what a file becomes in a build, or what was read of one already.

    Raises UnreadableFileError and InvalidInputError as read_file does.
    """
    return read_file(content, declared, locale, build).answer


def read_file(
    content: bytes | Source,
    declared: ImportSettings,
    locale: str,
    build: Build | None = None,
    kept: Sequence[KeptSettings] = (),
    *,
    earlier_ids: Mapping[str, str] | None = None,
) -> Reading:
    """Return what a file becomes in a build, or what was read of one already, with the content of its rows.

    `build`: what it is imported into; its refunds may take back what is there already. `kept`: how files with certain
    headers were read before; what is not declared is taken from there, and rows that were left out are again.
    `earlier_ids`: the ids of entries that earlier imports made of rows, by their content.

    Raises UnreadableFileError for a file that cannot be read, and InvalidInputError with every fault, by its cell.
    """
    findings = Findings()
    declared = with_known_fields(declared)
    if declared.currency is not None and exponent_of(declared.currency) is None:
        findings.declared("Not a currency", "an ISO 4217 code such as USD or EUR", declared.currency)
        raise validation.InvalidInputError(findings.faults)
    layout, settings = _layout(content, declared, findings)
    before = next((each for each in kept if layout is not None and each.headers == headers_of(layout)), None)
    if before is not None:
        findings = Findings()
        layout, settings = _layout(content, with_known_fields(completed(declared, before.settings)), findings)
    contents = _contents(layout)
    ids: Mapping[str, str] = {}
    if before is not None:
        ids = {text: name for text, name in before.ids.items() if build is not None and name in ids_of(build)}
        settings = msgspec.structs.replace(
            settings,
            leave_out=(*settings.leave_out, *_again(before.left_out, contents, declared)),
            freight=(*settings.freight, *_again(before.freight, contents, declared)),
        )
    if findings.faults:
        raise validation.InvalidInputError(findings.faults)
    if layout is None:
        nothing = ReceiptImport(
            locale=resolve_locale(locale).formats,
            settings=settings,
            columns=(),
            components=(),
            labor=(),
            rows=(),
            guesses=(),
            questions=tuple(findings.questions),
            notes=tuple(findings.notes),
        )
        return Reading(nothing, {})
    build_currency = build.currency if build and (build.components or build.labor) else None
    known = build.components if build else ()
    currency, is_named = currency_of(layout, settings, locale, build_currency, findings)
    by_content = {**(earlier_ids or {}), **ids}
    by_row = {row - 1: by_content[text] for row, text in contents.items() if text in by_content}
    rows = Rows(layout, settings, findings, by_row)
    if not is_named:
        tell_unnamed_currency(rows, currency)
    is_labor = layout.kind == "labor"
    target = Destination(build_currency or currency, known, _own_categories(build))
    worked = frozenset(entry.id for entry in build.labor) if build else frozenset()
    imported = (
        read_labor(rows, currency, worked) if is_labor else read_components(rows, currency, _language(locale), target)
    )
    if findings.questions:
        return Reading(_answer(findings, locale, layout, imported), contents)
    if len(imported.entries) > MAX_ROWS:
        raise UnreadableFileError(TOO_MANY_ROWS)
    part = _checked(rows, imported, target)
    return Reading(_answer(findings, locale, layout, imported, part), contents)


def _contents(layout: Layout | None) -> dict[int, str]:
    """Return what stands in each row that is not empty, by its number; the same once more has a number behind it."""
    contents: dict[int, str] = {}
    seen: dict[str, int] = {}
    if layout is None:
        return contents
    for row in layout.rows:
        text = " | ".join(filter(None, map(cell_text, layout.table.rows[row])))
        if text:
            seen[text] = seen.get(text, 0) + 1
            contents[row + 1] = text if seen[text] == 1 else f"{text} | #{seen[text]}"
    return contents


def _again(kept: Sequence[str], contents: Mapping[int, str], declared: ImportSettings) -> Iterator[int]:
    """Yield the rows of which was kept what they are, but those of which it is declared now."""
    known = frozenset(kept)
    told = frozenset((*declared.leave_out, *declared.freight))
    return (row for row, text in contents.items() if text in known and row not in told)


def with_file(
    kept: Sequence[KeptSettings], reading: Reading, declared: ImportSettings, ids: Container[str]
) -> tuple[KeptSettings, ...]:
    """Return the kept settings with those of a file, which take the place of others with the same headers.

    What holds for one file only is not kept by its numbers of rows, but by what stands in them. `ids`: of all entries
    of the document.
    """
    headers = tuple(column.header for column in reading.answer.columns)
    settings = msgspec.structs.replace(
        reading.answer.settings, refunds={}, leave_out=(), freight=(), sheet=None, header_row=None, words=None
    )
    before = reading.kept_in(kept) or KeptSettings(headers, settings)
    now = frozenset(reading.ids.values())
    left_out, freight = (
        tuple(reading.contents[row] for row in rows if row in reading.contents)
        for rows in (declared.leave_out, declared.freight)
    )
    after = KeptSettings(
        headers,
        settings,
        left_out=tuple(dict.fromkeys((*(text for text in before.left_out if text not in freight), *left_out))),
        freight=tuple(dict.fromkeys((*(text for text in before.freight if text not in left_out), *freight))),
        ids={text: name for text, name in before.ids.items() if name in ids and name not in now} | reading.ids,
    )
    return (*(each for each in kept if each.headers != headers), after)


def earlier_readings(
    content: bytes,
    declared: ImportSettings,
    locale: str,
    build: Build,
    kept: Sequence[KeptSettings] = (),
) -> Iterator[Reading]:
    """Yield how a file reads without what was declared now: with what was kept of the same names, and without it.

    By these it is known which entry of the build an import made of a row, what it gave it, and what a person has
    changed since. A reading that needs what was declared is not there.
    """
    if not (build.components or build.labor):
        return
    declared = with_known_fields(declared)
    default = ImportSettings()
    given = [name for name in _CORRECTIONS if getattr(declared, name) != getattr(default, name)]
    is_selected = bool(declared.leave_out or declared.freight or declared.words)
    if not given and not is_selected and not declared.refunds:
        return
    plain = msgspec.structs.replace(declared, **{name: getattr(default, name) for name in given})
    ways = [plain, msgspec.structs.replace(plain, leave_out=(), freight=(), words=None)] if is_selected else [plain]
    if declared.refunds:  # without the answers of now, the build says what a refund took back
        refunds = tuple(int(row) for row in declared.refunds if row.isdecimal())
        unanswered = [msgspec.structs.replace(each, refunds={}) for each in ways]
        before = [msgspec.structs.replace(each, leave_out=(*each.leave_out, *refunds)) for each in unanswered]
        ways += unanswered + before
    without = tuple(msgspec.structs.replace(each, settings=_without(each.settings, declared, given)) for each in kept)
    for way in ways:
        for known in (kept, without) if without != tuple(kept) else (kept,):
            try:
                yield read_file(content, way, locale, build, known)
            except validation.InvalidInputError as error:
                rows = {place[0] + 1 for fault in error.faults if (place := _place(fault)) is not None}
                needed = tuple(row for row in declared.leave_out if row in rows)
                if way.leave_out == () and needed:  # some of the rows can only be left out, also before
                    with suppress(validation.InvalidInputError):
                        yield read_file(content, msgspec.structs.replace(way, leave_out=needed), locale, build, known)


def _place(fault: Fault) -> tuple[int, int] | None:
    return cell_place((fault.cell or "").rpartition("!")[2])


def _without(settings: ImportSettings, declared: ImportSettings, names: Iterable[str]) -> ImportSettings:
    """Return settings without what was declared of the same name."""
    default = ImportSettings()
    left: dict[str, object] = {}
    for name in names:
        if name in _BY_NAME:
            given = getattr(declared, name)
            left[name] = {key: value for key, value in getattr(settings, name).items() if key not in given}
        else:
            left[name] = getattr(default, name)
    return msgspec.structs.replace(settings, **left)


def _layout(
    content: bytes | Source, settings: ImportSettings, findings: Findings
) -> tuple[Layout | None, ImportSettings]:
    """Return the layout of the file, and the settings with what was recognized of the file itself."""
    if isinstance(content, Source):
        source = content
    elif is_calendar(content):
        source, settings = read_calendar(content, settings, findings)
    else:
        source = read_tables(content, settings.encoding, settings.delimiter)
    if source.encoding == "cp1252" and settings.encoding is None:
        findings.note("read_as_windows_1252")
    layout = find_layout(source, settings, findings)
    recognized = msgspec.structs.replace(
        settings,
        encoding=source.encoding,
        delimiter=source.delimiter,
        sheet=layout.table.name or None if layout else settings.sheet,
    )
    if layout is None:
        return None, recognized
    columns = {
        match.header if match.header and layout.headers.count(match.header) == 1 else column_name(place): match.field
        for place, match in layout.matches.items()
    }
    head = 0 if layout.head is None else settings.header_row
    return layout, msgspec.structs.replace(
        recognized, kind=layout.kind, columns=settings.columns | columns, header_row=head
    )


def _own_categories(build: Build | None) -> frozenset[str]:
    """Return the names of categories that a build has beside those of the published schedules."""
    if build is None:
        return frozenset()
    return frozenset((*(part.category for part in build.components), *build.schedules))


def _language(locale: str) -> Language:
    language = resolve_locale(locale).texts.partition("-")[0]
    return next((known for known in LANGUAGES if known == language), "en")


def _checked(rows: Rows, imported: Imported, target: Destination) -> tuple[Component, ...] | tuple[Labor, ...]:
    """Return the entries as records. Raises InvalidInputError with the faults of the cells and of the entries."""
    is_labor = rows.layout.kind == "labor"
    read_again = {entry["id"] for entry in imported.entries}
    before = [msgspec.to_builtins(part) for part in target.components if part.id not in read_again and not is_labor]
    build = {
        "name": "-",
        "currency": target.currency,
        "labor" if is_labor else "components": [*before, *imported.entries],
    }
    faults = list(rows.findings.faults)
    try:
        document = validation.read(msgspec.json.encode({"build": build}), Document)
    except validation.InvalidInputError as error:
        faults += (found for fault in error.faults for found in _in_cells(fault, rows, imported, len(before)))
        raise validation.InvalidInputError(faults or error.faults) from None
    if faults:
        raise validation.InvalidInputError(faults)
    return document.build.labor if is_labor else document.build.components[len(before) :]


def _in_cells(fault: Fault, rows: Rows, imported: Imported, before: int) -> Iterator[Fault]:
    """Yield a fault for each of its places, with its cell; where a cell has a fault of its own, that is enough."""
    for pointer in (fault.pointer, *fault.also_at):
        index, _, field = pointer.removeprefix("/build/").partition("/")[2].partition("/")
        if index.isdecimal() and int(index) >= before:
            row = imported.sources[int(index) - before]
            sources = _FIELD_SOURCES.get(field, (field,))
            column = next((rows.layout.columns[source] for source in sources if source in rows.layout.columns), 0)
            if not rows.findings.is_told(row, column):
                cell = rows.findings.cell(row, column)
                option = FIELD_OPTIONS.get(field, "")
                yield msgspec.structs.replace(
                    fault, pointer="", cell=cell, also_at=(), expected=f"{fault.expected}{option}"
                )


def _answer(
    findings: Findings,
    locale: str,
    layout: Layout,
    imported: Imported,
    part: tuple[Component, ...] | tuple[Labor, ...] = (),
) -> ReceiptImport:
    """Return the answer; without entries as long as questions are open."""
    return ReceiptImport(
        locale=resolve_locale(locale).formats,
        settings=imported.settings,
        columns=layout.imported_columns(),
        components=tuple(each for each in part if isinstance(each, Component)),
        labor=tuple(each for each in part if isinstance(each, Labor)),
        rows=imported.rows,
        guesses=tuple(findings.guesses) if part else (),
        questions=tuple(findings.questions),
        notes=tuple(findings.notes),
    )
