"""How what was found is laid out in a terminal: plain tables, amounts to the right, points below."""

from collections.abc import Iterable
from textwrap import fill

from rich import box
from rich.console import Group, RenderableType
from rich.table import Table
from rich.text import Text

from hitchworth.localization.localizer import Localizer, Particular
from hitchworth.localization.texts import texts

HEADING_WIDTH = 14

BELOW = (0, 0, 1, 0)
"""An empty line below."""


def said(localizer: Localizer, key: str, **parameters: Particular) -> str:
    """A text of the sheets."""
    return localizer.format(texts().sheet[key], **parameters)


def plain_table(localizer: Localizer, title: str, first: str, **parameters: Particular) -> Table:
    """A table with the rules that paper needs and no more; both are keys of texts of the sheets."""
    return titled_table(said(localizer, title, **parameters), said(localizer, first))


def titled_table(title: str, first: str) -> Table:
    """The same with a title and a first heading as they are."""
    table = Table(
        title=title,
        title_justify="left",
        title_style="bold",
        box=box.SIMPLE_HEAD,
        show_edge=False,
        pad_edge=False,
    )
    table.add_column(first, overflow="fold")
    return table


def amount_columns(table: Table, *headings: str) -> None:
    """Columns to the right, their headings broken into lines."""
    for heading in headings:
        table.add_column(fill(heading, HEADING_WIDTH), justify="right", no_wrap=True)


def points(title: str, items: Iterable[str]) -> RenderableType:
    """A title with its points below, each once."""
    listed = Table.grid(padding=(0, 1))
    for item in dict.fromkeys(items):
        listed.add_row("-", Text(item))
    listed.style = "dim"
    return Group(Text(title), listed)
