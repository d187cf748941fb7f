"""A workbook as a document: sheets found by their names or their headers, read through the columns, put together.

The result is plain values as JSON has them. `validation` finds what is wrong with them; the places say in which cell.
"""

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date
from decimal import Decimal
from functools import cache
from itertools import count
from typing import Any

import msgspec
from msgspec import Struct

from hitchworth.localization.locales import available
from hitchworth.localization.localizer import localizer_for
from hitchworth.localization.texts import texts
from hitchworth.model.fault import Fault
from hitchworth.reference.facts import FactDefinition, vocabulary
from hitchworth.reference.words import words_of
from hitchworth.workbooks.cell_faults import faults_in_cells
from hitchworth.workbooks.cells import Cell, Unreadable, cell_name
from hitchworth.workbooks.columns import NAMED_BY, SEPARATOR
from hitchworth.workbooks.document_sheets import FORM, KEYS, LISTS, sheet_name, term_column
from hitchworth.workbooks.hours import hours_of
from hitchworth.workbooks.records import (
    Records,
    as_part,
    code_of,
    headers_of,
    none_words,
    read_form,
    read_records,
    yes_no_of,
)
from hitchworth.workbooks.table import Source, Table
from hitchworth.workbooks.writing import LISTS_SHEET

RESULTS = ("result", "line", "question", "fault")
"""The sheets with what was computed, which are not read."""

_TABLES = (*LISTS, "fact", "further")
_LOCALES = sorted(available(), key=lambda locale: locale != "en-US")
_LONGEST_STEM = 60
"""So many characters of a description make an ID."""
_LEAST_HEADERS = 3
"""A sheet with another name is known by so many headers."""


class ReadDocument(Struct, frozen=True, kw_only=True):
    """What a workbook says."""

    values: dict[str, Any]
    """The document, as JSON has it."""
    kinds: dict[str, str]
    """What each sheet that was read holds, by its name."""
    heads: dict[str, int]
    """The row of the headers of each sheet that was read."""
    faults: tuple[Fault, ...]
    """What is wrong with the cells themselves."""
    unread_sheets: tuple[str, ...]
    unread_columns: tuple[tuple[str, str], ...]
    """Sheet and header."""
    formulas: tuple[str, ...]
    """The cells whose formula counts by its value: Components!E2."""
    sheets: dict[str, Records]
    """The records by the pointer to their array."""
    cells: dict[str, str]
    """Single cells by their pointer."""

    def in_cells(self, faults: Iterable[Fault]) -> tuple[Fault, ...]:
        """Return the faults of the document with the cells in which they are, in words of its locale."""
        return faults_in_cells(faults, self.sheets, self.cells, localizer_for(self.locale))

    @property
    def locale(self) -> str:
        """The locale of its words, as its sheet of the build says, or the names of its sheets."""
        locale = self.values.get("locale")
        return locale if isinstance(locale, str) else "en-US"


def read_workbook(source: Source) -> ReadDocument:
    """Return the document of a workbook, with what is wrong with its cells."""
    return _WorkbookReader(source).read()


