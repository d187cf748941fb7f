"""A result on the standard output: as a table to read, as JSON, or as CSV for a spreadsheet."""

from collections.abc import Sequence
from typing import Literal, TypeAlias

import msgspec
from msgspec import Struct
from rich.console import Console, RenderableType

from hitchworth.web.tables import csv_table

Format: TypeAlias = Literal["table", "json", "csv"]


def show(form: Format, result: object, table: RenderableType, rows: Sequence[Struct]) -> None:
    """Print the result in the form that was asked for; `rows` is its part that is a table by nature."""
    match form:
        case "table":
            Console().print(table)
        case "json":
            print(msgspec.json.format(msgspec.json.encode(result)).decode())
        case "csv":
            print(csv_table(rows), end="")
