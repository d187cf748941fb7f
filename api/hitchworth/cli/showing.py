"""A result on the standard output: as a table to read, as JSON, or as CSV for a spreadsheet."""

import csv
import sys
from collections.abc import Sequence
from typing import Literal, TypeAlias

import msgspec
from msgspec import Struct
from rich.console import Console, RenderableType

Format: TypeAlias = Literal["table", "json", "csv"]


def show(form: Format, result: object, table: RenderableType, rows: Sequence[Struct]) -> None:
    """Print the result in the form that was asked for; `rows` is its part that is a table by nature."""
    match form:
        case "table":
            Console().print(table)
        case "json":
            print(msgspec.json.format(msgspec.json.encode(result)).decode())
        case "csv":
            write_csv(rows)


def write_csv(rows: Sequence[Struct]) -> None:
    """Records of one kind with their plain fields; lists and records inside them are left out."""
    plain = [_plain_fields(row) for row in rows]
    writer = csv.DictWriter(sys.stdout, list(plain[0]) if plain else [], lineterminator="\n")
    writer.writeheader()
    writer.writerows(plain)


def _plain_fields(row: Struct) -> dict[str, object]:
    values = {field.encode_name: getattr(row, field.name) for field in msgspec.structs.fields(row)}
    return {name: _cell(value) for name, value in values.items() if not isinstance(value, tuple | dict | Struct)}


def _cell(value: object) -> object:
    """A text that a spreadsheet would take for a formula is marked as a text."""
    return f"'{value}" if isinstance(value, str) and value[:1] in _FORMULA_STARTS else value


_FORMULA_STARTS = ("=", "+", "-", "@")