class _WorkbookReader:
    """Reads the sheets of one workbook."""

    def __init__(self, source: Source) -> None:
        self._source = source
        self._document: dict[str, Any] = {"build": {}}
        self._kinds: dict[str, str] = {}
        self._heads: dict[str, int] = {}
        self._faults: list[Fault] = []
        self._unread_columns: list[tuple[str, str]] = []
        self._sheets: dict[str, Records] = {}
        self._cells: dict[str, str] = {}

    def read(self) -> ReadDocument:
        """Return what the workbook says."""
        unread = [table.name for table in self._source.tables if table.rows and not self._is_known(table)]
        by_kind = {kind: name for name, kind in self._kinds.items()}
        tables = {table.name: table for table in self._source.tables}
        if "build" in by_kind:
            self._read_form(tables[by_kind["build"]])
        else:
            self._add_missing_build()
        for kind in _TABLES:
            if kind == "further":  # it names lines by their ID
                _name_lines(self._document["build"])
            if kind in by_kind:
                self._read_table(kind, tables[by_kind[kind]])
        self._document.setdefault("locale", self._locale_of_names())
        return ReadDocument(
            values=self._document,
            kinds=self._kinds,
            heads=self._heads,
            faults=tuple(self._faults),
            unread_sheets=(*unread, *self._hidden()),
            unread_columns=tuple(self._unread_columns),
            formulas=tuple(
                cell_name(row, column, name) for name in self._kinds for row, column in tables[name].formulas
            ),
            sheets=self._sheets,
            cells=self._cells,
        )

    def _locale_of_names(self) -> str:
        """Return the locale in which most sheets have their names."""

        def named(locale: str) -> int:
            localizer = localizer_for(locale)
            return sum(1 for name, kind in self._kinds.items() if sheet_name(kind, localizer) == name)

        return max(_LOCALES, key=named)

    def _hidden(self) -> Iterator[str]:
        """Yield the hidden sheets, without our own, which has the words of the drop-down lists."""
        yield from (name for name in self._source.hidden if name != LISTS_SHEET)

    def _is_known(self, table: Table) -> bool:
        """Find what a sheet holds; return whether anything is known about it."""
        kind = _kinds_by_name().get(words_of(table.name)) or _kind_by_headers(table)
        if kind is None or kind in RESULTS:
            return kind is not None
        if kind in self._kinds.values():
            expected = "one sheet of each kind"
            fault = Fault(pointer="", detail="Two sheets hold the same", expected=expected, found=table.name[:60])
            self._faults.append(fault)
        else:
            self._kinds[table.name] = kind
        return True

    def _add_missing_build(self) -> None:
        names = ", ".join(sheet_name(kind, localizer_for("en-US")) for kind in ("build", *_TABLES))
        found = ", ".join(table.name for table in self._source.tables)
        fault = Fault(
            pointer="",
            detail="No sheet describes the trailer",
            expected=f"a sheet named Build, or with its headers in one column; others are {names}",
            found=found[:200],
        )
        self._faults.append(fault)

    def _read_form(self, table: Table) -> None:
        read = {record: read_form(table, record, FORM) for record in FORM}
        for record, records in read.items():
            if records is None:
                continue
            target = self._document["build"] if record == "build" else self._document
            target |= records.values[0] if records.values else {}
            self._faults += records.faults
            self._sheets["/build" if record == "build" else ""] = records
        known = [records for records in read.values() if records is not None]
        self._heads[table.name] = 0
        headings = {words_of(localizer_for(locale).translate(texts().workbook["entry"])) for locale in available()}
        for header in known[0].unknown if known else ():
            if all(header in records.unknown for records in known) and words_of(header) not in headings:
                self._unread_columns.append((table.name, header))

    def _read_table(self, kind: str, table: Table) -> None:
        records = read_records(table, kind)
        if not records.columns or "" in records.columns:
            self._faults += records.faults if any(any(row) for row in table.rows) else ()
            return
        self._heads[table.name] = records.head
        self._unread_columns += [(table.name, header) for header in records.unknown]
        self._faults += _without_questions(records, kind)
        match kind:
            case "fact":
                self._read_facts(records, table)
            case "further":
                self._read_further(records)
            case _:
                values = list(records.values)
                if kind == "answer":
                    values = list(_answers(records, table))
                elif kind == "labor":
                    values = list(_with_hours(records, table))
                *holder, name = LISTS[kind].split(".")
                if values:
                    (self._document["build"] if holder else self._document)[name] = values
                self._sheets[f"/{LISTS[kind].replace('.', '/')}"] = records

    def _read_facts(self, records: Records, table: Table) -> None:
        """Read the facts that have a value. A name twice is a fault, as is a value without a name."""
        facts: dict[str, Any] = {}
        for index, value in enumerate(records.values):
            if not value.keys() & {"value", "unit", "planned"}:
                continue
            name = value.get("fact")
            cell = records.cell(index, "fact" if name is None or name in facts else "value")
            if name is None:
                self._faults.append(Fault(pointer="", cell=cell, detail="No fact is named", expected="a fact"))
                continue
            if name in facts:
                self._faults.append(Fault(pointer="", cell=cell, detail="The fact is there twice", found=name))
                continue
            facts[name] = _fact(records, index, table, vocabulary().get(name))
            self._cells[f"/build/facts/{_escaped(name)}"] = cell
        self._document["build"]["facts"] = facts

    def _read_further(self, records: Records) -> None:
        """Set the fields that the other sheets have no cell for. Rows of the same field are one value."""
        parts: dict[tuple[str | None, str | None, str | None], list[int]] = {}
        for index, value in enumerate(records.values):
            parts.setdefault((value.get("sheet"), value.get("entry"), value.get("field")), []).append(index)
        for (sheet, entry, field), rows in parts.items():
            cell = records.cell(rows[0], "value")
            try:
                content = msgspec.json.decode("".join(str(records.values[row].get("value", "")) for row in rows))
            except (msgspec.DecodeError, RecursionError):
                self._faults.append(Fault(pointer="", cell=cell, detail="The value is not JSON", expected="JSON"))
                continue
            holder, pointer = self._holder(sheet, entry)
            if holder is None or field is None:
                expected = "a sheet of this workbook, the ID or name of a row in it, and a field"
                cell = records.cell(rows[0], "entry" if field else "field")
                self._faults.append(
                    Fault(pointer="", cell=cell, detail="There is no such entry", expected=expected, found=entry or "")
                )
                continue
            holder[field] = content
            self._cells[f"{pointer}/{_escaped(field)}"] = cell

    def _holder(self, sheet: str | None, entry: str | None) -> tuple[dict[str, Any] | None, str]:
        """Return the record that an entry belongs to, and the pointer to it."""
        if sheet in (None, "build"):
            return (self._document, "") if sheet is None else (self._document["build"], "/build")
        path = LISTS.get(sheet or "", "")
        *holder, name = path.split(".") if path else [""]
        records = (self._document["build"] if holder else self._document).get(name, ())
        for index, record in enumerate(records):
            if record.get(KEYS.get(sheet or "", "")) == entry:
                return record, f"/{path.replace('.', '/')}/{index}"
        return None, ""


