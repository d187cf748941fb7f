"""The rows of a foreign table: their texts, days and numbers, and what became of each."""

from collections.abc import Iterator, Mapping
from datetime import date
from decimal import Decimal
from typing import Any

from msgspec.structs import replace

from hitchworth.model.receipt_import import ImportChoice, ImportedRow, ImportSettings, LeftOutReason, RowOutcome
from hitchworth.reference.words import words_of
from hitchworth.workbooks.cells import Cell, Unreadable, cell_text, column_name
from hitchworth.workbooks.columns import columns_of
from hitchworth.workbooks.dates import lacks_year, read_date
from hitchworth.workbooks.findings import UNREADABLE, Findings
from hitchworth.workbooks.layout import Layout
from hitchworth.workbooks.numbers import short_number
from hitchworth.workbooks.records import number_of, word_of
from hitchworth.workbooks.values import Values, read_values

OR_LEAVE_OUT = "or leave the row out: --leave-out and its number"
OR_FILL_DOWN = {
    field: f"or --fill-down {field}, where it is that of the row above" for field in ("acquired_on", "performed_on")
}
_SHOWN = 80
_YEARS = range(1950, 2101)
"""A day outside of these years is a slip of the pen."""


class Rows:
    """The rows of one table that are to be read, with the values of their fields.

    A constant of the settings stands where a table has no value, and with fill_down the value above.
    """

    def __init__(
        self, layout: Layout, settings: ImportSettings, findings: Findings, earlier_ids: Mapping[int, str] | None = None
    ) -> None:
        """Take the rows to read. `earlier_ids`: of entries that earlier imports made of rows, counted from 0."""
        self.layout, self.settings, self.findings = layout, settings, findings
        self._earlier_ids = earlier_ids or {}
        self.kept_ids: dict[int, str] = {}
        """The ids that rows have kept, though they would now have another one; by row, counted from 0."""
        self._outcomes: dict[int, ImportedRow] = {}
        for number in dict.fromkeys((*settings.leave_out, *settings.freight)):
            if number - 1 not in layout.rows:
                expected = f"the number of a row from {layout.rows.start + 1} to {layout.rows.stop}, as in the file"
                findings.declared("There is no such row", expected, str(number))
        self.left_out = frozenset(number - 1 for number in settings.leave_out if number - 1 in layout.rows)
        """The rows that were declared to be left out, counted from 0."""
        self.numbers: list[int] = list(self._to_read())
        """The rows to read, counted from 0."""
        self.values: Values = read_values(layout, self.numbers, settings, findings)
        self._read_left_out()

    def _to_read(self) -> Iterator[int]:
        """Yield the rows that are not empty, not the headers again and not declared to be left out."""
        headers = [words_of(header) for header in self.layout.headers]
        for row in self.layout.rows:
            cells = self.layout.table.rows[row]
            if row + 1 in self.settings.leave_out:
                self.leave_out(row, "declared")
            elif any(headers) and [words_of(cell_text(cell)) for cell in cells] == headers:
                self.leave_out(row, "header")
            elif any(map(is_filled, cells)):
                yield row

    def _read_left_out(self) -> None:
        """Read the days and numbers of rows that were left out as those of the others; what is wrong there is no fault.

        They still share what their receipt splits, and totals count them.
        """
        values = self.values
        settings = replace(self.settings, date_order=values.date_order, decimal_mark=values.decimal_mark)
        more = read_values(self.layout, sorted(self.left_out), settings, Findings())
        values.dates.update(more.dates)
        values.numbers.update(more.numbers)

    @property
    def outcomes(self) -> tuple[ImportedRow, ...]:
        """What became of every row, in their order."""
        return tuple(self._outcomes[row] for row in sorted(self._outcomes))

    def settle(self, row: int, outcome: RowOutcome, **more: Any) -> None:
        """Say what became of a row."""
        shown = " | ".join(filter(None, (cell_text(cell) for cell in self.layout.table.rows[row])))
        self._outcomes[row] = ImportedRow(row=row + 1, outcome=outcome, shown=shown[:_SHOWN], **more)

    def leave_out(self, row: int, reason: LeftOutReason) -> None:
        """Say that nothing becomes of a row."""
        self.settle(row, "left_out", reason=reason)

    def ids(self, now: Mapping[int, str], there: frozenset[str]) -> dict[int, str]:
        """Return the id of each row: that of the build's entry which an earlier import made of it, else that of now.

        A corrected column gives a row another id; what the build has stays the same entry. `there`: ids of the build.
        """
        taken = set(now.values())
        for row, name in now.items():
            earlier = self._earlier_ids.get(row)
            if earlier is not None and earlier in there and earlier not in taken and name not in there:
                taken.add(earlier)
                self.kept_ids[row] = earlier
        return {**now, **self.kept_ids}

    def has(self, field: str) -> bool:
        """Return whether a field has a column or a constant."""
        return field in self.layout.columns or field in self.settings.constants

    def number(self, row: int, field: str) -> Decimal | None:
        """Return a number of a row, or null."""
        value = self.values.numbers.get((row, field))
        if value is None and field in self.settings.constants and self.layout.cell(row, field) is None:
            return short_number(self.settings.constants[field])
        return value

    def stated(self, row: int, field: str) -> str:
        """Return what stands in the cell of a row, on one line; empty without it."""
        return " ".join(cell_text(self.layout.cell(row, field)).split())

    def text(self, row: int, field: str) -> str:
        """Return a text of a row, on one line; empty without one."""
        text = self.stated(row, field)
        if not text and field in self.settings.fill_down and self._is_blank(row, field):
            above = (cell_text(self.layout.cell(other, field)) for other in reversed(self.numbers) if other < row)
            text = next(filter(None, above), "")
        return text or self.settings.constants.get(field, "")

    def day(self, row: int, field: str) -> date | None:
        """Return a day of a row, or null."""
        day = self.values.dates.get((row, field))
        if day is None and field in self.settings.fill_down and self._is_blank(row, field):
            days = (self.values.dates.get((other, field)) for other in reversed(self.numbers) if other < row)
            day = next(filter(None, days), None)
        if day is None and field in self.settings.constants and self._is_blank(row, field):
            return _date(self.settings.constants[field])
        return day

    def _is_blank(self, row: int, field: str) -> bool:
        cell = self.layout.cell(row, field)
        return cell is None or (isinstance(cell, Unreadable) and cell.reason == "merged")

    def texts(self, row: int) -> list[str]:
        """Return the cells of a row that are text with letters."""
        return [cell for cell in self.layout.table.rows[row] if isinstance(cell, str) and any(map(str.isalpha, cell))]

    def expect(self, row: int, field: str, is_there: bool, expected: str) -> None:
        """Add a fault of a field that has no value, unless it has one."""
        if not is_there:
            cell = self.layout.cell(row, field)
            detail = "Nothing stands here" if cell is None else "Not a value of its column"
            if isinstance(cell, Unreadable) and cell.reason == "merged":
                self.findings.fault(row, self.column(field), UNREADABLE["merged"][0], expected, cell.text)
            else:
                self.findings.wrong(row, self.column(field), cell, detail, expected)

    def expect_day(self, row: int, field: str, day: date | None, expected: str) -> None:
        """Add a fault of a day that is missing, or is in a year that nobody means."""
        if day is None:
            more = f"; {OR_FILL_DOWN[field]}" if self._is_blank(row, field) else ""
            cell = self.layout.cell(row, field)
            if lacks_year(cell):
                self.findings.wrong(row, self.column(field), cell, "The year is missing", f"{expected}, with its year")
            self.expect(row, field, False, f"{expected}{more}; {OR_LEAVE_OUT}")
        elif day.year not in _YEARS:
            expected = f"a year from {_YEARS[0]} to {_YEARS[-1]}; {OR_LEAVE_OUT}"
            self.findings.fault(row, self.column(field), "Hardly the year that is meant", expected, day.isoformat())

    def column(self, field: str) -> int:
        """Return the column in which a fault of a field is told: its own, or the first."""
        return self.layout.columns.get(field, 0)

    def other_fields(self, row: int, record: str, computed: frozenset[str]) -> dict[str, Any]:
        """Return the fields of a record that have a column or a constant, without those that are computed."""
        mark = self.values.decimal_mark or "point"
        found: dict[str, Any] = {}
        for column in columns_of(record):
            cell: Cell = self.layout.cell(row, column.field)
            cell = self.settings.constants.get(column.field) if cell is None else cell
            if column.field in computed or cell is None or isinstance(cell, Unreadable):
                continue
            if column.kind == "date":
                day = read_date(cell, self.values.date_order or "year-first")
                found[column.field] = cell_text(cell) if day is None else day.isoformat()
            elif column.kind in ("number", "money", "share", "whole"):
                found[column.field] = number_of(cell, column, mark)
            else:
                found[column.field] = word_of(cell, column)
        return found

    def ask_for_column(self, field: str) -> None:
        """Ask which column holds a field that is needed."""
        free = (place for place in range(len(self.layout.headers)) if place not in self.layout.matches)
        names = [self.layout.headers[place] or column_name(place) for place in free]
        choices = tuple(ImportChoice(value=f"{name}={field}") for name in names)
        self.findings.ask(f"missing_{field}", "columns", choices)


def is_filled(cell: Cell) -> bool:
    """Return whether a cell has a value."""
    return cell is not None and not isinstance(cell, Unreadable)


def _date(text: str) -> date | None:
    try:
        return date.fromisoformat(text)
    except ValueError:
        return None
