"""Columns of cells: the figures of many rows in one request, in their order, by the functions of the single cells.

A row that is wrong says so in its own line. The docstrings of the functions are the descriptions of the API.
"""

from codecs import BOM_UTF8
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from datetime import date
from typing import Annotated, Any, TypeVar

from msgspec import Meta
from msgspec.structs import replace

from hitchworth import validation
from hitchworth.model.cell import (
    Cell,
    CellColumn,
    CellDate,
    CellQuery,
    ColumnCell,
    DepreciatedValueQuery,
    IndexedPriceQuery,
    Mark,
    PercentGoodQuery,
)
from hitchworth.model.fault import Fault
from hitchworth.operations.cells import get_depreciated_value, get_indexed_price, get_percent_good
from hitchworth.operations.tables import ResultTable
from hitchworth.validation import InvalidInputError
from hitchworth.validation.errors import in_a_line
from hitchworth.validation.fault_texts import shorten, with_suggestions
from hitchworth.validation.type_inspection import record_fields
from hitchworth.workbooks.cells import cell_name, cell_text
from hitchworth.workbooks.delimited import read_delimited

Query = TypeVar("Query", bound=CellQuery)
ColumnDate = Annotated[
    CellDate, Meta(description="Valuation date of the rows that name none. Default: today, where the server is.")
]
ColumnMark = Annotated[
    Mark, Meta(description="Decimal mark of the texts, and of the numbers of a CSV; there are no thousands separators.")
]

MAX_ROWS = 10_000
COLUMN = (
    ResultTable(name="cells", description="a row for each row", record=ColumnCell, rows=lambda column: column.cells),
)


def create_percent_good_column(request: bytes, as_of: ColumnDate = None, decimal: ColumnMark = "point") -> CellColumn:
    """Compute percent good for many rows.

    The body is CSV with a line of names, or an array in JSON; a row has what GET takes as parameters. The response has
    as many lines in the same order, each the figure of GET for its row, or what is wrong with the row. An empty row has
    an empty line.
    """
    return _column(request, PercentGoodQuery, get_percent_good, as_of, decimal)


def create_depreciated_value_column(
    request: bytes, as_of: ColumnDate = None, decimal: ColumnMark = "point"
) -> CellColumn:
    """Compute what is left of a replacement cost, for many rows.

    The body is CSV with a line of names, or an array in JSON; a row has what GET takes as parameters. The response has
    as many lines in the same order, each the figure of GET for its row, or what is wrong with the row. An empty row has
    an empty line.
    """
    return _column(request, DepreciatedValueQuery, get_depreciated_value, as_of, decimal)


def create_indexed_price_column(request: bytes, as_of: ColumnDate = None, decimal: ColumnMark = "point") -> CellColumn:
    """Trend the prices of many rows to a date.

    The body is CSV with a line of names, or an array in JSON; a row has what GET takes as parameters. The response has
    as many lines in the same order, each the figure of GET for its row, or what is wrong with the row. An empty row has
    an empty line.
    """
    return _column(request, IndexedPriceQuery, get_indexed_price, as_of, decimal)


def _column(
    body: bytes, kind: type[Query], cell_of: Callable[[Query], Cell], as_of: date | None, decimal: str
) -> CellColumn:
    given = {"as_of": None if as_of is None else as_of.isoformat(), "decimal": decimal}
    shared = {name: value for name, value in given.items() if value is not None}
    return CellColumn(cells=tuple(_cell(row, kind, cell_of, shared) for row in _rows(body, kind, decimal)))


def _cell(row: Any, kind: type[Query], cell_of: Callable[[Query], Cell], shared: dict[str, str]) -> ColumnCell:
    """Return the cell of one row. What is no object is read as it is, so that the fault says so."""
    if row is None:
        return ColumnCell(text="")
    sent = shared | row if isinstance(row, dict) else row
    try:
        found = cell_of(validation.read(validation.write_json(sent), kind))
    except InvalidInputError as error:
        faults = tuple(replace(fault, pointer=fault.pointer.removeprefix("/")) for fault in error.faults)
        told = "; ".join(" ".join(in_a_line(fault, whole="").split()) for fault in faults)
        return ColumnCell(text=f"Error: {told}", errors=error.faults)
    return ColumnCell(text=found.text, value=found.value)


def _rows(body: bytes, kind: type[CellQuery], decimal: str) -> Sequence[Any]:
    """Return the rows of the body, an empty one as null. Raises InvalidInputError when it has none, or too many."""
    content = body.removeprefix(BOM_UTF8).strip()
    if not content:
        raise _empty()
    is_json = content[:1] in (b"[", b"{")
    rows = validation.read_json(content) if is_json else _csv_rows(content, body, kind, decimal)
    if not isinstance(rows, list):
        raise _fault("The body is no array", "an array with an object for each row", "an object")
    if len(rows) > MAX_ROWS:
        raise _too_many(len(rows))
    return [None if row is None or row == {} else row for row in rows]


def _csv_rows(content: bytes, body: bytes, kind: type[CellQuery], decimal: str) -> list[Any]:
    if content.count(b"\n") > MAX_ROWS:
        raise _too_many(content.count(b"\n"))
    (table,) = read_delimited(body).tables
    if not table.rows:  # a mark of the encoding or of the delimiter alone
        raise _empty()
    header, *rows = ([cell_text(cell).strip() for cell in row] for row in table.rows)
    names = list(_names(header, rows, kind))
    types = {field.name: field.type for field in record_fields(kind)} if decimal == "comma" else {}
    return [_csv_row(names, row, types) for row in rows]


def _csv_row(names: Sequence[str], row: Sequence[str], with_comma: Mapping[str, Any]) -> dict[str, str]:
    return {
        name: validation.with_point(text, with_comma[name]) if name in with_comma else text
        for name, text in zip(names, row, strict=False)
        if name and text
    }


def _names(header: Sequence[str], rows: Iterable[Sequence[str]], kind: type[CellQuery]) -> Iterator[str]:
    """Yield the field of each column. Raises InvalidInputError with every name that is none, or stands twice."""
    known = [field.name for field in record_fields(kind)]
    filled = {place for row in rows for place, text in enumerate(row) if text}
    faults = []
    for place, name in enumerate(header):
        if name not in known and (name or place in filled):
            expected = with_suggestions(name, known, f"one of {', '.join(known)}")
            faults.append(_wrong_name(place, "Unknown column", expected, shorten(name) or "no name"))
        elif name and name in header[:place]:
            faults.append(_wrong_name(place, "The column stands twice", "each once", name))
    if faults:
        raise InvalidInputError(faults)
    yield from header


def _wrong_name(place: int, detail: str, expected: str, found: str) -> Fault:
    return Fault(pointer="", cell=cell_name(0, place), detail=detail, expected=expected, found=found)


def _empty() -> InvalidInputError:
    return _fault("The body is empty", "CSV with a line of names, or an array in JSON", "nothing")


def _too_many(count: int) -> InvalidInputError:
    return _fault("Too many rows", f"at most {MAX_ROWS:,}; send the others in another request", f"{count:,}")


def _fault(detail: str, expected: str, found: str) -> InvalidInputError:
    return InvalidInputError([Fault(pointer="", detail=detail, expected=expected, found=found)])
