"""A table as a file holds it: rows of cells, and what the file says about them."""

from msgspec import Struct

from hitchworth.model.receipt_import import Delimiter, Encoding
from hitchworth.workbooks.cells import Row

MAX_ROWS, MAX_COLUMNS = 10_000, 256
"""A larger table is refused before it takes memory. A build has at most as many components, and as much labor."""
MAX_LINES = MAX_ROWS + 50
"""The rows of a table with its headers, what stands above them, and totals."""
TOO_MANY_ROWS = (
    f"The table has more than {MAX_ROWS:,} rows, and a build has at most {MAX_ROWS:,} lines. "
    "Leave out what is not needed, or put several small purchases in one row."
)


class Table(Struct, frozen=True, kw_only=True):
    """One sheet of a workbook, or a file of delimited text."""

    name: str = ""
    """Name of the sheet; empty for delimited text."""
    rows: tuple[Row, ...]
    dates_from_1904: bool = False
    """A number that stands for a date counts the days from 1904, as some spreadsheets do, not from 1900."""
    formulas: tuple[tuple[int, int], ...] = ()
    """The cells whose value a formula gave when the file was saved, by row and column counted from 0."""


class Source(Struct, frozen=True, kw_only=True):
    """A file of tables as it was read."""

    tables: tuple[Table, ...]
    form: str
    """How it is written: csv, tsv, xlsx, ods."""
    hidden: tuple[str, ...] = ()
    """Names of hidden sheets, which are not read."""
    encoding: Encoding | None = None
    """Of delimited text."""
    delimiter: Delimiter | None = None


class UnreadableFileError(ValueError):
    """The file cannot be read at all. The message says why, and what to do, in plain English."""
