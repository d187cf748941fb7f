"""The sheets of a spreadsheet as lines of text, as its macro sends them: the name of its sheet, then a row.

A tab stands between the cells. A number has a point whatever the language of the spreadsheet, a date is YYYY-MM-DD, and
a text has an apostrophe before it, so that 1.234 and '1.234 stay apart. An error begins with #.
"""

import re
from collections.abc import Iterator
from datetime import date
from decimal import Decimal

from hitchworth.workbooks.cells import Cell, Row, Unreadable
from hitchworth.workbooks.table import MAX_COLUMNS, MAX_LINES, TOO_MANY_ROWS, Source, Table, UnreadableFileError

_NUMBER = re.compile(r"-?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[Ee][+-]?[0-9]{1,2})?")
_DATE = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")


def read_sheet_text(content: bytes) -> Source:
    """Return the sheets in their order; an empty one has no rows. Raises UnreadableFileError."""
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise UnreadableFileError("The rows are not text in UTF-8.") from None
    sheets: dict[str, list[list[Cell]]] = {}
    for line in re.split(r"\r\n|\n|\r", text):
        name, *cells = line.split("\t")
        if name:
            sheets.setdefault(name, []).append([_cell(cell.strip()) for cell in cells])
    if not sheets:
        raise UnreadableFileError("There is no row: a line has the name of its sheet, a tab, and its cells.")
    return Source(tables=tuple(_table(name, rows) for name, rows in sheets.items()), form="tsv", delimiter="tab")


def _table(name: str, rows: list[list[Cell]]) -> Table:
    while rows and not any(cell is not None for cell in rows[-1]):
        rows.pop()
    width = max((place + 1 for row in rows for place, cell in enumerate(row) if cell is not None), default=0)
    if len(rows) > MAX_LINES:
        raise UnreadableFileError(TOO_MANY_ROWS)
    if width > MAX_COLUMNS:
        raise UnreadableFileError(f"The sheet {name} has more than {MAX_COLUMNS} columns; some have to go.")
    return Table(name=name, rows=tuple(_rows(rows, width)))


def _rows(rows: list[list[Cell]], width: int) -> Iterator[Row]:
    yield from (tuple(row[:width] + [None] * (width - len(row))) for row in rows)


def _cell(text: str) -> Cell:
    if text.startswith("'"):
        return text[1:].strip() or None
    if text.startswith("#"):
        return Unreadable("error", text)
    if _NUMBER.fullmatch(text):
        return Decimal(text)
    if _DATE.fullmatch(text):
        try:
            return date.fromisoformat(text)
        except ValueError:
            return text
    return text or None
