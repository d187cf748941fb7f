"""The layout of results in a terminal: plain tables with amounts on the right, and lists."""

from collections.abc import Iterable
from textwrap import fill

from rich import box
from rich.console import Group, RenderableType
from rich.table import Table
from rich.text import Text

from hitchworth.localization.localizer import Localizer, ParameterValue
from hitchworth.localization.texts import texts

HEADING_WIDTH = 14

SPACE_BELOW = (0, 0, 1, 0)
"""The padding for an empty line below."""


def sheet_text(localizer: Localizer, key: str, **parameters: ParameterValue) -> str:
    """Return a text of texts/sheet.yaml by its key."""
    return localizer.format(texts().sheet[key], **parameters)


def plain_table(localizer: Localizer, title: str, first: str, **parameters: ParameterValue) -> Table:
    """Return an empty table; title and first heading are keys of texts/sheet.yaml."""
    return titled_table(sheet_text(localizer, title, **parameters), sheet_text(localizer, first))


def titled_table(title: str, first: str) -> Table:
    """Return an empty table with this title and this first heading."""
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


def add_amount_columns(table: Table, *headings: str) -> None:
    """Add columns aligned to the right, their headings broken into lines."""
    for heading in headings:
        table.add_column(fill(heading, HEADING_WIDTH), justify="right", no_wrap=True)


def bullet_list(title: str, items: Iterable[str]) -> RenderableType:
    """Return a title with a list below, each item once."""
    bullets = Table.grid(padding=(0, 1))
    for item in dict.fromkeys(items):
        bullets.add_row("-", Text(item))
    bullets.style = "dim"
    return Group(Text(title), bullets)
