"""The cells of a table: their values, their names (D14), and what is read from a cell that has no value."""

import re
from datetime import date
from decimal import Decimal
from typing import Literal, TypeAlias

from msgspec import Struct

Reason: TypeAlias = Literal["error", "no_value", "merged"]
"""Why a cell has no value.

error: its formula has failed, as with #DIV/0!
no_value: its formula was never computed: no spreadsheet program has saved the file
merged: it is part of a merged cell whose value is in another one
"""


class Unreadable(Struct, frozen=True):
    """What stands in the place of a value that cannot be read."""

    reason: Reason
    text: str = ""
    """The error, or the name of the cell with which it is merged."""


Cell: TypeAlias = str | Decimal | date | bool | Unreadable | None
"""A value as the file has it. Text has no spaces around it; an empty cell is null."""

Row: TypeAlias = tuple[Cell, ...]

_FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r", "\n")
_NAME = re.compile(r"([A-Z]{1,3})([1-9][0-9]{0,6})")


def column_name(column: int) -> str:
    """Return the letters of a column counted from 0: A, Z, AA."""
    name = ""
    column += 1
    while column:
        column, digit = divmod(column - 1, 26)
        name = chr(ord("A") + digit) + name
    return name


def column_number(name: str) -> int:
    """Return the place of a column, counted from 0, by its letters."""
    number = 0
    for letter in name:
        number = number * 26 + ord(letter) - ord("A") + 1
    return number - 1


def cell_name(row: int, column: int, sheet: str = "") -> str:
    """Return the name of a cell by its place, counted from 0: D14, or Components!D14."""
    name = f"{column_name(column)}{row + 1}"
    return f"{sheet}!{name}" if sheet else name


def cell_place(name: str) -> tuple[int, int] | None:
    """Return row and column, counted from 0, of a cell named like D14; None when it is no such name."""
    found = _NAME.fullmatch(name)
    return (int(found[2]) - 1, column_number(found[1])) if found else None


def restored(text: str) -> str:
    """Return a text without the apostrophe that keeps a spreadsheet from reading it as a formula."""
    return text[1:] if text.startswith("'") and text[1:].startswith(_FORMULA_STARTS) else text


def cell_text(cell: Cell) -> str:
    """Return the cell as text: a number with a point, a date as YYYY-MM-DD; what cannot be read is empty."""
    match cell:
        case None | Unreadable():
            return ""
        case bool():
            return "yes" if cell else "no"
        case Decimal():
            return f"{cell:f}"
        case date():
            return cell.isoformat()
    return cell
