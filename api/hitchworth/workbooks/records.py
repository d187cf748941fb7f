"""Records in a sheet: read through the columns, found by their headers wherever they stand, and written the same way.

Reading gives plain values as JSON has them, and where each came from; `validation` finds their faults, which then name
cells instead of JSON Pointers.
"""

from collections.abc import Iterable, Iterator, Sequence
from datetime import date
from decimal import Decimal
from functools import cache
from typing import Any

from msgspec import Struct
from msgspec.structs import replace

from hitchworth.localization.locales import available
from hitchworth.localization.localizer import Localizer, localizer_for
from hitchworth.localization.texts import texts
from hitchworth.model.fault import Fault
from hitchworth.model.receipt_import import DateOrder, DecimalMark
from hitchworth.reference.schedules import library_schedules
from hitchworth.reference.words import words_of
from hitchworth.workbooks.cells import Cell, Row, Unreadable, cell_name, cell_text
from hitchworth.workbooks.code_names import code_by_name
from hitchworth.workbooks.columns import SEPARATOR, Column, columns_of
from hitchworth.workbooks.dates import date_orders, read_date
from hitchworth.workbooks.findings import UNREADABLE
from hitchworth.workbooks.numbers import MARKS, Written, decimal_marks, value_of, written
from hitchworth.workbooks.table import Table

_MOST_ROWS_ABOVE = 20
"""The headers stand within this many rows."""

_LEAST_PERCENTAGE = 2
"""Below it a number may be a share that is too large, or a percentage: 1 is the whole, 1.5 is asked."""

_YES_NO = {"true": True, "false": False, "x": True, "1": True, "0": False, "y": True, "j": True, "s": True, "n": False}


class Records(Struct, frozen=True, kw_only=True):
    """The records of a sheet."""

    record: str
    """The name of their kind in columns.RECORDS."""
    sheet: str
    values: tuple[dict[str, Any], ...]
    """One for each row that is not empty, as JSON has it."""
    rows: tuple[int, ...]
    """The row of each, counted from 0."""
    columns: dict[str, int]
    """The column of each field that the sheet has, counted from 0."""
    head: int
    """The row of the headers."""
    faults: tuple[Fault, ...]
    """What the cells themselves have wrong; what the records have wrong, `validation` says."""
    unknown: tuple[str, ...]
    """The headers that name no field; their columns are not read."""
    is_form: bool = False
    """Each field has a row of its own with its header on the left: rows and columns are exchanged."""

    def cell(self, index: int, field: str) -> str:
        """Return the name of the cell of a field of a record: Components!D14. Without such a column, the first of the
        row stands for it."""
        column = self.columns.get(field, self.columns.get(field.partition(".")[0], min(self.columns.values())))
        row = self.rows[index] if self.rows else self.head + 1
        return _cell_name(row, column, self.sheet, is_form=self.is_form)


def read_records(table: Table, record: str) -> Records:
    """Return the records of a sheet by the name of their kind in columns.RECORDS.

    The order of dates and the decimal mark of numbers that are text are found in their column.
    """
    head = _head(table.rows, record)
    if head is None:
        fault = Fault(
            pointer="",
            cell=cell_name(0, 0, table.name),
            detail="No row of headers was found",
            expected=f"headers such as {', '.join(_english_headers(record)[:3])} in one of the first rows",
        )
        return Records(
            record=record,
            sheet=table.name,
            values=(),
            rows=(),
            columns={"": 0},
            head=0,
            faults=(fault,),
            unknown=(),
        )
    return _Reader(table, record, head).read()


def read_form(table: Table, record: str, records: Sequence[str]) -> Records | None:
    """Return one of the records of a sheet that has a row for each of their fields, its header on the left.

    None without headers.
    """
    width = max(map(len, table.rows), default=0)
    turned = tuple(
        tuple(row[column] if column < len(row) else None for row in table.rows)
        for column in range(min(width, _MOST_ROWS_ABOVE))
    )
    head = _head(turned, *records)
    if head is None:
        return None
    one = replace(
        table, rows=(*turned[: head + 1], turned[head + 1] if head + 1 < width else (None,) * len(table.rows))
    )
    return _Reader(one, record, head, is_form=True).read()


def headers_of(record: str) -> frozenset[tuple[str, ...]]:
    """Return the words of every header of a record, in every locale."""
    return frozenset(_by_header(record))


def table_of(records: Iterable[Struct], record: str, name: str, localizer: Localizer) -> Table:
    """Return a sheet of records with a header in the locale for every column.

    A value that no cell can hold, as a schedule written out, is left empty: it stays in the document.
    """
    columns = columns_of(record)
    head = tuple(column.header(localizer) for column in columns)
    rows = tuple(
        tuple(shown(value_of_field(each, column.field), column, localizer) for column in columns) for each in records
    )
    return Table(name=name, rows=(head, *rows))


