"""Records as tables for a spreadsheet: CSV, tab-separated text (TSV), and a sheet of a workbook.

The columns are the fields of the record, whatever the rows hold. CSV is written as the spreadsheet of a locale reads
it; TSV is for programs: always with a point.
"""

import csv
import re
from collections.abc import Callable, Iterable, Iterator, Sequence
from datetime import date, datetime
from decimal import Decimal
from functools import cache, lru_cache
from itertools import chain
from typing import Any, Literal, TypeAlias, get_args

from msgspec import Struct

from hitchworth.localization.formats import formats_of
from hitchworth.localization.locales import SOURCE, resolve_locale
from hitchworth.model.document_changes import DocumentComparison
from hitchworth.model.gap import GapStatement
from hitchworth.model.numbers import NOTE, RoundedAmount, Share
from hitchworth.reference.currencies import exponent_of
from hitchworth.validation.type_inspection import (
    generic_origin,
    is_list_of_scalars,
    is_record,
    metadata_of,
    record_fields,
    strip_annotations,
    union_members,
)
from hitchworth.workbooks.cells import Cell
from hitchworth.workbooks.look import Look, Style, Workbook
from hitchworth.workbooks.table import Table

Kind: TypeAlias = Literal["text", "number", "money", "share", "date"]

_FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\n")
_LINE_END = re.compile(r"\r\n?")
_TABS_AND_LINE_ENDS = re.compile(r"[\t\n]+")
_WIDEST = 60
"""Characters of a column of a sheet; longer text is wrapped."""


class ResultTable(Struct, frozen=True, kw_only=True):
    """A table in a result."""

    name: str
    """The value of `?table=`, and of --table."""
    description: str
    record: type[Struct]
    """What a row is; its fields are the columns."""
    rows: Callable[[Any], Sequence[Struct]]


class FilledTable(Struct, frozen=True, kw_only=True):
    """The table of one answer, and for whom it is written."""

    record: type[Struct]
    rows: Sequence[Struct]
    name: str = ""
    locale: str = SOURCE
    """Whose spreadsheet is to open it."""
    currency: str | None = None
    """Of its amounts; null where they have none, or not one."""


class Column(Struct, frozen=True):
    """A column of a table."""

    name: str
    """The field; of a record in a record after its name and a point."""
    path: tuple[str, ...]
    kind: Kind


def filled(table: ResultTable, result: Any, locale: str) -> FilledTable:
    """Return a table of a result."""
    return FilledTable(
        name=table.name, record=table.record, rows=table.rows(result), locale=locale, currency=_currency(result)
    )


def _currency(result: Any) -> str | None:
    match result:
        case GapStatement():
            return result.estimate.currency
        case DocumentComparison():
            return result.estimates.currency if result.estimates else None
        case _:
            return getattr(result, "currency", None) or None


def csv_table(table: FilledTable, *, line_end: str = "\n", first: tuple[str, Sequence[str]] | None = None) -> str:
    r"""Return a table as CSV below a line of names. RFC 4180, for files and HTTP, ends a line with `\r\n`.

    Where the locale has a decimal comma, a semicolon stands between the cells, as its spreadsheets expect. In every
    locale but that of the source a byte order mark says that it is UTF-8; the source is what programs read. `first` is
    a column before the others: its name, and a text for each row.
    """
    lines = _lines(table.record, table.rows, _decimal_mark(table.locale))
    if first is not None:
        before = chain([first[0]], map(inert, first[1]))
        lines = ([cell, *line] for cell, line in zip(before, lines, strict=True))
    return _byte_order_mark(table.locale) + "".join(_csv_lines(lines, table.locale, line_end))


def csv_head(record: type[Struct], locale: str) -> str:
    """Return the beginning of a table as CSV for a file or HTTP: the line of names, as in `csv_table`."""
    return _byte_order_mark(locale) + "".join(_csv_lines([_names(record)], locale, "\r\n"))


def csv_rows(record: type[Struct], rows: Iterable[Struct], locale: str) -> Iterator[str]:
    """Yield what is below its head line by line, as the rows come: no more than one is in memory."""
    return _csv_lines(_cells(record, rows, _decimal_mark(locale)), locale, "\r\n")


class _Echo:
    """A file that hands back what is written."""

    def write(self, text: str) -> str:
        return text


def _byte_order_mark(locale: str) -> str:
    return "" if locale == SOURCE else "\ufeff"


def _csv_lines(lines: Iterable[Sequence[str]], locale: str, line_end: str) -> Iterator[str]:
    writer = csv.writer(_Echo(), delimiter=";" if _decimal_mark(locale) == "," else ",", lineterminator=line_end)
    for line in lines:
        yield writer.writerow(line)  # what write() returns


def tsv_table(table: FilledTable) -> str:
    """Return a table as tab-separated text without quotes. A tab or a line end in a text becomes a space."""
    lines = _lines(table.record, table.rows, ".")
    return "".join("\t".join(_TABS_AND_LINE_ENDS.sub(" ", cell) for cell in line) + "\n" for line in lines)


