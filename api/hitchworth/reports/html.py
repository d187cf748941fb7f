"""A sheet as one HTML page that asks for nothing from outside: style and drawings lie within, no script."""

import re
from functools import cache
from importlib.resources import files

from jinja2 import Environment, PackageLoader
from markupsafe import Markup

from hitchworth.reports.content import Block, Column, Content

WHOLE = 10
"""A table of up to so many rows is kept on one page."""

_LONG_WORD = re.compile(r"\S{25,}")
_SIZES = {"letter": "letter", "a4": "A4"}


def render(content: Content) -> str:
    """The page. Every text is escaped; only the drawings, which are made here, are put in as they are."""
    return (
        _environment()
        .get_template("sheet.html")
        .render(sheet=content, style=Markup(_style()), size=_SIZES[content.paper], whole=WHOLE)
    )


@cache
def _environment() -> Environment:
    environment = Environment(
        loader=PackageLoader("hitchworth.reports"), autoescape=True, trim_blocks=True, lstrip_blocks=True
    )
    environment.filters |= {
        "kind": _kind,
        "cell": _cell,
        "widths": _widths,
        "breakable": _breakable,
        "drawing": Markup,
        "css_text": _css_text,
    }
    return environment


@cache
def _style() -> str:
    return files("hitchworth.reports").joinpath("templates", "sheet.css").read_text("utf-8")


def _kind(block: Block) -> str:
    return str(block.__struct_config__.tag)


def _breakable(text: str) -> str:
    """The text with places where a very long word may be broken, so that no column grows over the page."""
    return _LONG_WORD.sub(lambda word: "\u200b".join(word.group()), text)


def _widths(columns: tuple[Column, ...]) -> tuple[int, ...]:
    """Percent of the table's width. One of 1 % grows to its widest cell, for these are not broken."""
    narrow = sum(not column.width for column in columns)
    shares = sum(column.width for column in columns) or 1
    return tuple((100 - narrow) * column.width // shares or 1 for column in columns)


def _cell(column: Column) -> Markup:
    if column.align == "right":
        return Markup(' class="right"')
    return Markup("" if column.width else ' class="narrow"')


def _css_text(text: str) -> Markup:
    """The text as a string of CSS inside a style element: whatever could end either is written by its code point."""
    plain = "".join(letter if letter.isalnum() or letter in " ,.-" else f"\\{ord(letter):x} " for letter in text)
    return Markup(f'"{plain}"')