def _cell_name(row: int, column: int, sheet: str, *, is_form: bool) -> str:
    return cell_name(column, row, sheet) if is_form else cell_name(row, column, sheet)


class _Reader:
    """Reads one sheet whose row of headers is known."""

    def __init__(self, table: Table, record: str, head: int, *, is_form: bool = False) -> None:
        self._table, self._record, self._head, self._is_form = table, record, head, is_form
        self._faults: list[Fault] = []
        self._unknown: list[str] = []
        self._columns = self._found_columns(record)

    def read(self) -> Records:
        """Return the records, with the faults of the cells."""
        rows = [
            row for row in range(self._head + 1, len(self._table.rows)) if any(map(_is_filled, self._table.rows[row]))
        ]
        values: list[dict[str, Any]] = [{} for _ in rows]
        for place, column in self._columns.items():
            for value, found in zip(values, self._column_values(place, column, rows), strict=True):
                if found is not None:
                    _set(value, column.field, found)
        return Records(
            record=self._record,
            sheet=self._table.name,
            values=tuple(values),
            rows=tuple(rows),
            columns={column.field: place for place, column in self._columns.items()},
            head=self._head,
            faults=tuple(self._faults),
            unknown=tuple(self._unknown),
            is_form=self._is_form,
        )

    def _found_columns(self, record: str) -> dict[int, Column]:
        found: dict[int, Column] = {}
        for place, cell in enumerate(self._table.rows[self._head]):
            if isinstance(cell, str):
                column = _by_header(record).get(words_of(cell))
                if column is None:
                    self._unknown.append(cell)
                elif column in found.values():
                    self._add(self._head, place, "Two columns have this header", "each header once", cell)
                else:
                    found[place] = column
        return found

    def _column_values(self, place: int, column: Column, rows: Sequence[int]) -> Iterator[Any]:
        """Yield the values of a column, null for an empty cell. A cell that cannot be read is a fault, and empty."""
        cells = [self._table.rows[row][place] for row in rows]
        marks = self._marks(place, rows, column)
        order = self._order_of(place, rows, column)
        for row, cell in zip(rows, cells, strict=True):
            if isinstance(cell, Unreadable):
                self._add(row, place, *UNREADABLE[cell.reason], cell.text)
                yield None
            elif cell is None:
                yield None
            elif column.kind in ("number", "money", "share", "whole"):
                yield number_of(cell, column, marks)
            elif column.kind == "date":
                day = read_date(cell, order, from_1904=self._table.dates_from_1904)
                yield cell_text(cell) if day is None else day.isoformat()
            else:
                yield word_of(cell, column)

    def _marks(self, place: int, rows: Sequence[int], column: Column) -> DecimalMark:
        """Return the decimal mark of a column of numbers; a fault where nothing decides it."""
        numbers = [
            (row, number)
            for row in rows
            if column.kind in ("number", "money", "share", "whole")
            and (number := _written(self._table.rows[row][place]))
        ]
        marks = decimal_marks(number.digits for _, number in numbers)
        if len(marks) != 2:
            return next(iter(marks), "point")
        for row, number in numbers:
            first, second = (value_of(number, mark) for mark in MARKS)
            if first != second:
                expected = f"a number in place of the text: {first} or {second}"
                found = cell_text(self._table.rows[row][place])
                self._add(row, place, "The number can be read in two ways", expected, found)
        return "point"

    def _order_of(self, place: int, rows: Sequence[int], column: Column) -> DateOrder:
        """Return the order of the dates of a column; a fault where nothing decides it."""
        if column.kind != "date":
            return "year-first"
        orders = date_orders(self._table.rows[row][place] for row in rows)
        if len(orders) > 1:
            for row in rows:
                cell = self._table.rows[row][place]
                days = [read_date(cell, order) for order in orders]
                if len({*days}) > 1:
                    expected = f"the day as YYYY-MM-DD: {' or '.join(map(str, days))}"
                    self._add(row, place, "The date can be read in two ways", expected, cell_text(cell))
        return orders[0] if orders else "year-first"

    def _add(self, row: int, place: int, detail: str, expected: str, found: str) -> None:
        cell = _cell_name(row, place, self._table.name, is_form=self._is_form)
        self._faults.append(Fault(pointer="", cell=cell, detail=detail, expected=expected, found=found))


def _head(rows: Sequence[Row], *records: str) -> int | None:
    """Return the row with the most headers, two at least, near the top; the first of several."""
    known = frozenset[tuple[str, ...]]().union(*map(headers_of, records))
    counts = [
        sum(1 for cell in row if isinstance(cell, str) and words_of(cell) in known) for row in rows[:_MOST_ROWS_ABOVE]
    ]
    best = max(counts, default=0)
    return counts.index(best) if best > 1 else None


