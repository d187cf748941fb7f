"""How a sheet looks: widths, styles, drop-down lists, comments, formulas, a chart. Content is in its table."""

from collections.abc import Mapping
from typing import Literal, TypeAlias

from msgspec import Struct

from hitchworth.workbooks.table import Table

Style: TypeAlias = Literal[
    "title", "head", "required", "label", "text", "number", "money", "share", "date", "total", "total_money", "wrong"
]
Place: TypeAlias = tuple[int, int]
"""Row and column, counted from 0."""


class Choices(Struct, frozen=True, kw_only=True):
    """A drop-down list for the cells of one column."""

    column: int
    first_row: int
    last_row: int
    words: tuple[str, ...]
    is_closed: bool
    """No other word is accepted."""


class Chart(Struct, frozen=True, kw_only=True):
    """Stacked bars, one for each row of a range of cells on the same sheet."""

    title: str
    place: Place
    """The cell at its upper left corner."""
    head: int
    """The row with the names of the series."""
    first_row: int
    last_row: int
    categories: int
    """The column with the name of each bar."""
    series: tuple[int, ...]
    """The columns that are stacked."""


class Look(Struct, frozen=True, kw_only=True):
    """How one sheet looks."""

    widths: tuple[int, ...] = ()
    """Of its columns, in characters."""
    columns: Mapping[int, Style] = {}
    """The style of the cells of a column that have none of their own."""
    styles: Mapping[Place, Style] = {}
    choices: tuple[Choices, ...] = ()
    comments: Mapping[Place, str] = {}
    formulas: Mapping[Place, str] = {}
    """Without the equals sign, with commas and cells such as A2; the value is in the table."""
    head: int = 0
    """The row of the headers, which stays in sight with all above it, and is printed on every page."""
    frozen_columns: int = 0
    chart: Chart | None = None


class Workbook(Struct, frozen=True, kw_only=True):
    """Sheets to write, with their looks by name."""

    title: str
    tables: tuple[Table, ...]
    looks: Mapping[str, Look]
    money_places: int = 2
    """Decimal places of amounts of money."""
    fault_count: int = 0
    """How many cells are marked as wrong."""
