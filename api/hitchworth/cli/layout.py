"""The layout of results in a terminal: plain tables with amounts on the right, and lists."""

from collections.abc import Iterable, Iterator, Sequence
from textwrap import fill

from rich.box import SIMPLE_HEAD, Box
from rich.console import Console, ConsoleOptions, Group, RenderableType, RenderResult
from rich.measure import Measurement
from rich.padding import Padding
from rich.styled import Styled
from rich.table import Column, Table

from hitchworth.localization.localizer import Localizer, ParameterValue
from hitchworth.localization.texts import texts

HEADING_WIDTH = 14
_NAME_WIDTH, _TEXT_WIDTH = 12, 24
"""Longer words may be broken, in the first column and in others; where less is left, a table is written as lists."""

_DASHES = Box("    \n    \n -- \n    \n -- \n -- \n    \n    \n", ascii=True)
"""As SIMPLE_HEAD, for an encoding without lines to draw."""


class ResultTable(Table):
    """A table that never cuts an amount or a name: where the terminal is too narrow for it, each row is a list."""

    def __rich_console__(self, console: Console, options: ConsoleOptions) -> RenderResult:
        """Lay out the table, or the lists."""
        self.box = _DASHES if options.ascii_only else SIMPLE_HEAD
        for column in self.columns:
            column.overflow = "fold"
        if self._needed(console, options) <= options.max_width:
            yield from super().__rich_console__(console, options)
        else:
            yield from self._lists()

    def _needed(self, console: Console, options: ConsoleOptions) -> int:
        """Return the width that the amounts need as they are, with names of some width beside them."""
        return sum(self._least_width(column, console, options) + 2 for column in self.columns)

    def _least_width(self, column: Column, console: Console, options: ConsoleOptions) -> int:
        cells = [Measurement.get(console, options, cell) for cell in (column.header, *column.cells)]
        if column.no_wrap:
            return max(cell.maximum for cell in cells)
        most = _NAME_WIDTH if column is self.columns[0] else _TEXT_WIDTH
        return min(most, max(cell.minimum for cell in cells))

    def _lists(self) -> Iterator[RenderableType]:
        if self.title:
            yield Styled(str(self.title), "bold")
        names = [str(column.header).replace("\n", " ") for column in self.columns]
        are_amounts = [column.justify == "right" for column in self.columns]
        for row, *cells in zip(self.rows, *(column.cells for column in self.columns), strict=True):
            yield Padding(_row_as_list(names, cells, are_amounts), (0, 0), style=str(row.style or ""))
            if self.leading or row.end_section:
                yield ""


def _row_as_list(names: Sequence[str], cells: Sequence[RenderableType], are_amounts: Sequence[bool]) -> RenderableType:
    """Return a row as its first cell, with the others below it, each with its heading; a number alone needs its own."""
    first = cells[0]
    is_number = isinstance(first, str) and first.isdecimal()
    parts: list[RenderableType] = [f"{names[0]} {first}" if is_number else first]
    amounts = Table.grid(padding=(0, 1))
    amounts.add_column(overflow="fold")
    amounts.add_column(justify="right", no_wrap=True)
    for name, cell, is_amount in list(zip(names, cells, are_amounts, strict=True))[1:]:
        if cell == "":
            continue
        if is_amount:
            amounts.add_row(name, cell)
        else:
            told = f"{name}: {cell}" if isinstance(cell, str) else cell
            parts.append(Padding(told, (0, 0, 0, 2)))
    return Group(*parts, *([Padding(amounts, (0, 0, 0, 2))] if amounts.row_count else []))


def sheet_text(localizer: Localizer, key: str, **parameters: ParameterValue) -> str:
    """Return a text of texts/sheet.yaml by its key."""
    return localizer.format(texts().sheet[key], **parameters)


def plain_table(localizer: Localizer, title: str, first: str, **parameters: ParameterValue) -> Table:
    """Return an empty table; title and first heading are keys of texts/sheet.yaml."""
    return titled_table(sheet_text(localizer, title, **parameters), sheet_text(localizer, first))


def titled_table(title: str, first: str) -> Table:
    """Return an empty table with this title and this first heading."""
    table = ResultTable(title=title, title_justify="left", title_style="bold", show_edge=False, pad_edge=False)
    table.add_column(first)
    return table


def word_table(first: str, *headings: str) -> Table:
    """Return an empty table of words without a title, whose rows are told apart by the first: an id, a name."""
    table = ResultTable(show_edge=False, pad_edge=False)
    table.add_column(first, no_wrap=True)
    for heading in headings:
        table.add_column(heading)
    return table


def add_amount_columns(table: Table, *headings: str) -> None:
    """Add columns aligned to the right, their headings broken into lines."""
    for heading in headings:
        table.add_column(fill(heading, HEADING_WIDTH), justify="right", no_wrap=True)


def stacked(*parts: RenderableType) -> Group:
    """Return the parts of a result below each other, each with an empty line below it."""
    return Group(*(Padding(part, (0, 0, 1, 0)) for part in parts))


def bullet_list(title: str, items: Iterable[str]) -> RenderableType:
    """Return a list, each item once, with its title above; the title may be empty."""
    bullets = Table.grid(padding=(0, 1))
    for item in dict.fromkeys(items):
        bullets.add_row("-", item)
    bullets.style = "dim"
    return Group(*filter(None, (title,)), bullets)