def _name_lines(build: dict[str, Any]) -> None:
    """Give every line without an ID one from its description, the same one each time that it is read.

    A number follows where another line has it already.
    """
    lines = [(line, kind) for kind in NAMED_BY for line in build.get(LISTS[kind].rpartition(".")[2], ())]
    taken = {line["id"] for line, _ in lines if "id" in line}
    for line, kind in lines:
        if "id" in line:
            continue
        words = re.findall(r"[^\W_]+", str(line.get(NAMED_BY[kind], "")).lower())
        stem = "-".join(words)[:_LONGEST_STEM].strip("-") or kind
        names = (stem if number == 1 else f"{stem}-{number}" for number in count(1))
        line["id"] = next(name for name in names if name not in taken)
        taken.add(line["id"])


def _without_questions(records: Records, kind: str) -> Iterator[Fault]:
    """Yield the faults of a sheet, for facts without those of the questions, which are not read."""
    for fault in records.faults:
        if not (kind == "fact" and "question" in records.columns and _column_of(fault.cell) == _question(records)):
            yield fault


def _column_of(cell: str) -> str:
    return cell.rpartition("!")[2].rstrip("0123456789")


def _question(records: Records) -> str:
    return _column_of(records.cell(0, "question")) if records.rows else ""


@cache
def _kinds_by_name() -> dict[tuple[str, ...], str]:
    """Return what the sheets hold by the words of their names in every locale."""
    kinds = ("build", *_TABLES, *RESULTS)
    return {words_of(sheet_name(kind, localizer_for(locale))): kind for locale in available() for kind in kinds}


