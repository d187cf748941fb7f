"""A report as one HTML page that loads nothing from outside: styles, fonts and charts are inside it, no script."""

import re
from base64 import b64encode
from functools import cache
from importlib.resources import files

from jinja2 import Environment, PackageLoader
from markupsafe import Markup

from hitchworth.localization.localizer import localizer_for
from hitchworth.localization.texts import texts
from hitchworth.reports.content import Blanks, Block, Column, Content, QuestionBox, is_short

_FONTS = {400: "libertinus-serif-regular.woff2", 700: "libertinus-serif-bold.woff2"}
"""The fonts of the page by weight, those that the PDF has too, so that every machine shows the same page."""

_LONG_WORD = re.compile(r"\S{25,}")
_SIZES = {"letter": "letter", "a4": "A4"}


def render(content: Content) -> str:
    """Return the page. Every text is escaped; only the charts, which the program draws, are inserted unchanged."""
    return (
        _environment()
        .get_template("sheet.html")
        .render(
            sheet=content,
            style=Markup(_style()),
            size=_SIZES[content.paper],
            typed_answers=_typed_answers(content),
        )
    )


def _typed_answers(content: Content) -> str:
    """Return how to keep what is typed into the page; empty where there is nothing to type into."""
    if not any(isinstance(block, QuestionBox | Blanks) for block in content.blocks):
        return ""
    return localizer_for(content.language).format(texts().sheet["typed_answers"])


@cache
def _environment() -> Environment:
    environment = Environment(
        loader=PackageLoader("hitchworth.reports"), autoescape=True, trim_blocks=True, lstrip_blocks=True
    )
    environment.filters |= {
        "kind": _kind,
        "short": is_short,
        "cell_class": _cell_class,
        "widths": _widths,
        "breakable": _breakable,
        "svg": Markup,
        "base64": lambda data: b64encode(data).decode(),
        "css_string": _css_string,
    }
    return environment


@cache
def _style() -> str:
    package = files("hitchworth.reports")
    faces = (_font_face(weight, package.joinpath("fonts", name).read_bytes()) for weight, name in _FONTS.items())
    return "\n".join((*faces, package.joinpath("templates", "sheet.css").read_text("utf-8")))


def _font_face(weight: int, font: bytes) -> str:
    source = f"data:font/woff2;base64,{b64encode(font).decode()}"
    return (
        f'@font-face {{ font-family: "Libertinus Serif"; font-weight: {weight}; src: url({source}) format("woff2"); }}'
    )


def _kind(block: Block) -> str:
    return str(block.__struct_config__.tag)


def _breakable(text: str) -> str:
    """Return the text with places to break very long words, so that no column gets wider than the page."""
    return _LONG_WORD.sub(lambda word: "\u200b".join(word.group()), text)


def _widths(columns: tuple[Column, ...]) -> tuple[int, ...]:
    """Return percentages of the table's width. A column of 1 % is as wide as its widest cell: its cells do not wrap."""
    narrow = sum(not column.width for column in columns)
    shares = sum(column.width for column in columns) or 1
    return tuple((100 - narrow) * column.width // shares or 1 for column in columns)


def _cell_class(column: Column) -> Markup:
    if column.align == "right":
        return Markup(' class="right"')
    return Markup("" if column.width else ' class="narrow"')


def _css_string(text: str) -> Markup:
    """Return the text as a CSS string. Characters that could end it or the style element become code points."""
    plain = "".join(letter if letter.isalnum() or letter in " ,.-" else f"\\{ord(letter):x} " for letter in text)
    return Markup(f'"{plain}"')
