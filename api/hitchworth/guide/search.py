"""Search in the guide: the full-text index of SQLite, in memory, made of the sections at the first query."""

import re
import sqlite3
from functools import cache
from html import escape

from msgspec import Struct

from hitchworth.guide.chapters import chapter, chapter_names

LONGEST_QUERY = 200
"""Characters of a query that are read."""

_MOST_FOUND = 20
_BEGIN, _END = "\ue000", "\ue001"
"""Characters of private use around what was found, before the text is made HTML."""

_INDEX = (
    "CREATE VIRTUAL TABLE sections USING fts5(chapter_title, heading, text, chapter UNINDEXED, anchor UNINDEXED, "
    "tokenize = 'porter unicode61')"
)
_FIND = (
    "SELECT chapter, anchor, chapter_title, heading, snippet(sections, 2, ?, ?, ' … ', 24) FROM sections "
    "WHERE sections MATCH ? ORDER BY bm25(sections, 6, 10, 1), rowid LIMIT ?"
)


class Found(Struct, frozen=True, kw_only=True):
    """A section that was found. `excerpt` is HTML: the words around what was found, which is marked."""

    chapter: str
    anchor: str
    chapter_title: str
    heading: str
    excerpt: str


def search(query: str) -> tuple[Found, ...]:
    """Return the sections that have all words of the query, or where none has, any; the best first, at most 20.

    Other forms of a word are found, too. Signs of the query have no meaning.
    """
    words = re.findall(r"\w+", query[:LONGEST_QUERY])
    terms = [f'"{word}"' for word in words]
    for operator in (" AND ", " OR ") if words else ():
        rows = _index().execute(_FIND, (_BEGIN, _END, operator.join(terms), _MOST_FOUND)).fetchall()
        if rows:
            return tuple(
                Found(chapter=name, anchor=anchor, chapter_title=title, heading=heading, excerpt=_marked(excerpt))
                for name, anchor, title, heading, excerpt in rows
            )
    return ()


def _marked(excerpt: str) -> str:
    return escape(excerpt).replace(_BEGIN, "<mark>").replace(_END, "</mark>")


@cache
def _index() -> sqlite3.Connection:
    # Any thread of the server may read: nothing is written after this, and SQLite lets one in at a time.
    connection = sqlite3.connect(":memory:", check_same_thread=False)
    connection.execute(_INDEX)
    connection.executemany(
        "INSERT INTO sections (chapter, anchor, chapter_title, heading, text) VALUES (?, ?, ?, ?, ?)",
        [
            (section.chapter, section.anchor, section.chapter_title, section.heading, section.text)
            for name in chapter_names()
            for section in chapter(name).sections
        ],
    )
    return connection