def table_workbook(table: FilledTable) -> Workbook:
    """Return a table as a workbook with one sheet: numbers are numbers, amounts of a currency, dates dates."""
    columns = columns_of(table.record)
    rows = tuple(tuple(_typed(_value(row, column)) for column in columns) for row in table.rows)
    name = table.name or "table"
    texts = (tuple(column.name for column in columns), *rows)
    widths = (min(_WIDEST, 2 + max(len(str(cell)) for cell in cells)) for cells in zip(*texts, strict=True))
    look = Look(
        widths=tuple(max(10, width) for width in widths),
        columns={place: _STYLES[column.kind] for place, column in enumerate(columns)},
    )
    currency, formats = table.currency, formats_of(resolve_locale(table.locale).formats)
    places = exponent_of(currency) if currency else None
    return Workbook(
        title=name,
        locale=table.locale,
        tables=(Table(name=name, rows=texts),),
        looks={name: look},
        money_places=2 if places is None else places,
        currency_sign=formats.currency_sign(currency) if currency else ("", ""),
    )


@cache
def columns_of(record: type[Struct]) -> tuple[Column, ...]:
    """Return the columns of a record and of the records in it. A list of texts is one; other lists are left out.

    So is a record inside itself.
    """
    found = {column.name: column for column in _columns(record, "", (), (record,))}
    return tuple(found.values())


def _columns(
    record: type[Struct], prefix: str, path: tuple[str, ...], around: tuple[type[Struct], ...]
) -> Iterator[Column]:
    for field in record_fields(record):
        name, place = f"{prefix}{field.encode_name}", (*path, field.name)
        members = [member for member in union_members(field.type) if member is not type(None)]
        inside = [strip_annotations(member) for member in members]
        if any(not is_record(each) and generic_origin(each) not in (tuple, dict) for each in inside) or any(
            map(is_list_of_scalars, members)
        ):
            yield Column(name, place, _kind(members))
        for each in inside:
            if is_record(each) and each not in around:
                yield from _columns(each, f"{name}.", place, (*around, each))


def _kind(members: Sequence[Any]) -> Kind:
    inside = {strip_annotations(member) for member in members}
    if inside == {date}:
        return "date"
    if not inside <= {Decimal, int}:
        return "text"
    notes = {(meta.extra_json_schema or {}).get(NOTE) for member in members for meta in metadata_of(member)}
    return "money" if _NOTE_OF_MONEY in notes else "share" if _NOTE_OF_SHARE in notes else "number"


_NOTE_OF_MONEY, _NOTE_OF_SHARE = (
    next(meta.extra_json_schema[NOTE] for meta in get_args(kind)[1:] if NOTE in (meta.extra_json_schema or {}))
    for kind in (RoundedAmount, Share)
)
_STYLES: dict[Kind, Style] = {"text": "text", "number": "number", "money": "money", "share": "share", "date": "date"}


@lru_cache(maxsize=1000)
def _decimal_mark(locale: str) -> str:
    symbols = formats_of(resolve_locale(locale).formats).locale.number_symbols
    return str(symbols.get("latn", symbols)["decimal"])


def _lines(record: type[Struct], rows: Iterable[Struct], mark: str) -> Iterator[Sequence[str]]:
    yield _names(record)
    yield from _cells(record, rows, mark)


def _names(record: type[Struct]) -> Sequence[str]:
    return [column.name for column in columns_of(record)]


def _cells(record: type[Struct], rows: Iterable[Struct], mark: str) -> Iterator[Sequence[str]]:
    columns = columns_of(record)
    for row in rows:
        yield [_text(_value(row, column), mark) for column in columns]


def _value(row: Struct, column: Column) -> object:
    value: object = row
    for name in column.path:
        value = getattr(value, name, None)
    return None if isinstance(value, Struct | dict) else value


def _text(value: object, mark: str) -> str:
    match value:
        case None:
            return ""
        case bool():
            return str(value).lower()
        case Decimal():
            return f"{value:f}".replace(".", mark)
        case datetime() | date():
            return value.isoformat()
        case tuple():
            return inert("; ".join(str(item) for item in value))
        case str():
            return inert(value)
        case _:
            return str(value)


def inert(text: str) -> str:
    """Mark a text that a spreadsheet would read as a formula, and end its lines as those of the table."""
    text = _LINE_END.sub("\n", text)
    return f"'{text}" if text.startswith(_FORMULA_STARTS) else text


def _typed(value: object) -> Cell:
    """Return a value as a cell of a sheet, which knows text from numbers, so that no text has to be marked."""
    match value:
        case None | bool() | Decimal():
            return value
        case datetime():
            return value.isoformat()
        case date():
            return value
        case int():
            return Decimal(value)
        case tuple():
            return "; ".join(str(item) for item in value)
        case _:
            return _LINE_END.sub("\n", str(value))
