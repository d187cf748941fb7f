"""Records as tables for a spreadsheet: CSV, or tab-separated text (TSV)."""

import csv
import re
from collections.abc import Iterator, Sequence
from decimal import Decimal
from io import StringIO

import msgspec
from msgspec import Struct

_FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\n")
_LINE_END = re.compile(r"\r\n?")
_TABS_AND_LINE_ENDS = re.compile(r"[\t\n]+")


def csv_table(rows: Sequence[Struct], *, line_end: str = "\n") -> str:
    r"""Return the rows as CSV below a line of names. RFC 4180, for files and HTTP, ends a line with `\r\n`."""
    written = StringIO(newline="")
    csv.writer(written, lineterminator=line_end).writerows(_lines(rows))
    return written.getvalue()


def tsv_table(rows: Sequence[Struct]) -> str:
    """Return the rows as tab-separated text without quotes. A tab or a line end in a text becomes a space."""
    return "".join("\t".join(_TABS_AND_LINE_ENDS.sub(" ", cell) for cell in line) + "\n" for line in _lines(rows))


def _lines(rows: Sequence[Struct]) -> Iterator[Sequence[str]]:
    cells = [dict(_cells(row)) for row in rows]
    names = list(dict.fromkeys(name for row in cells for name in row))
    yield names
    yield from ([row.get(name, "") for name in names] for row in cells)


def _cells(row: Struct, prefix: str = "") -> Iterator[tuple[str, str]]:
    """Yield the cells of a record and of the records in it. A list of texts is one cell; other lists are left out."""
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
    """Mark a text that a spreadsheet would read as a formula, and end its lines as those of the table."""
    text = _LINE_END.sub("\n", text)
    return f"'{text}" if text.startswith(_FORMULA_STARTS) else text
