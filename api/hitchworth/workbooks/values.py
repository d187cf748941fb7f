"""The values of the columns of a foreign table: dates and numbers, read as their columns decide, or asked."""

from collections import Counter
from collections.abc import Iterator, Sequence
from datetime import date
from decimal import Decimal

from msgspec import Struct

from hitchworth.model.receipt_import import DateOrder, DecimalMark, ImportChoice, ImportSettings
from hitchworth.workbooks.cells import Cell, cell_text
from hitchworth.workbooks.dates import ORDERS, date_orders, is_ambiguous, is_date, is_serial, read_date
from hitchworth.workbooks.findings import Findings
from hitchworth.workbooks.layout import DATES, NUMBERS, Layout
from hitchworth.workbooks.numbers import MARKS, Written, decimal_marks, value_of, with_unit, written


class Values(Struct, frozen=True):
    """The values of a table by row and field. A cell that is empty or was told as a fault has none."""

    dates: dict[tuple[int, str], date]
    numbers: dict[tuple[int, str], Decimal]
    units: dict[int, str]
    """The unit written beside a quantity, by row."""
    currencies: dict[tuple[int, str], str]
    """The sign or code beside an amount."""
    date_order: DateOrder | None
    decimal_mark: DecimalMark | None


def read_values(layout: Layout, rows: Sequence[int], settings: ImportSettings, findings: Findings) -> Values:
    """Return the values of these rows. What a column does not decide becomes a question, what does not fit a fault."""
    order = _date_order(layout, rows, settings, findings)
    dates: dict[tuple[int, str], date] = {}
    for field in DATES:
        for row in rows:
            found = read_date(layout.cell(row, field), order or "year-first", from_1904=layout.table.dates_from_1904)
            if found is not None:
                dates[row, field] = found
    parts = dict(_parts(layout, rows))
    mark = _decimal_mark(parts, layout, settings, findings)
    numbers: dict[tuple[int, str], Decimal] = {}
    for (row, field), part in parts.items():
        value = part if isinstance(part, Decimal) else value_of(part, mark[field])
        if value is None:
            expected = f"a number like the others of its column, with a decimal {mark[field]}"
            findings.wrong(row, layout.columns[field], layout.cell(row, field), "Not a number of its column", expected)
        else:
            numbers[row, field] = value
    return Values(
        dates=dates,
        numbers=numbers,
        units=dict(_units(layout, rows)),
        currencies={at: part.currency for at, part in parts.items() if isinstance(part, Written) and part.currency},
        date_order=order,
        decimal_mark=_common(mark, parts),
    )


def _date_order(layout: Layout, rows: Sequence[int], settings: ImportSettings, findings: Findings) -> DateOrder | None:
    """Return the order of the dates: as declared, as the columns decide, or null with a question."""
    places = [(row, field) for field in DATES for row in rows if is_date(layout.cell(row, field))]
    cells = [layout.cell(row, field) for row, field in places]
    if any(is_serial(layout.cell(row, field)) for field in DATES for row in rows):
        findings.note("dates_from_numbers")
    if settings.date_order is not None or not cells:
        order = settings.date_order
    else:
        orders = date_orders(cells)
        if len(orders) != 1:
            unclear = [
                (place, cell)
                for place, cell in zip(places, cells, strict=True)
                if (_differs(cell, orders) if orders else is_ambiguous(cell))
            ]
            if unclear:
                _ask_for_order(unclear, orders or ORDERS, layout, findings)
            return None
        order = orders[0]
    for (row, field), cell in zip(places, cells, strict=True):
        if read_date(cell, order or "year-first") is None:
            expected = f"a date like the others of its column, {order}; or YYYY-MM-DD"
            findings.wrong(row, layout.columns[field], cell, "Not a date of its column", expected)
    return order


