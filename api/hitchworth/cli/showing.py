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
    plain = [{name: value for name, value in msgspec.to_builtins(row).items() if _is_plain(value)} for row in rows]
    names = list(dict.fromkeys(name for row in plain for name in row))
    writer = csv.DictWriter(sys.stdout, names, lineterminator="\n")
    writer.writeheader()
    writer.writerows(plain)


def _is_plain(value: object) -> bool:
    return not isinstance(value, list | dict)
