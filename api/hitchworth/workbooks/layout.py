"""The layout of a foreign table: its sheet, its headers, what its columns hold, and where its rows begin.

Headers are recognized by words, columns without a known header by what stands in them. What was declared counts first.
"""

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from decimal import Decimal
from itertools import islice

from msgspec import Struct
from msgspec.structs import replace

from hitchworth.model.entry import Component, Labor
from hitchworth.model.numbers import Amount
from hitchworth.model.receipt_import import (
    Confidence,
    ImportChoice,
    ImportedColumn,
    ImportKind,
    ImportSettings,
    MatchedBy,
)
from hitchworth.reference.currencies import exponent_of
from hitchworth.reference.receipt_words import field_named, fields_named
from hitchworth.reference.words import words_of
from hitchworth.validation.fault_texts import OUT_OF_RANGE, with_suggestions
from hitchworth.validation.type_inspection import bounds_of, record_fields
from hitchworth.workbooks.cells import Cell, Row, Unreadable, cell_text, column_name, column_number
from hitchworth.workbooks.columns import columns_of
from hitchworth.workbooks.dates import date_share, is_date, is_serial
from hitchworth.workbooks.findings import Findings
from hitchworth.workbooks.numbers import currencies_in, number_share, quantity_share, short_number, written
from hitchworth.workbooks.table import Source, Table

_VIRTUAL: dict[ImportKind, tuple[str, ...]] = {
    "components": ("amount", "gross", "price", "credit", "receipt_number"),
    "labor": ("start", "end"),
}
"""What a column can hold beside the fields of the record."""

DATES = ("acquired_on", "performed_on", "in_service_on")
NUMBERS = ("unit_cost", "price", "amount", "gross", "credit", "tax", "freight", "exchange_rate", "rate", "market_rate")
MONEY = ("unit_cost", "price", "amount", "gross", "credit", "tax", "freight", "rate", "market_rate")
_AMOUNTS = ("unit_cost", "price", "amount", "gross")
_DAY: dict[ImportKind, str] = {"components": "acquired_on", "labor": "performed_on"}
_TEXT: dict[ImportKind, str] = {"components": "description", "labor": "task"}

_USUAL: dict[ImportKind, tuple[str, ...]] = {
    "components": (
        *("acquired_on", "description", "quantity", "unit_cost", "amount", "supplier", "receipt_number", "note"),
    ),
    "labor": ("performed_on", "task", "hours", "start", "end", "rate", "market_rate"),
}
"""The fields that a fault names: all of them are too many to read."""

_FIRST_ROWS = 20
"""The headers stand within this many rows."""
_LONGEST_HEADER = 60
_ENOUGH_ROWS = 500
"""So many rows tell what a column holds."""
_ENOUGH = 0.6
"""The share of the cells of a column that have to be dates or numbers for it to be one of dates or numbers."""


class Match(Struct, frozen=True):
    """What a column was taken for."""

    field: str
    by: MatchedBy
    confidence: Confidence | None
    header: str


class Layout(Struct, frozen=True):
    """A table, the fields of its columns and the rows below its headers."""

    table: Table
    kind: ImportKind
    headers: tuple[str, ...]
    head: int | None
    """The last row of the headers; null without headers."""
    columns: dict[str, int]
    matches: dict[int, Match]
    rows: range

    def cell(self, row: int, field: str) -> Cell:
        """Return the cell of a field in a row; null where there is no such column."""
        column = self.columns.get(field)
        return None if column is None else self.table.rows[row][column]

    def imported_columns(self) -> tuple[ImportedColumn, ...]:
        """Return what every column that is not empty was taken for."""
        return tuple(
            ImportedColumn(
                column=column_name(place),
                header=header,
                field=match.field if (match := self.matches.get(place)) else None,
                matched_by=match.by if match else "none",
                confidence=match.confidence if match else None,
                example=next(filter(None, (cell_text(cell) for cell in _cells(self.table, place, self.rows))), "")[:40],
            )
            for place, header in enumerate(self.headers)
            if header or any(cell is not None for cell in _cells(self.table, place, self.rows))
        )


