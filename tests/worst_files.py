"""The files that take longest of those that an operation takes: as many rows, or as many bytes, as it may have."""

from collections.abc import Callable, Mapping
from functools import cache
from typing import TypeAlias

import msgspec
import yaml
from msgspec.structs import replace

from hitchworth.model.request import GapRequest
from hitchworth.operations.renderings import AS_WORKBOOK
from hitchworth.operations.requests import read_request
from hitchworth.operations.workbooks import workbook_of
from worst_bodies import DAY, full

File: TypeAlias = Callable[[int], bytes]
"""A file whose rows are divided by a number: 1 is the worst."""

ROWS = 10_000


@cache
def _workbook(share: int, form: str) -> bytes:
    """Return a document of so many components and labor entries as a workbook, without its results."""
    body = msgspec.json.encode({"as_of": str(DAY), "build": full(2 * (ROWS - 50) // share)})
    made = workbook_of(read_request(body, GapRequest))
    inputs = tuple(table for table in made.tables if table.name in {"Build", "Components", "Labor"})
    rendering = next(each for each in AS_WORKBOOK if each.name == form)
    looks = {name: look for name, look in made.looks.items() if name in {table.name for table in inputs}}
    return bytes(rendering.render(replace(made, tables=inputs, looks=looks)))


def _table(share: int, more: str, mark: str = ",", quote: str = "", before: str = "") -> bytes:
    """Return a table of receipts. more: what else is in each row."""
    head = mark.join((*(quote + name for name in ("Date", "Item", "Amount")), *more.split()))
    rows = (
        mark.join((f"2026-01-{1 + row % 28:02d}", f"{quote}Part {row}", f"{100 + row}.37", *more.split()))
        for row in range((ROWS - 100) // share)
    )
    return "\n".join(before + row for row in (head, *rows)).encode()


def _long(share: int) -> bytes:
    """Return a table of receipts with long descriptions, which are looked through for what they are about."""
    rows = (f"2026-01-{1 + row % 28:02d},{'Part ' * 190}{row},9.37" for row in range((ROWS - 100) // share))
    return "\n".join(("Date,Item,Amount", *rows)).encode()


def _calendar(share: int) -> bytes:
    """Return a calendar of as many events as a file has room for, of which as many repeat as are looked at."""
    once = "BEGIN:VEVENT\r\nUID:{0}\r\nDTSTART;VALUE=DATE:20160101\r\nEND:VEVENT\r\n"
    events = (once.format(number) for number in range(100_000 // share))
    return repeating_calendar(990 // share, "FREQ=DAILY;UNTIL=20250101T000000Z", "".join(events))


def repeating_calendar(count: int, rule: str, more: str = "") -> bytes:
    """Return a calendar of so many events that repeat by a rule. more: other events."""
    event = f"BEGIN:VEVENT\r\nDTSTART:20160101T080000Z\r\nDTEND:20160101T100000Z\r\nRRULE:{rule}\r\nEND:VEVENT\r\n"
    worked = "BEGIN:VEVENT\r\nDTSTART:20160101T080000Z\r\nDTEND:20160101T100000Z\r\nSUMMARY:x\r\nEND:VEVENT\r\n"
    return f"BEGIN:VCALENDAR\r\n{worked}{event * count}{more}END:VCALENDAR\r\n".encode()


def _yaml(share: int) -> bytes:
    return yaml.dump({"as_of": str(DAY), "build": full(20_000 // share)}, Dumper=yaml.CSafeDumper).encode()


def _column(row: str) -> tuple[File, ...]:
    """Return as many rows of cells as there may be, in JSON."""
    return (lambda share: f"[{','.join([row] * (ROWS // share))}]".encode(),)


WORST_FILES: Mapping[str, tuple[File, ...]] = {
    "create_percent_good_column": _column('{"category":"roof","age_years":"7.41"}'),
    "create_depreciated_value_column": _column('{"category":"roof","age_years":"7.41","cost":"9.37"}'),
    "create_indexed_price_column": _column('{"cost":"9.37","price_index":"us_all_items","paid_on":"2019-01-01"}'),
    "create_receipt_import": (lambda share: _table(share, "12.3 " * 190), _long, _calendar),
    "fill_workbook": (lambda share: _workbook(share, "xlsx"), lambda share: _workbook(share, "ods")),
    "create_document": (_yaml, lambda share: _workbook(share, "xlsx"), lambda share: _workbook(share, "ods")),
    "create_sheet_values": (lambda share: _table(share, "'x " * 190, "\t", "'", "Receipts\t"),),
}
"""By the id of the operation."""