def _ask_for_order(
    unclear: Sequence[tuple[tuple[int, str], Cell]], orders: Sequence[DateOrder], layout: Layout, findings: Findings
) -> None:
    """Ask which day the first of some cells is that are different days in different orders."""
    first = unclear[0][1]
    readings = ((each, read_date(first, each)) for each in orders)
    choices = tuple(ImportChoice(value=each, reading=str(day)) for each, day in readings if day is not None)
    places = tuple((row, layout.columns[field]) for (row, field), _ in unclear)
    findings.ask("date_order", "date_order", choices, places, found=cell_text(first))


def _differs(cell: Cell, orders: Sequence[DateOrder]) -> bool:
    return len({read_date(cell, order) for order in orders}) > 1


def _parts(layout: Layout, rows: Sequence[int]) -> Iterator[tuple[tuple[int, str], Written | Decimal]]:
    """Yield the numbers as they are written, by row and field."""
    for field in (*NUMBERS, "quantity", "hours"):
        for row in rows:
            cell = layout.cell(row, field)
            part = cell if isinstance(cell, Decimal) else written(cell) if isinstance(cell, str) else None
            if part is None and field == "quantity" and isinstance(cell, str) and (quantity := with_unit(cell)):
                part = Written(quantity[0])
            if part is not None:
                yield (row, field), part


def _units(layout: Layout, rows: Sequence[int]) -> Iterator[tuple[int, str]]:
    for row in rows:
        cell = layout.cell(row, "quantity")
        quantity = with_unit(cell) if isinstance(cell, str) else None
        if quantity is not None and quantity[1]:
            yield row, quantity[1]


def _decimal_mark(
    parts: dict[tuple[int, str], Written | Decimal], layout: Layout, settings: ImportSettings, findings: Findings
) -> dict[str, DecimalMark]:
    """Return the decimal mark of each field; where no column decides, a question.

    A column that does not decide follows the others: a table is written in one way.
    """
    digits: dict[str, list[tuple[int, str]]] = {}
    for (row, field), part in parts.items():
        if isinstance(part, Written):
            digits.setdefault(field, []).append((row, part.digits))
    if settings.decimal_mark is not None:
        return dict.fromkeys({field for _, field in parts}, settings.decimal_mark)
    possible = {field: decimal_marks(text for _, text in texts) for field, texts in digits.items()}
    decided = {next(iter(marks)) for marks in possible.values() if len(marks) == 1}
    common = next(iter(decided)) if len(decided) == 1 else None
    chosen: dict[str, DecimalMark] = {}
    unclear: list[tuple[int, int]] = []
    for field in {field for _, field in parts}:
        marks = possible.get(field, frozenset())
        differing = [(row, text) for row, text in digits.get(field, ()) if _has_two_values(text)]
        if len(marks) == 2 and differing and common is None:
            unclear += [(row, layout.columns[field]) for row, _ in differing]
        chosen[field] = next(iter(marks)) if len(marks) == 1 else common or _majority(digits.get(field, ()))
    if unclear:
        row, column = unclear[0]
        first = cell_text(layout.table.rows[row][column])
        part = written(first) or Written(first.split()[0])
        choices = tuple(ImportChoice(value=mark, reading=str(value_of(part, mark))) for mark in MARKS)
        findings.ask("decimal_mark", "decimal_mark", choices, tuple(sorted(unclear)), found=first)
    return chosen


def _has_two_values(text: str) -> bool:
    return value_of(Written(text), "point") != value_of(Written(text), "comma")


def _majority(texts: Sequence[tuple[int, str]]) -> DecimalMark:
    """Return the mark with which most of the texts are numbers, the point of equals."""
    return max(MARKS, key=lambda mark: sum(value_of(Written(text), mark) is not None for _, text in texts))


def _common(marks: dict[str, DecimalMark], parts: dict[tuple[int, str], Written | Decimal]) -> DecimalMark | None:
    """Return the mark of most columns that are text; null where all numbers are numbers already."""
    counts = Counter(marks[field] for (_, field), part in parts.items() if isinstance(part, Written))
    return counts.most_common(1)[0][0] if counts else None