def known_fields(kind: ImportKind | None) -> tuple[str, ...]:
    """Return the fields that a column can hold, of one kind of rows or of both."""
    records: dict[ImportKind, str] = {"components": "component", "labor": "labor"}
    kinds = [each for each in records if kind in (None, each)]
    own = (column.field for each in kinds for column in columns_of(records[each]))
    return tuple(dict.fromkeys([*own, *(field for each in kinds for field in _VIRTUAL[each])]))


def with_known_fields(settings: ImportSettings) -> ImportSettings:
    """Return the settings with the fields of columns by their names, where they are said in the words of a header."""

    def meant(said: str) -> str:
        named = _fields_meant(said, settings.kind)
        return said if said in ("", *known_fields(settings.kind)) or len(named) != 1 else named[0]

    return replace(
        settings,
        columns={header: meant(field) for header, field in settings.columns.items()},
        constants={meant(field): value for field, value in settings.constants.items()},
        fill_down=tuple(map(meant, settings.fill_down)),
    )


def _fields_meant(said: str, kind: ImportKind | None) -> tuple[str, ...]:
    """Return the fields that words name which are all of a header: those of the kinds of rows that there may be."""
    kinds: tuple[ImportKind, ...] = (kind,) if kind else ("components", "labor")
    named = (field_named(said, each) for each in kinds)
    return tuple(dict.fromkeys(each.name for each in named if each is not None and each.is_exact))


def find_layout(source: Source, settings: ImportSettings, findings: Findings) -> Layout | None:
    """Return the layout of the one table that holds receipts or hours; null with a question or a fault."""
    table = _chosen_table(source, settings, findings)
    if table is None:
        return None
    findings.sheet = table.name if len(source.tables) > 1 or source.form != "csv" else ""
    head = _head(table, settings)
    if head is not None and head >= len(table.rows):
        findings.declared("There is no such row", f"a row from 1 to {len(table.rows)}, or 0 for none", str(head + 1))
        return None
    top, headers = _headers(table, head)
    first = (top if top is not None else -1) + 1
    rows = range(first, len(table.rows))
    if top is not None and not any(any(table.rows[row]) for row in rows):
        findings.declared("The file has headers and no rows below them", "a row for each purchase or work", "")
        return None
    kinds: tuple[ImportKind, ...] = (settings.kind,) if settings.kind else ("components", "labor")
    if source.form == "csv" and top is not None and _has_ragged_rows(table, headers, rows, findings):
        return None
    told = _telling_rows(table, headers, rows)
    found = {kind: _matches(table, headers, told, kind, settings) for kind in kinds}
    kind = _kind(found)
    _refuse_unknown_columns(headers, settings, findings)
    _refuse_wrong_constants(settings, findings)
    columns = {match.field: place for place, match in found[kind].items()}
    if top is None:
        findings.note("no_headers")
    elif any(any(row) for row in table.rows[: max(top - 1, 0)]):
        findings.note("rows_above_headers", row=str(top + 1))
    return Layout(table, kind, headers, top, columns, found[kind], rows)


def _chosen_table(source: Source, settings: ImportSettings, findings: Findings) -> Table | None:
    filled = [table for table in source.tables if any(any(row) for row in table.rows)]
    if settings.sheet is not None:
        chosen = [table for table in source.tables if table.name == settings.sheet]
        if not chosen:
            names = ", ".join(table.name for table in source.tables)
            findings.declared("There is no such visible sheet", f"one of {names}", settings.sheet)
        return chosen[0] if chosen else None
    for name in source.hidden:
        findings.note("hidden_sheet", sheet=name)
    if not filled:
        findings.declared("The file has no rows", "a row for each purchase", "")
        return None
    fitting = [table for table in filled if _is_promising(table)] or filled
    if len(fitting) > 1:
        findings.ask("sheet", "sheet", tuple(ImportChoice(value=table.name) for table in fitting))
        return None
    if len(filled) > 1:
        findings.note("sheet_chosen", sheet=fitting[0].name)
    return fitting[0]


def _is_promising(table: Table) -> bool:
    """Return whether some row of the table has a date or a header of one, and some row a number."""
    head = _head(table, ImportSettings())
    has_numbers = any(_is_number(cell) for row in table.rows for cell in row)
    return has_numbers and (head is not None or any(is_date(cell) for row in table.rows for cell in row))


