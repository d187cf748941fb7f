"""Answers that are tables: rows of one kind as CSV, or as text between tabs, for a spreadsheet."""

import csv
import re
from collections.abc import Callable, Iterator, Sequence
from decimal import Decimal
from io import StringIO
from typing import Any

import msgspec
from msgspec import Struct

from hitchworth.web.content_negotiation import Rendering

_FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\n")
_LINE_END = re.compile(r"\r\n?")
_BREAKS = re.compile(r"[\t\n]+")


def as_tables(rows_of: Callable[[Any], Sequence[Struct]]) -> tuple[Rendering, Rendering]:
    """The formats of a table, for an answer with such rows in it."""
    return (
        Rendering("csv", "text/csv", lambda answer: csv_table(rows_of(answer), line_end="\r\n").encode()),
        Rendering("tsv", "text/tab-separated-values", lambda answer: tab_table(rows_of(answer)).encode()),
    )


def csv_table(rows: Sequence[Struct], *, line_end: str = "\n") -> str:
    """A line of names, then a line a row. Over the wire a line ends as RFC 4180 says, on a screen as its lines do."""
    written = StringIO(newline="")
    csv.writer(written, lineterminator=line_end).writerows(_lines(rows))
    return written.getvalue()


def tab_table(rows: Sequence[Struct]) -> str:
    """The same between tabs, without quotes: a tab or a line break in a text becomes a space."""
    return "".join("\t".join(_BREAKS.sub(" ", cell) for cell in line) + "\n" for line in _lines(rows))


def _lines(rows: Sequence[Struct]) -> Iterator[Sequence[str]]:
    cells = [dict(_cells(row)) for row in rows]
    names = list(dict.fromkeys(name for row in cells for name in row))
    yield names
    yield from ([row.get(name, "") for name in names] for row in cells)


def _cells(row: Struct, prefix: str = "") -> Iterator[tuple[str, str]]:
    """The plain fields, those of records in it too, and lists of texts in one cell; other lists are left out."""
    for field in msgspec.structs.fields(row):
        name, value = f"{prefix}{field.encode_name}", getattr(row, field.name)
        if isinstance(value, Struct):
            yield from _cells(value, f"{name}.")
        elif isinstance(value, tuple) and all(isinstance(item, str) for item in value):
            yield name, _text("; ".join(value))
        elif not isinstance(value, tuple | dict):
            yield name, _cell(value)


def _cell(value: object) -> str:
    match value:
        case None:
            return ""
        case bool():
            return str(value).lower()
        case Decimal():
            return f"{value:f}"
        case _:
            return _text(str(value)) if isinstance(value, str) else str(value)


def _text(text: str) -> str:
    """A text that a spreadsheet would take for a formula is marked as a text. Its lines end as those of the table."""
    text = _LINE_END.sub("\n", text)
    return f"'{text}" if text.startswith(_FORMULA_STARTS) else text
