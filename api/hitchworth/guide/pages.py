"""The pages of the guide: a chapter or what was found, in a frame with the menu and the search, without a script."""

from functools import cache
from importlib.metadata import version
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup
from msgspec import Struct
from msgspec.structs import replace

from hitchworth.guide.chapters import HOME, chapter, chapter_names, contents, title_of, to_chapters, to_server
from hitchworth.guide.search import LONGEST_QUERY, Found, search


class _Turn(Struct, frozen=True):
    """A link to the chapter before or after."""

    address: str
    title: str


class _Place(Struct, frozen=True):
    """A section that was found, and the link to it."""

    address: str
    section: Found


@cache
def chapter_page(name: str) -> bytes:
    """Return the page of a chapter that `chapter_names` has."""
    shown = chapter(name)
    place = chapter_names().index(name)
    before, after = place - 1, place + 1
    text = (
        _environment()
        .get_template("chapter.html")
        .render(
            _frame(name),
            chapter={"title": shown.title, "html": Markup(shown.html)},
            parts=[part for part in shown.sections if part.level == 2 and name != HOME],
            before=_turn(name, chapter_names()[before]) if before >= 0 else None,
            after=_turn(name, chapter_names()[after]) if after < len(chapter_names()) else None,
        )
    )
    return text.encode()


def found_page(query: str) -> bytes:
    """Return the page of what a query finds. Any text is a query; it is read to its 200th character."""
    query = query[:LONGEST_QUERY].strip()
    found = [
        _Place(
            _address(each.chapter) + (f"#{each.anchor}" if each.anchor else ""),
            replace(each, excerpt=Markup(each.excerpt)),
        )
        for each in search(query)
    ]
    text = _environment().get_template("found.html").render(_frame("search"), query=query, found=found, parts=())
    return text.encode()


def _frame(current: str) -> dict[str, Any]:
    return {
        "current": current,
        "query": "",
        "chapters": to_chapters(current),
        "server": to_server(current),
        "version": version("hitchworth"),
        "groups": [
            {
                "heading": group.heading,
                "names": group.chapters,
                "chapters": [(name, title_of(name)) for name in group.chapters],
            }
            for group in contents()
        ],
    }


def _turn(current: str, name: str) -> _Turn:
    return _Turn(to_chapters(current) + _address(name), title_of(name))


def _address(name: str) -> str:
    """Return the link from a chapter other than the home to a chapter."""
    return "../docs" if name == HOME else name


@cache
def _environment() -> Environment:
    return Environment(
        loader=PackageLoader("hitchworth.guide"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
