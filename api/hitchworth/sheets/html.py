"""A sheet as one HTML page that asks for nothing from outside: style and drawings lie within, and there is no script."""

from functools import cache
from importlib.resources import files

from jinja2 import Environment, PackageLoader
from markupsafe import Markup

from hitchworth.sheets.content import Block, Column, Content

WHOLE = 10
"""A table of up to so many rows is kept on one page."""

_SIZES = {"letter": "letter", "a4": "A4"}


def render(content: Content) -> str:
    """The page. Every text is escaped; only the drawings, which are made here, are put in as they are."""
    return _environment().get_template("sheet.html").render(
        sheet=content, style=Markup(_style()), size=_SIZES[content.paper], whole=WHOLE  # noqa: S704
    )


@cache
def _environment() -> Environment:
    environment = Environment(
        loader=PackageLoader("hitchworth.sheets"), autoescape=True, trim_blocks=True, lstrip_blocks=True
    )
    environment.filters |= {"kind": _kind, "cell": _cell, "drawing": Markup, "css_text": _css_text}
    return environment


@cache
def _style() -> str:
    return files("hitchworth.sheets").joinpath("templates", "sheet.css").read_text("utf-8")


def _kind(block: Block) -> str:
    return str(block.__struct_config__.tag)


def _cell(column: Column) -> Markup:
    return Markup(' class="right"' if column.align == "right" else "")


def _css_text(text: str) -> Markup:
    """The text as a string of CSS inside a style element: whatever could end either is written by its code point."""
    plain = "".join(letter if letter.isalnum() or letter in " ,.-" else f"\\{ord(letter):x} " for letter in text)
    return Markup(f'"{plain}"')  # noqa: S704
