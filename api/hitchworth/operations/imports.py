"""Imports: files of receipts or hours in; components and labor of a build out.

The docstrings of the functions are the descriptions of the API.
"""

from collections.abc import Mapping, Sequence
from typing import Annotated

from msgspec import Meta
from msgspec.structs import replace

from hitchworth.localization.localize import localize
from hitchworth.model.document import Document, Locale
from hitchworth.model.receipt_import import ImportSettings, ReceiptImport
from hitchworth.operations.documents import canonical, read_document
from hitchworth.workbooks.findings import Findings
from hitchworth.workbooks.imports import (
    KeptSettings,
    Reading,
    earlier_readings,
    ids_of,
    import_receipts,
    read_file,
    with_file,
)
from hitchworth.workbooks.merging import Correction, ImportAddition, name_of, with_imported
from hitchworth.workbooks.recognition import Known, recognize
from hitchworth.workbooks.table import MAX_ROWS, UnreadableFileError

__all__ = [
    "Correction",
    "ImportAddition",
    "KeptSettings",
    "UnreadableFileError",
    "create_receipt_import",
    "import_into",
]

ReadingSettings = Annotated[
    ImportSettings | None,
    Meta(
        description="How the file is to be read, as JSON: the settings of an earlier answer, or single ones that a "
        "question asks for. What is left out is recognized."
    ),
]
TextLocale = Annotated[
    Locale,
    Meta(
        description="Language of the texts, in which words for categories are looked up first, and the currency where "
        "the file names none.",
        examples=["en-US"],
    ),
]


def create_receipt_import(
    request: bytes, settings: ReadingSettings = None, locale: TextLocale = "en-US"
) -> ReceiptImport:
    """Read a file of receipts or hours.

    CSV, XLSX or ODS with a row for each purchase or for each work, or a calendar (iCalendar) with an event for each
    work; the file is the body. The columns are found by their headers and by what stands in them; what the file does
    not decide is a question, with the readings that there are, and until it is answered nothing is taken over. A row
    that is read in the same way has the same id again, so a caller sends the settings of the first answer and adds the
    entries whose ids its build does not have. Other columns for the day, the amount, the supplier, the description or
    the receipt number give other ids: then the entries take the place of the earlier ones. A fault names its cell.
    """
    return localize(import_receipts(request, settings or ImportSettings(), locale), locale)


def import_into(
    content: bytes,
    settings: ImportSettings,
    document: Document,
    kept: Sequence[KeptSettings] = (),
    *,
    lines: Mapping[str, str] | None = None,
) -> tuple[ReceiptImport, ImportAddition | None, tuple[KeptSettings, ...]]:
    """Read a file of receipts or hours and add to a document what it does not have yet, and what the settings correct.

    An entry that is there already takes what is declared now, unless a person has changed it since it was imported; one
    whose row is declared to be left out is removed. A row is known again by what stands in it, whatever its columns are
    now taken for. A row that was corrected in the file is known by the rest of it, or is asked about. Returned too:
    what is to be kept for the next file with these headers.

    A build without any line takes the currency of the file. With open questions there is no addition.
    `kept`: how files with certain headers were read before. `lines`: which lines of the document rows are, by number.
    Raises UnreadableFileError, and InvalidInputError with the faults of the file, or of the document with it.
    """
    build = document.build
    earlier = tuple(earlier_readings(content, settings, document.locale, build, kept))
    ids: dict[str, str] = {}
    there = ids_of(build)
    for each in earlier:
        for row in each.answer.rows:
            if row.id is not None and row.id in there:
                ids.setdefault(each.contents[row.row], row.id)
    reading = read_file(content, settings, document.locale, build, kept, earlier_ids=ids)
    imported = localize(reading.answer, document.locale)
    if imported.questions:
        return imported, None, tuple(kept)
    findings = Findings()
    recognized = recognize(build, imported, _known(reading, ids, kept, lines or {}), findings)
    if findings.questions:
        asked = replace(reading.answer, components=(), labor=(), guesses=(), questions=tuple(findings.questions))
        return localize(asked, document.locale), None, tuple(kept)
    if recognized.ids:
        ids |= {reading.contents[row]: name for row, name in recognized.ids.items()}
        reading = read_file(content, settings, document.locale, build, kept, earlier_ids=ids)
        imported = localize(reading.answer, document.locale)
    if not (build.components or build.labor) and imported.settings.currency is not None:
        document = replace(document, build=replace(build, currency=imported.settings.currency))
    rows = {reading.contents.get(row) for row in (*settings.leave_out, *settings.freight)}
    no_entries = {name for text, name in ids.items() if text in rows}
    addition = with_imported(
        document,
        imported,
        [each.answer for each in earlier],
        left_out=no_entries,
        recognized=frozenset(recognized.ids.values()),
    )
    names = {part.id: name_of(part) for part in build.components} | {each.id: name_of(each) for each in build.labor}
    addition = replace(addition, missing=tuple(names[name] for name in recognized.missing))
    _refuse_too_many(addition.document)
    addition = replace(addition, document=read_document(canonical(addition.document)))
    return imported, addition, with_file(kept, reading, settings, ids_of(addition.document.build))


def _known(
    reading: Reading, earlier: Mapping[str, str], kept: Sequence[KeptSettings], lines: Mapping[str, str]
) -> Known:
    """Return what is known of a file: by earlier readings of it, by what was kept of its headers, by answers."""
    before = reading.kept_in(kept)
    by_content = {**earlier, **(before.ids if before else {})}
    claimed = frozenset(by_content[text] for text in reading.contents.values() if text in by_content)
    return Known(claimed=claimed, ids=frozenset(before.ids.values()) if before else None, answers=lines)


def _refuse_too_many(document: Document) -> None:
    """Raise UnreadableFileError when a document would have more lines than a build can have."""
    for what, lines in (("parts", document.build.components), ("entries of labor", document.build.labor)):
        if len(lines) > MAX_ROWS:
            raise UnreadableFileError(
                f"With this file the document would have {len(lines):,} {what}; a build has at most {MAX_ROWS:,}. "
                "Leave out what is not needed, or put several small purchases in one row."
            )