@cache
def _by_header(record: str) -> dict[tuple[str, ...], Column]:
    """Return the columns by the words of their headers in every locale, and by the names of their fields."""
    columns = columns_of(record)
    headers = {words_of(column.header(localizer_for(locale))): column for locale in available() for column in columns}
    return {**headers, **{words_of(column.field): column for column in columns}}


def _english_headers(record: str) -> list[str]:
    return [column.header(localizer_for("en-US")) for column in columns_of(record) if column.is_required]


def _is_filled(cell: Cell) -> bool:
    return cell is not None and not (isinstance(cell, Unreadable) and cell.reason == "merged")


def _set(value: dict[str, Any], field: str, found: Any) -> None:
    """Set a field, that of a record in the record where its name has a point."""
    *outer, name = field.split(".")
    for part in outer:
        value = value.setdefault(part, {})
    value[name] = found


def value_of_field(record: Any, field: str) -> Any:
    """Return the value of a field; of one in a record of its own, by its name with a point. None without a record."""
    for part in field.split("."):
        record = None if record is None else getattr(record, part)
    return record


def _written(cell: Cell) -> Written | None:
    return written(cell.rstrip("% ")) if isinstance(cell, str) else None


def number_of(cell: Cell, column: Column, mark: DecimalMark) -> Any:
    """Return the number of a cell; what is none stays as it is, for `validation` to say so."""
    number = cell if isinstance(cell, Decimal) else None
    if isinstance(cell, str) and (parts := _written(cell)) is not None:
        number = value_of(parts, mark)
        if number is not None and column.kind == "share" and cell.endswith("%"):
            number /= 100
    if number is None:
        return cell_text(cell)
    number = as_part(number, column)
    return int(number) if column.kind == "whole" and number == number.to_integral_value() else f"{number:f}"


def as_part(number: Decimal, column: Column) -> Decimal:
    """Return the number of a cell; one from 2 to 100 where only a share of at most 1 can stand is a percentage."""
    return number / 100 if column.is_part and _LEAST_PERCENTAGE <= number <= 100 else number


def word_of(cell: Cell, column: Column) -> Any:
    """Return a cell of text as its field has it: a label in any language becomes its code."""
    if column.kind == "yes_no":
        return cell if isinstance(cell, bool) else yes_no_of(cell_text(cell))
    text = cell_text(cell)
    if column.kind == "list":
        if words_of(text) in none_words():
            return []
        parts = text.split(SEPARATOR if SEPARATOR in text else ",")
        return [code_by_name(code_of(part.strip(), column.labels), column.field) for part in parts if part.strip()]
    return code_by_name(code_of(text, column.labels), column.field)


def code_of(text: str, labels: str) -> str:
    """Return the code whose label in some locale a text is; the text itself where it is none."""
    return _codes(labels).get(words_of(text), text) if labels else text


@cache
def _codes(labels: str) -> dict[tuple[str, ...], str]:
    """Return the codes of a group of labels by the words of their labels in every locale.

    Of categories with the same label, the one after which its schedule is named first counts.
    """
    group = texts().labels[labels]
    first = {record.categories[0] for record in library_schedules() if record.categories}
    ordered = sorted(group, key=lambda code: code in first)
    return {words_of(localizer_for(locale).translate(group[code])): code for locale in available() for code in ordered}


@cache
def none_words() -> frozenset[tuple[str, ...]]:
    """Return the words that say that a list is known to be empty."""
    return frozenset(words for words, code in _codes("term_state").items() if code == "none")


def yes_no_of(text: str) -> bool | str:
    """Return what a word for yes or no means; the text itself where it is none."""
    return _yes_no().get(words_of(text), text)


@cache
def _yes_no() -> dict[tuple[str, ...], bool]:
    words = {words: code == "true" for words, code in _codes("yes_no").items()}
    return words | {words_of(word): value for word, value in _YES_NO.items()}


def shown(value: Any, column: Column, localizer: Localizer) -> Cell:
    """Return the value of a field as a cell: a code as its label, a list with semicolons between."""
    match value:
        case None | Struct():
            return None
        case tuple() | list():
            if not value and column.can_be_unknown:
                return localizer.label("term_state", "none")
            return f"{SEPARATOR} ".join(shown_code(item, column, localizer) for item in value) or None
        case bool():
            return localizer.label("yes_no", str(value).lower())
        case int() | float():
            return Decimal(str(value))
        case Decimal() | date():
            return value
    return shown_code(str(value), column, localizer) or None


def shown_code(text: str, column: Column, localizer: Localizer) -> str:
    """Return the label of a code; the code itself where its label would be read as another one."""
    if not column.labels or text not in texts().labels[column.labels]:
        return text
    label = localizer.label(column.labels, text)
    return label if code_of(label, column.labels) == text else text