def _head(table: Table, settings: ImportSettings) -> int | None:
    """Return the row of the headers: the one with most known words, else the last one above the first row of values."""
    if settings.header_row is not None:
        return settings.header_row - 1 if settings.header_row else None
    declared = {words_of(header) for header in settings.columns}
    counts = [_known_headers(row, declared) for row in table.rows[:_FIRST_ROWS]]
    best = max(counts, default=0)
    if best >= 2 or (best == 1 and counts.index(best) == 0):
        return counts.index(best)
    for number, row in enumerate(table.rows[:_FIRST_ROWS]):
        following = [later for later in table.rows[number + 1 : number + 4] if any(later)]
        if _is_header_like(row) and following and all(map(_has_date_and_number, following[:2])):
            return number
    return None


def _known_headers(row: Row, declared: set[tuple[str, ...]]) -> int:
    """Return how many different fields the cells of a row name; 0 for a row with values in it."""
    if not _is_header_like(row, least=1):
        return 0
    texts = [cell for cell in row if isinstance(cell, str) and len(cell) <= _LONGEST_HEADER]
    return len({name for text in texts if (name := _name(text, declared))})


def _name(text: str, declared: set[tuple[str, ...]]) -> str:
    """Return the field that a header names, of receipts or of hours, or the header itself where it was declared."""
    named = field_named(text, "components") or field_named(text, "labor")
    return named.name if named else text if words_of(text) in declared else ""


def _is_header_like(row: Row, least: int = 2) -> bool:
    filled = [cell for cell in row if cell is not None and not isinstance(cell, Unreadable)]
    return len(filled) >= least and not any(is_date(cell) or _is_number(cell) for cell in filled)


def _has_date_and_number(row: Row) -> bool:
    return any(is_date(cell) or is_serial(cell) for cell in row) and any(
        _is_number(cell) and not is_date(cell) for cell in row
    )


def _is_number(cell: Cell) -> bool:
    return number_share((cell,)) == 1.0


def _headers(table: Table, head: int | None) -> tuple[int | None, tuple[str, ...]]:
    """Return the last row of the headers, and the headers: of two rows, the upper one is joined with the lower."""
    width = max(map(len, table.rows), default=0)
    if head is None:
        return None, ("",) * width
    row = table.rows[head]
    if head and _is_header_like(table.rows[head - 1]):
        return head, _joined(table.rows[head - 1], row)
    below = table.rows[head + 1] if head + 1 < len(table.rows) else ()
    if _is_header_like(below) and head + 2 < len(table.rows) and _has_date_and_number(table.rows[head + 2]):
        return head + 1, _joined(row, below)
    return head, tuple(cell_text(cell) for cell in row)


def _joined(upper: Row, lower: Row) -> tuple[str, ...]:
    """Join two rows of headers; a cell of the upper one stands for the empty ones to the right of it."""
    headers, above = [], ""
    for high, low in zip(upper, lower, strict=True):
        above = cell_text(high) or above
        headers.append(f"{above} {cell_text(low)}".strip())
    return tuple(headers)


def _has_ragged_rows(table: Table, headers: Sequence[str], rows: range, findings: Findings) -> bool:
    """Return whether some rows have more cells than there are headers, each a fault: a text with an unquoted delimiter.

    Where most rows do, the last columns have no headers.
    """
    width = max((place + 1 for place, header in enumerate(headers) if header), default=0)
    longer = [(row, place) for row in rows for place, cell in enumerate(table.rows[row]) if place == width and cell]
    filled = sum(1 for row in rows if any(table.rows[row]))
    if 2 * len(longer) > filled:
        return False
    for row, place in longer:
        expected = f"{width} cells; a text with the delimiter in it needs quotes"
        found = cell_text(table.rows[row][place])
        findings.fault(row, place, "The row has more cells than there are headers", expected, found)
    return bool(longer)


def _telling_rows(table: Table, headers: Sequence[str], rows: range) -> list[int]:
    """Return the first rows that tell what the columns hold: with two cells at least, and not the headers again."""
    telling = (
        row
        for row in rows
        if sum(1 for cell in table.rows[row] if cell is not None) > 1
        and [cell_text(cell) for cell in table.rows[row]] != list(headers)
    )
    return list(islice(telling, _ENOUGH_ROWS))


