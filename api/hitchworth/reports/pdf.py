"""A report as PDF, tagged for screen readers (PDF/UA-1), from a fixed template that reads the content as JSON.

No text is ever read as markup. The same content gives the same bytes.
"""

import re
import unicodedata
from functools import cache
from importlib.resources import files

import msgspec
from msgspec.structs import replace

from hitchworth.localization.localizer import localizer_for
from hitchworth.localization.texts import texts
from hitchworth.model.fault import Fault
from hitchworth.reports.content import AnyBlock, Content, GroupedTable, Listing, Paragraph, Table, is_short
from hitchworth.reports.typesetting import PICTURE, compile_typst
from hitchworth.validation import InvalidInputError

MAX_ROWS = 4_000
"""Rows of tables in one PDF. Each takes about 0.13 MB while the document is set, so all of them at most 600 MB."""

_PAPERS = {"letter": "us-letter", "a4": "a4"}

_NOT_IN_FONTS = re.compile(
    r"[^\n\u0020-\u007e\u00a0-\u0377\u037a-\u037f\u0384-\u038a\u038c\u038e-\u03a1\u03a3-\u04ff\u1e00-\u1eff"
    r"\u2000-\u200a\u2010-\u2027\u202f\u2030-\u2040\u2044-\u2052\u2070\u2074-\u208e\u20a0-\u20bf\u2116\u2122"
    r"\u2150\u2153-\u215e\u2190-\u22ff\u2500-\u25ff]"
)
"""Characters that the fonts do not have: a missing glyph violates PDF/UA. A test prints all other characters."""

_SQUARE = "\u25a1"
_SUSPECTS = b"/Suspects false"


def render(content: Content) -> bytes:
    """Return the PDF. A character that no font has, such as an emoji, is printed as a square.

    Raises InvalidInputError for more rows of tables than fit into the memory that a PDF may take.
    """
    limit_rows(content)
    return _without_suspects(compile_typst(source(content), "pdf", pdf_standards=("ua-1",)))


def source(content: Content) -> dict[str, bytes]:
    """Return the files that the page is set from: the template, the content as JSON, and each picture once."""
    language, _, region = content.language.partition("-")
    if _has_unprintable(content):
        content = replace(content, blocks=(_on_squares(content.language), *content.blocks))
    sheet = {
        **msgspec.to_builtins(content, builtin_types=(bytes,)),
        "blocks": list(map(_block, content.blocks)),
        "paper": _PAPERS[content.paper],
        "lang": language,
        "region": region or None,
    }
    pictures: dict[bytes, str] = {}
    printed = msgspec.json.encode(replace_unprintable(_with_named_pictures(sheet, pictures)))
    return {"main.typ": _template(), "sheet.json": printed, **{name: data for data, name in pictures.items()}}


def _with_named_pictures(value: object, pictures: dict[bytes, str]) -> object:
    """Return the same value with a name for each picture, which is noted in `pictures`."""
    if isinstance(value, dict):
        return {key: _with_named_pictures(part, pictures) for key, part in value.items()}
    if isinstance(value, (list, tuple)):
        return [_with_named_pictures(part, pictures) for part in value]
    return pictures.setdefault(value, f"{len(pictures) + 1}{PICTURE}") if isinstance(value, bytes) else value


def limit_rows(content: Content) -> None:
    """Refuse a report whose tables have too many rows: raises InvalidInputError, which names the other formats."""
    rows = sum(map(_rows, content.blocks))
    if rows > MAX_ROWS:
        fault = Fault(
            pointer="/build/components",
            detail="The report is too long for a PDF",
            expected=f"at most {MAX_ROWS:,} rows in its tables; HTML, Markdown and DOCX have no limit",
            found=f"{rows:,} rows",
        )
        raise InvalidInputError([fault])


def _rows(block: AnyBlock) -> int:
    if isinstance(block, GroupedTable):
        return sum(len(group.rows) for group in block.groups)
    return len(block.rows) if isinstance(block, Table) else 0


def _block(block: AnyBlock) -> dict[str, object]:
    """Return a block as plain values; a table and a list with whether it is kept on one page."""
    kept = {"keep_together": is_short(block)} if isinstance(block, Table | Listing) else {}
    return {**msgspec.to_builtins(block, builtin_types=(bytes,)), **kept}


def _has_unprintable(content: Content) -> bool:
    """Return whether a square stands for a character somewhere."""
    return any(_substitute(found) for found in _NOT_IN_FONTS.finditer(str(msgspec.to_builtins(content))))


def _on_squares(language: str) -> Paragraph:
    """Return the footnote that says what a square stands for."""
    return Paragraph(localizer_for(language).format(texts().sheet["square"], square=_SQUARE), small=True)


def _without_suspects(document: bytes) -> bytes:
    """Leave out that no tag is suspect, which is the default (ISO 32000-1, table 321): a widely used reader complains.

    Blanks take its place, so that everything stays where the table of the file says.
    """
    return document.replace(_SUSPECTS, b" " * len(_SUSPECTS))


def replace_unprintable(value: object) -> object:
    """Return the same value with every text in characters that can be printed."""
    if isinstance(value, str):
        return _NOT_IN_FONTS.sub(_substitute, value)
    if isinstance(value, dict):
        return {key: replace_unprintable(part) for key, part in value.items()}
    if isinstance(value, (list, tuple)):
        return [replace_unprintable(part) for part in value]
    return value


def _substitute(match: re.Match[str]) -> str:
    """Return a square for a visible character, and nothing for an invisible one such as a joiner."""
    return "" if unicodedata.category(match.group()) in {"Cf", "Mn", "Me"} else _SQUARE


@cache
def _template() -> bytes:
    return files("hitchworth.reports").joinpath("templates", "sheet.typ").read_bytes()
