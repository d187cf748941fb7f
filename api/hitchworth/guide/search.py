"""Search in the guide: the full-text index of SQLite, in memory, made of the sections at the first query."""

import re
import sqlite3
from functools import cache
from html import escape

import msgspec
from msgspec import Struct

from hitchworth.guide.chapters import FOLDER, chapter, chapter_names

LONGEST_QUERY = 200
"""Characters of a query that are read."""

_MOST_FOUND = 20
_BEGIN, _END = "\ue000", "\ue001"
"""Characters of private use around what was found, before the text is made HTML."""

_FILLERS = set(
    """a an and are as at be by can do does for from get give have how i if in into is it me my need of on or should so
    the there this to use using vs want what when where which who why will with you your""".split()  # noqa: SIM905
)
"""Words that say nothing of what is looked for. They count where a query has no others."""

_INDEX = (
    "CREATE VIRTUAL TABLE sections USING fts5(chapter_title, heading, text, other_words, chapter UNINDEXED, "
    "anchor UNINDEXED, tokenize = 'porter unicode61')"
)
_FIND = (
    "SELECT chapter, anchor, chapter_title, heading, snippet(sections, 2, ?, ?, ' … ', 24) FROM sections "
    "WHERE sections MATCH ? ORDER BY chapter = 'changelog', bm25(sections, 6, 10, 1, 10), rowid LIMIT ?"
)


class OtherWords(Struct, frozen=True, forbid_unknown_fields=True):
    """Words under which a section is looked for, and which it does not have itself. Without a heading: the chapter."""

    chapter: str
    words: str
    heading: str = ""


class Found(Struct, frozen=True, kw_only=True):
    """A section that was found. `excerpt` is HTML: the words around what was found, which is marked."""

    chapter: str
    anchor: str
    chapter_title: str
    heading: str
    excerpt: str


def search(query: str) -> tuple[Found, ...]:
    """Return the sections that have all words of the query, or where none has, any; the best first, at most 20.

    Other forms of a word are found, too. Signs of the query have no meaning, nor have words such as “the” and “how”
    beside others.
    """
    words = re.findall(r"\w+", query[:LONGEST_QUERY])
    terms = [f'"{word}"' for word in [word for word in words if word.lower() not in _FILLERS] or words]
    for operator in (" AND ", " OR ") if words else ():
        rows = _index().execute(_FIND, (_BEGIN, _END, operator.join(terms), _MOST_FOUND)).fetchall()
        if rows:
            return tuple(
                Found(chapter=name, anchor=anchor, chapter_title=title, heading=heading, excerpt=_marked(excerpt))
                for name, anchor, title, heading, excerpt in rows
            )
    return ()


@cache
def other_words() -> tuple[OtherWords, ...]:
    """Return the words under which sections are looked for besides their own."""
    return tuple(msgspec.yaml.decode(FOLDER.joinpath("other_words.yaml").read_bytes(), type=list[OtherWords]))


def _marked(excerpt: str) -> str:
    return escape(excerpt).replace(_BEGIN, "<mark>").replace(_END, "</mark>")


@cache
def _index() -> sqlite3.Connection:
    # Any thread of the server may read: nothing is written after this, and SQLite lets one in at a time.
    connection = sqlite3.connect(":memory:", check_same_thread=False)
    connection.execute(_INDEX)
    others = {(each.chapter, each.heading): each.words for each in other_words()}
    connection.executemany(
        "INSERT INTO sections (chapter, anchor, chapter_title, heading, text, other_words) VALUES (?, ?, ?, ?, ?, ?)",
        [
            (
                section.chapter,
                section.anchor,
                section.chapter_title,
                section.heading,
                section.text,
                others.get((section.chapter, section.heading if section.anchor else ""), ""),
            )
            for name in chapter_names()
            for section in chapter(name).sections
        ],
    )
    return connection
