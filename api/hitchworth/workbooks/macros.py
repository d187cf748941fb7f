"""Macros: a module of code for each spreadsheet program, which sends the rows of a sheet and writes back their values.

All are made from one description: the columns of the answer, the address, the texts. Only the templates differ.
"""

from collections.abc import Mapping
from functools import cache
from importlib.resources import files
from typing import Any

import msgspec
from jinja2 import Environment, StrictUndefined
from msgspec import Struct

from hitchworth.localization.localizer import Localizer
from hitchworth.localization.texts import texts
from hitchworth.model.macro import MacroProgram
from hitchworth.model.sheet_values import SheetRow
from hitchworth.workbooks.document_sheets import LISTS, sheet_name


class MacroFile(Struct, frozen=True, forbid_unknown_fields=True):
    """What is particular to the macro of one program."""

    template: str
    file: str
    """Name of the file that holds the macro."""
    language: str
    can_send_key: bool


class MacroDescription(Struct, frozen=True, forbid_unknown_fields=True):
    """What the macros are made from."""

    programs: dict[MacroProgram, MacroFile]
    path: str
    media_type: str
    mark: str
    """How the heading of the first column that a macro writes begins, by which the next run finds it."""
    mark_rows: int
    """The mark stands within so many rows."""
    problem: dict[str, int]
    """The columns of a problem as a table, counted from 0."""
    key_problem: str


@cache
def description() -> MacroDescription:
    """Return the description of the macros, read once."""
    return msgspec.yaml.decode(_template("macros.yaml"), type=MacroDescription)


def macro(program: MacroProgram, server: str, localizer: Localizer, currency: str | None = None) -> str:
    """Return the macro of a program, with its texts in the locale.

    server: the address of the server, without a slash at its end; a URL, as its text goes into code.
    currency: that of the receipts, ISO 4217; null: as the server finds it.
    """
    described = description()
    own = described.programs[program]
    columns = SheetRow.__struct_fields__
    first = columns.index("replacement_cost")
    values = {
        "purpose": localizer.format(texts().macro["purpose"], language=own.language),
        "server": server,
        "path": f"{described.path}&locale={localizer.locale.formats}" + (f"&currency={currency}" if currency else ""),
        "columns": columns,
        "place": {name: place for place, name in enumerate(columns)},
        "first": first,
        "last": len(columns) - first - 1,
        "headings": _headings(described.mark, localizer),
        "inputs": [sheet_name(kind, localizer).replace(" ", "_") for kind in (*LISTS, "build", "fact", "further")],
        "texts": {name: localizer.format(text, server=server) for name, text in texts().macro.items()},
    }
    return (
        _environment()
        .from_string(_template(own.template).decode())
        .render({**msgspec.structs.asdict(described), **values, "can_send_key": own.can_send_key})
    )


def _headings(mark: str, localizer: Localizer) -> list[str]:
    own = texts()
    values = ("replacement_cost", "percent_good", "actual_cash_value")
    first, *others = (localizer.translate(own.sheet[name]) for name in values)
    return [mark + first, *others, localizer.translate(own.macro["remark"])]


def _template(name: str) -> bytes:
    return files("hitchworth.workbooks").joinpath("macro_templates", name).read_bytes()


@cache
def _environment() -> Environment:
    """Return the environment of the templates: code, so nothing is escaped but by a filter for its language."""
    environment = Environment(undefined=StrictUndefined, keep_trailing_newline=True)
    filters: Mapping[str, Any] = {"quoted": _quoted, "wide": _wide, "json": _json}
    environment.filters.update(filters)
    return environment


def _quoted(text: str) -> str:
    """Return a text as Basic and M write it: a quotation mark in it is doubled."""
    return '"' + text.replace('"', '""') + '"'


def _wide(text: str) -> str:
    """Return a text as VBA writes it, whose editor reads files in the code page of the machine: plain letters only."""
    parts: list[str] = []
    plain = ""
    for letter in text:
        if letter.isascii():
            plain += letter
        else:
            parts += [_quoted(plain)] if plain else []
            parts.append(f"ChrW({ord(letter)})")
            plain = ""
    return " & ".join([*parts, _quoted(plain)] if plain or not parts else parts)


def _json(text: str) -> str:
    return msgspec.json.encode(text).decode()