def _kind_by_headers(table: Table) -> str | None:
    """Return what a sheet with another name holds, by the headers near its top; of a form, by those on its left."""
    counts = {kind: max((_headers_in(row, kind) for row in table.rows[:20]), default=0) for kind in _TABLES}
    counts["build"] = max((_headers_in(column, "build") for column in _columns(table.rows)), default=0)
    kind = max(counts, key=lambda kind: counts[kind])
    return kind if counts[kind] >= _LEAST_HEADERS else None


def _columns(rows: Sequence[Sequence[Cell]]) -> Iterator[list[Cell]]:
    for column in range(min(20, max(map(len, rows), default=0))):
        yield [row[column] if column < len(row) else None for row in rows[:100]]


def _headers_in(cells: Sequence[Cell], kind: str) -> int:
    return len({words_of(cell) for cell in cells if isinstance(cell, str)} & headers_of(kind))


def _escaped(name: str) -> str:
    return name.replace("~", "~0").replace("/", "~1")


def _raw(records: Records, index: int, table: Table, field: str) -> Cell:
    column = records.columns.get(field)
    return None if column is None else table.rows[records.rows[index]][column]


def _fact(records: Records, index: int, table: Table, fact: FactDefinition | None) -> Any:
    """Return the value of a fact: alone, or with its unit or as planned."""
    value = _fact_value(_raw(records, index, table, "value"), fact)
    beside: Mapping[str, Any] = {
        name: records.values[index][name] for name in ("unit", "planned") if name in records.values[index]
    }
    return {"value": value, **beside} if beside else value


def _fact_value(cell: Cell, fact: FactDefinition | None) -> Any:
    value = _plain(cell)
    if isinstance(value, str) and fact is not None:
        if words_of(value) in _not_known():
            return None
        if fact.type == "boolean":
            return yes_no_of(value)
        return code_of(value, fact.name if fact.name in texts().labels else "")
    return value


def _plain(cell: Cell) -> Any:
    """Return a cell as JSON has it: a whole number without a fraction."""
    match cell:
        case None | Unreadable():
            return None
        case Decimal():
            return int(cell) if cell == cell.to_integral_value() else cell
        case date():
            return cell.isoformat()
    return cell


@cache
def _not_known() -> frozenset[tuple[str, ...]]:
    text = texts().sheet["not_known"]
    return frozenset(words_of(localizer_for(locale).translate(text)) for locale in available())


def _answers(records: Records, table: Table) -> Iterator[dict[str, Any]]:
    """Yield the answers, each as the term or the fact that it settles has it."""
    for index, value in enumerate(records.values):
        cell = _raw(records, index, table, "value")
        if cell is None or isinstance(cell, Unreadable):
            yield value
        elif "fact" in value:
            yield value | {"value": _fact_value(cell, vocabulary().get(value["fact"]))}
        else:
            yield value | {"value": _term_value(_plain(cell), value.get("term"))}


def _with_hours(records: Records, table: Table) -> Iterator[dict[str, Any]]:
    """Yield the entries of labor, hours with a unit or as on a clock as a number: 3.5h, 3:30."""
    for index, value in enumerate(records.values):
        cell = _raw(records, index, table, "hours")
        hours = hours_of(cell) if isinstance(cell, str) else None
        yield value if hours is None else value | {"hours": f"{hours:f}"}


def _term_value(value: Any, term: str | None) -> Any:
    column = term_column(term)
    if column is not None and column.is_part and isinstance(value, int | Decimal):
        part = as_part(Decimal(value), column)
        return value if part == value else part
    if not isinstance(value, str) or words_of(value) in _not_known():
        return None if isinstance(value, str) else value
    if words_of(value) in none_words():
        return "none"
    if column is not None and column.kind == "list":
        return [code_of(part.strip(), column.labels) for part in value.split(SEPARATOR)]
    if column is None or column.kind == "yes_no":
        return yes_no_of(value)
    return code_of(value, column.labels)
