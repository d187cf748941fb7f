"""A sheet as PDF, tagged for screen readers (PDF/UA-1), set by a fixed template that reads the content as JSON.

Texts stay texts: none is ever taken for markup. The same content gives the same bytes.
"""

import re
import unicodedata
from functools import cache
from importlib.resources import files

import msgspec

from hitchworth.reports.content import Content
from hitchworth.reports.html import WHOLE
from hitchworth.reports.typesetter import typeset

_PAPERS = {"letter": "us-letter", "a4": "a4"}

_NOT_IN_FONTS = re.compile(
    r"[^\n\u0020-\u007e\u00a0-\u0377\u037a-\u037f\u0384-\u038a\u038c\u038e-\u03a1\u03a3-\u04ff\u1e00-\u1eff"
    r"\u2000-\u200a\u2010-\u2027\u202f\u2030-\u2040\u2044-\u2052\u2070\u2074-\u208e\u20a0-\u20bf\u2116\u2122"
    r"\u2150\u2153-\u215e\u2190-\u22ff\u2500-\u25ff]"
)
"""What the typesetter's fonts cannot print: a missing glyph would be an error of PDF/UA. A test prints all the rest."""


def render(content: Content) -> bytes:
    """The PDF. A character that no font has, such as an emoji, is printed as a square."""
    language, _, region = content.language.partition("-")
    sheet = {
        **msgspec.to_builtins(content),
        "paper": _PAPERS[content.paper],
        "lang": language,
        "region": region or None,
        "whole": WHOLE,
    }
    files = {"main.typ": _template(), "sheet.json": msgspec.json.encode(printable(sheet))}
    return typeset(files, "pdf", standards=("ua-1",))


def printable(value: object) -> object:
    """The same records and lists with every text in characters that can be printed."""
    if isinstance(value, str):
        return _NOT_IN_FONTS.sub(_square, value)
    if isinstance(value, dict):
        return {key: printable(part) for key, part in value.items()}
    if isinstance(value, (list, tuple)):
        return [printable(part) for part in value]
    return value


def _square(match: re.Match[str]) -> str:
    """A square for a letter; nothing for what is not seen anyway, such as marks of direction and joiners."""
    return "" if unicodedata.category(match.group()) in {"Cf", "Mn", "Me"} else "\u25a1"


@cache
def _template() -> bytes:
    return files("hitchworth.reports").joinpath("templates", "sheet.typ").read_bytes()