def _cells(table: Table, place: int, rows: Iterable[int]) -> Iterator[Cell]:
    return (table.rows[row][place] for row in rows)


def _matches(
    table: Table, headers: Sequence[str], rows: Sequence[int], kind: ImportKind, settings: ImportSettings
) -> dict[int, Match]:
    """Return what each column is taken for: as declared, by its header, then by what stands in it."""
    found = dict(_declared(headers, settings))
    taken = {match.field for match in found.values()}
    silenced = {place for place in range(len(headers)) if _declared_field(headers, place, settings) == ""}
    candidates: list[tuple[bool, int, str]] = []
    for place, header in enumerate(headers):
        if header and place not in found and place not in silenced:
            cells = list(_cells(table, place, rows))
            named = next((each for each in fields_named(header, kind) if _fits(each.name, cells)), None)
            if named is not None:
                candidates.append((not named.is_exact, place, named.name))
    for is_loose, place, field in sorted(candidates):
        if field not in taken:
            found[place] = Match(field, "header", "medium" if is_loose else "high", headers[place])
            taken.add(field)
    free = [place for place in range(len(headers)) if place not in found and place not in silenced]
    for place, field in _by_values(table, free, rows, kind, taken):
        found[place] = Match(field, "values", "medium", headers[place])
    chosen = [headers[place] for place, match in found.items() if match.by == "declared" and match.field in _AMOUNTS]
    return {
        place: match
        for place, match in found.items()
        if match.by == "declared"
        or match.field not in _AMOUNTS
        or not any(same_in_another_currency(headers[place], header) for header in chosen)
    }


def same_in_another_currency(header: str, other: str) -> bool:
    """Return whether two headers differ in nothing but the currency: Price and Price EUR, or Price and EUR."""
    currencies, others = currencies_in(header), currencies_in(other)
    words, other_words = ({*words_of(each)} - {*words_of(" ".join(currencies_in(each)))} for each in (header, other))
    return set(currencies) != set(others) and (words == other_words or not words or not other_words)


def rival_columns(layout: Layout) -> Iterator[tuple[int, int]]:
    """Yield columns of amounts, each with one that is not read though its header is the same, but for the currency."""
    for place, match in layout.matches.items():
        if match.field in _AMOUNTS and match.by != "declared":
            for other, header in enumerate(layout.headers):
                cells = [cell for cell in _cells(layout.table, other, layout.rows) if cell is not None]
                is_amount = other not in layout.matches and number_share(cells) >= _ENOUGH
                is_same = words_of(match.header) == words_of(header)
                if is_amount and match.header and (is_same or same_in_another_currency(match.header, header)):
                    yield place, other


def _declared(headers: Sequence[str], settings: ImportSettings) -> Iterator[tuple[int, Match]]:
    for place, header in enumerate(headers):
        field = _declared_field(headers, place, settings)
        if field:
            yield place, Match(field, "declared", None, header)


def _declared_field(headers: Sequence[str], place: int, settings: ImportSettings) -> str | None:
    """Return the field that was declared for a column by its letter or its header; of equal headers, for the first."""
    by_letter = settings.columns.get(column_name(place))
    words = words_of(headers[place])
    if by_letter is not None or not words or words in map(words_of, headers[:place]):
        return by_letter
    return {words_of(header): field for header, field in settings.columns.items()}.get(words)


def _refuse_unknown_columns(headers: Sequence[str], settings: ImportSettings, findings: Findings) -> None:
    known = {words_of(header) for header in headers}
    fields = known_fields(settings.kind)
    for field in (*filter(None, settings.columns.values()), *settings.constants, *settings.fill_down):
        if field not in fields:
            usual = ", ".join(_USUAL[settings.kind or "components"])
            meant = _fields_meant(field, settings.kind)
            expected = " or ".join(meant) if meant else with_suggestions(field, fields, f"a field such as {usual}")
            findings.declared("There is no such field", expected, field)
    for header in settings.columns:
        is_letter = re.fullmatch("[A-Z]{1,2}", header) and column_number(header) < len(headers)
        if words_of(header) not in known and not is_letter:
            expected = f"one of {', '.join(filter(None, headers))}" if any(headers) else "a letter: A, B, C"
            findings.declared("No column has this header", expected, header)


