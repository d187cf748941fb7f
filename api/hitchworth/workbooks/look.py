"""How a sheet looks: widths, styles, drop-down lists, comments, formulas, a chart. Content is in its table."""

import math
import re
from collections.abc import Mapping, Sequence
from textwrap import wrap
from typing import Literal, TypeAlias

from msgspec import Struct

from hitchworth.workbooks.cells import Cell
from hitchworth.workbooks.table import Table

Style: TypeAlias = Literal[
    "title",
    "head",
    "required",
    "label",
    "text",
    "number",
    "money",
    "share",
    "date",
    "total",
    "total_money",
    "entry_number",
    "entry_money",
    "entry_share",
    "wrong",
    "unlisted",
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
    links: Mapping[Place, str] = {}
    """Cells with a link to another cell: Components!D2."""
    head: int = 0
    """The row of the headers, which stays in sight with all above it, and is printed on every page."""
    frozen_columns: int = 0
    chart: Chart | None = None

    def style_of(self, row: int, column: int) -> Style | None:
        """Return the style of a cell: its own, else that of the head or of its column."""
        own = self.styles.get((row, column))
        if own is not None or row < self.head:
            return own
        return "head" if row == self.head else self.columns.get(column)


class Workbook(Struct, frozen=True, kw_only=True):
    """Sheets to write, with their looks by name."""

    title: str
    locale: str
    """Of its words."""
    tables: tuple[Table, ...]
    looks: Mapping[str, Look]
    money_places: int = 2
    """Decimal places of amounts of money."""
    currency_sign: tuple[str, str] = ("", "")
    """What stands before and after an amount of money, where all are in one currency."""
    fault_count: int = 0
    """How many cells are marked as wrong."""
    lost: tuple[str, ...] = ()
    """What stood in the workbook that was sent and is not in this one, in words."""


_PLAIN, _BOLD = 1.0, 0.85
"""How many characters of usual text fit the width of one; a width is counted in digits. Fonts differ: rather a few less
than one line too few."""


def lines_in(row: Sequence[Cell], widths: Sequence[int], styles: Sequence[Style | None]) -> int:
    """Return how many lines a row needs, its texts wrapped to the widths of its columns."""
    most = 1
    for cell, width, style in zip(row, widths, styles, strict=False):
        if isinstance(cell, str) and style is not None:
            fitting = int(width * (_BOLD if style in ("head", "required", "label") else _PLAIN))
            most = max(most, sum(len(wrap(line, fitting)) or 1 for line in cell.split("\n")))
    return most


def wide_enough(widths: Sequence[int], heads: Sequence[Sequence[Cell]]) -> tuple[int, ...]:
    """Return the widths, each at least that of the longest word of its headers, which would be cut in two."""
    needed = list(widths)
    for head in heads:
        for column, cell in enumerate(head[: len(needed)]):
            longest = max(map(len, re.findall(r"[^\s-]+-?", cell)), default=0) if isinstance(cell, str) else 0
            needed[column] = max(needed[column], math.ceil((longest + 1) / _BOLD))
    return tuple(needed)
