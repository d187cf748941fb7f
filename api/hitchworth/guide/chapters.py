"""The chapters: their order, their text, and the HTML and the sections that it makes."""

import re
from collections.abc import Mapping, Sequence
from functools import cache
from html import escape
from importlib.resources import files
from itertools import pairwise
from typing import Any

import msgspec
from markdown_it import MarkdownIt
from markdown_it.token import Token
from pygments import highlight
from pygments.formatters import HtmlFormatter
from pygments.lexers import get_lexer_by_name
from pygments.util import ClassNotFound

FOLDER = files("hitchworth.guide")
HOME = "index"
"""The chapter at the address of the guide itself."""

_PICTURE = re.compile(r"pictures/[\w.-]+")
_EXAMPLE = re.compile(r"(?:\.\./)+[\w/]+/([\w-]+\.\w+)")
_AFTER_SIGN = re.compile(r"(?<=[_/.=])(?=\w)")
_OPTION = re.compile(r"(?<![\w-])--?[a-z][\w-]*")
_CHAPTER = re.compile(r"([\w-]+)\.md(#.*)?")


class Group(msgspec.Struct, frozen=True):
    """Chapters under a heading of the menu."""

    heading: str
    chapters: tuple[str, ...]


class Section(msgspec.Struct, frozen=True, kw_only=True):
    """What stands under a heading, as it is searched. Under the title the level is 1 and the anchor empty."""

    chapter: str
    anchor: str
    level: int
    chapter_title: str
    heading: str
    text: str


class Chapter(msgspec.Struct, frozen=True, kw_only=True):
    """A chapter as HTML without the frame of the page, and its sections in their order."""

    name: str
    title: str
    html: str
    sections: tuple[Section, ...]


@cache
def contents() -> tuple[Group, ...]:
    """Return the groups of the menu, without the home."""
    return tuple(msgspec.yaml.decode(FOLDER.joinpath("contents.yaml").read_bytes(), type=list[Group]))


@cache
def chapter_names() -> tuple[str, ...]:
    """Return the names of all chapters in their order, beginning with the home."""
    return (HOME, *(name for group in contents() for name in group.chapters))


@cache
def chapter(name: str) -> Chapter:
    """Return a chapter that `chapter_names` has.

    Its links are relative to the address of the chapter: the home stands one level above the others.
    """
    markdown = _markdown()
    tokens = markdown.parse(FOLDER.joinpath(f"{name}.md").read_text("utf-8"))
    sections = _with_anchors(name, tokens)
    _name_cells(tokens)
    html = markdown.renderer.render(tokens, markdown.options, {"chapter": name})
    return Chapter(name=name, title=sections[0].chapter_title, html=html, sections=sections)


def title_of(name: str) -> str:
    """Return the title of a chapter, without making its HTML."""
    first = FOLDER.joinpath(f"{name}.md").read_text("utf-8").partition("\n")[0]
    return first.removeprefix("# ")


def to_chapters(name: str) -> str:
    """Return what leads from the address of a chapter to the folder of the others, as the beginning of a link."""
    return "docs/" if name == HOME else ""


def to_server(name: str) -> str:
    """Return what leads from the address of a chapter to the root of the server, as the beginning of a link."""
    return "" if name == HOME else "../"


@cache
def _markdown() -> MarkdownIt:
    markdown = MarkdownIt("commonmark", {"highlight": _highlighted, "html": False}).enable("table")
    for rule, function in (
        ("link_open", _link),
        ("image", _image),
        ("table_open", _table),
        ("table_close", _table_end),
        ("code_inline", _word_of_code),
        ("fence", _code),
    ):
        markdown.add_render_rule(rule, function)
    return markdown


def _with_anchors(name: str, tokens: Sequence[Token]) -> tuple[Section, ...]:
    """Give each heading an anchor, and return the sections."""
    taken: set[str] = set()
    found: list[tuple[int, str, str, list[str]]] = []
    for before, token in pairwise(tokens):
        if before.type == "heading_open":
            heading = _plain(token)
            level = int(before.tag[1:])
            anchor = "" if level == 1 else _anchor(heading, taken)
            if anchor:
                before.attrSet("id", anchor)
            found.append((level, anchor, heading, []))
        elif token.type == "inline":
            found[-1][3].append(_plain(token))
        elif token.type == "fence":
            found[-1][3].append(token.content)
    title = found[0][2]
    return tuple(
        Section(chapter=name, anchor=anchor, level=level, chapter_title=title, heading=heading, text=" ".join(texts))
        for level, anchor, heading, texts in found
    )