def _refuse_wrong_constants(settings: ImportSettings, findings: Findings) -> None:
    """Refuse a text that is set for a field of numbers and is none, or one that the field cannot hold."""
    types = {field.name: field.type for record in (Labor, Component) for field in record_fields(record)}
    for name, text in settings.constants.items():
        bounds = bounds_of(types.get(name, Amount if name in NUMBERS else str))
        if bounds is None:
            continue
        least = max(bounds.least, Decimal(0))
        number = short_number(text)
        if number is None or not least <= number <= bounds.greatest:
            detail = "Not a number" if number is None else OUT_OF_RANGE
            findings.declared(detail, f"a number from {least:,} to {bounds.greatest:,}", text)


def _fits(field: str, cells: list[Cell]) -> bool:
    """Return whether a column can hold the field by what stands in it; an empty one, what a row may do without."""
    if all(cell is None for cell in cells):
        return field not in (*DATES, *_AMOUNTS, *_TEXT.values(), "hours")
    if field in DATES:
        return _day_share(cells) >= _ENOUGH
    if field == "quantity":
        return quantity_share(cells) >= _ENOUGH
    if field == "unit":
        return number_share(cells) < _ENOUGH
    return field not in NUMBERS or number_share(cells) >= _ENOUGH


def _day_share(cells: list[Cell]) -> float:
    filled = [cell for cell in cells if cell is not None]
    serials = sum(1 for cell in filled if is_serial(cell))
    return date_share(cells) + (serials / len(filled) if filled else 0)


def _by_values(
    table: Table, free: Sequence[int], rows: Sequence[int], kind: ImportKind, taken: set[str]
) -> Iterator[tuple[int, str]]:
    """Yield columns whose values leave no choice: the only one of currency codes, of dates, of amounts, of text."""
    cells = {place: [cell for cell in _cells(table, place, rows) if cell is not None] for place in free}
    codes = [place for place in free if cells[place] and all(map(_is_currency_code, cells[place]))]
    if kind == "components" and "currency" not in taken and len(codes) == 1:
        yield codes[0], "currency"
    free = [place for place in free if place not in codes]
    dates = [place for place in free if cells[place] and date_share(cells[place]) >= _ENOUGH]
    if _DAY[kind] not in taken and len(dates) == 1:
        yield dates[0], _DAY[kind]
    amounts = [place for place in free if place not in dates and cells[place] and _looks_like_money(cells[place])]
    if kind == "components" and not taken & set(_AMOUNTS) and len(amounts) == 1:
        yield amounts[0], "amount"
    texts = [place for place in free if place not in dates and cells[place] and _is_wordy(cells[place])]
    if _TEXT[kind] not in taken and len(texts) == 1:
        yield texts[0], _TEXT[kind]


def _is_currency_code(cell: Cell) -> bool:
    return isinstance(cell, str) and exponent_of(cell.strip()) is not None


def _looks_like_money(cells: Sequence[Cell]) -> bool:
    """Return whether the cells are numbers, one of them with cents or a currency."""
    has_cents = any(
        (isinstance(cell, str) and (parts := written(cell)) is not None and (parts.currency or _has_mark(parts.digits)))
        or (not isinstance(cell, str | Unreadable) and "." in cell_text(cell) and _is_number(cell))
        for cell in cells
    )
    return has_cents and number_share(cells) >= _ENOUGH


def _has_mark(digits: str) -> bool:
    return "." in digits or "," in digits


def _is_wordy(cells: Sequence[Cell]) -> bool:
    """Return whether most cells are different texts with letters."""
    texts = [cell for cell in cells if isinstance(cell, str) and any(map(str.isalpha, cell))]
    return len(texts) >= _ENOUGH * len(cells) and number_share(cells) == 0 and len(set(texts)) > len(texts) / 2


def _kind(found: Mapping[ImportKind, Mapping[int, Match]]) -> ImportKind:
    """Return the kind of the rows: labor where there are hours and nothing that is a price."""
    if len(found) == 1:
        return next(iter(found))
    labor = {match.field for match in found["labor"].values()}
    components = {match.field for match in found["components"].values() if match.by != "values"}
    has_hours = "hours" in labor or {"start", "end"} <= labor
    return "labor" if has_hours and not components & set(_AMOUNTS) else "components"