def _name_cells(tokens: Sequence[Token]) -> None:
    """Give each cell of a table the name of its column: a telephone shows a row of text as a list of named cells.

    Roles say what a cell is wherever it stands. A table of numbers stays one, so that they can be compared.
    """
    table, heads, column = Token("", "", 0), list[str](), 0
    for token, content in pairwise(tokens):
        match token.type:
            case "table_open":
                table, heads = token, []
                table.attrs |= {"role": "table", "class": "listed"}
            case "tr_open":
                token.attrSet("role", "row")
                column = 0
            case "th_open":
                heads.append(_plain(content))
                token.attrs |= {"scope": "col", "role": "columnheader"}
            case "td_open":
                token.attrs |= {"role": "cell", "data-column": heads[column]}
                column += 1
        if token.attrs.pop("style", None) == "text-align:right":  # the policy forbids a style in the page
            token.attrSet("class", "number")
            table.attrSet("class", "numbers")


def _plain(token: Token) -> str:
    """Return the text of a line without its marks."""
    return "".join(" " if child.type in ("softbreak", "hardbreak") else child.content for child in token.children or ())


def _anchor(title: str, taken: set[str]) -> str:
    """Return an anchor as repositories on the web make it of a heading, so that a link leads there, too."""
    base = re.sub(r"[^\w\- ]", "", title.lower()).replace(" ", "-")
    names = (f"{base}-{count}" if count else base for count in range(len(taken) + 1))
    anchor = next(name for name in names if name not in taken)
    taken.add(anchor)
    return anchor


def _address(target: str, chapter_name: str) -> str:
    """Return a link of the source as the page has it: a chapter, a picture, an example, or an address of the server."""
    if target.startswith("/"):
        return to_server(chapter_name) + target[1:] or "./"
    if told := _CHAPTER.fullmatch(target):
        own = f"{to_server(chapter_name)}docs" if told[1] == HOME else to_chapters(chapter_name) + told[1]
        return own + (told[2] or "")
    if told := _EXAMPLE.fullmatch(target):
        return f"{to_chapters(chapter_name)}examples/{told[1]}"
    return to_chapters(chapter_name) + target if _PICTURE.fullmatch(target) else target


def _link(self: Any, tokens: Sequence[Token], index: int, options: Any, environment: Mapping[str, str]) -> str:
    token = tokens[index]
    token.attrSet("href", _address(str(token.attrGet("href")), environment["chapter"]))
    return str(self.renderToken(tokens, index, options, environment))


def _image(self: Any, tokens: Sequence[Token], index: int, options: Any, environment: Mapping[str, str]) -> str:
    """Return a picture that leads to itself in its full size: a telephone shows it small."""
    token = tokens[index]
    source = _address(str(token.attrGet("src")), environment["chapter"])
    token.attrSet("src", source)
    return f'<a class="picture" href="{escape(source)}">{self.image(tokens, index, options, environment)}</a>'


def _table(_: Any, tokens: Sequence[Token], index: int, *__: Any) -> str:
    """Return the beginning of a table. One that is too wide is moved sideways by itself, with the keyboard, too."""
    role, kind = tokens[index].attrGet("role"), tokens[index].attrGet("class")
    return f'<div class="wide" tabindex="0" role="group" aria-label="Table">\n<table role="{role}" class="{kind}">\n'


def _table_end(*_: Any) -> str:
    return "</table>\n</div>\n"


def _word_of_code(_: Any, tokens: Sequence[Token], index: int, *__: Any) -> str:
    """Return a word of code that may be broken after its signs, where a column is narrow."""
    broken = _whole_options(_AFTER_SIGN.sub("<wbr>", escape(tokens[index].content)))
    return f"<code>{broken}</code>"


def _whole_options(html: str) -> str:
    """Return code in which no option is broken after its hyphens."""
    return _OPTION.sub(r'<span class="word">\g<0></span>', html)


def _code(self: Any, *arguments: Any) -> str:
    """Return code, whose long lines are broken. What a program prints is not: it is moved sideways like a table."""
    tokens, index = arguments[0], arguments[1]
    frame = 'class="code"'
    if tokens[index].info == "text":
        frame = 'class="wide code printed" tabindex="0" role="group" aria-label="What is printed"'
    return f"<div {frame}>{self.fence(*arguments)}</div>\n"


def _highlighted(code: str, language: str, _: str) -> str:
    try:
        lexer = get_lexer_by_name(language)
    except ClassNotFound:
        return ""
    colored = str(highlight(code, lexer, HtmlFormatter(nowrap=True)))
    return _whole_options(colored) if language == "sh" else colored
