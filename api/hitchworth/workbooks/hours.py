"""Rows of a log of hours to labor entries."""

import re
from decimal import ROUND_HALF_UP, Decimal
from hashlib import sha256
from typing import Any

import msgspec

from hitchworth.reference.receipt_words import row_role
from hitchworth.workbooks.cells import Cell, cell_text
from hitchworth.workbooks.receipts import Imported
from hitchworth.workbooks.rows import OR_LEAVE_OUT, Rows

_CLOCK = re.compile(
    r"([0-9]{1,3})\s*(?::|h|hrs?|hours?|std\.?|stunden?|horas?|heures?)\s*([0-5][0-9])(:[0-5][0-9])?"
    r"(?:\s*(?:m|min|mins|minutes?|minuten|minutos?)\.?)?",
    re.IGNORECASE,
)
_WITH_UNIT = re.compile(
    r"([0-9]+(?:[.,][0-9]{1,2})?)\s*(h|hr|hrs|hours?|std|stunden?|horas?|heures?)\.?", re.IGNORECASE
)
_FRACTIONS = {"½": ".50", "¼": ".25", "¾": ".75"}
_FRACTION = re.compile(r"([0-9]{1,3})? ?([½¼¾])")
_WRITTEN_FRACTION = re.compile(r"(?<![0-9/])(1/2|1/4|3/4)(?![0-9/])")
_ONE_SIGN = {"1/2": "½", "1/4": "¼", "3/4": "¾"}
_MINUTES = re.compile(r"([0-9]{1,4})\s*(m|min|mins|minutes?|minuten|minutos?)\.?", re.IGNORECASE)
_TIME_OF_DAY = re.compile(r"(?:.*\s)?([0-2]?[0-9])[:h.]([0-5][0-9])(?::[0-5][0-9])?\s*([ap])?\.?m?\.?", re.IGNORECASE)
_COMPUTED = frozenset(("id", "task", "hours", "performed_on"))
_CENT = Decimal("0.01")
_LONGEST = 300


def hours_of(cell: Cell) -> Decimal | None:
    """Return the hours of a cell that says them with a unit, a fraction or as on a clock: 1:30, 90 min, 5½, 5 1/2."""
    if not isinstance(cell, str):
        return cell if isinstance(cell, Decimal) else None
    cell = _WRITTEN_FRACTION.sub(lambda found: _ONE_SIGN[found[1]], cell)
    if found := _FRACTION.match(cell):
        value = f"{found[1] or 0}{_FRACTIONS[found[2]]}"
        if found.end() == len(cell):
            return Decimal(value)
        cell = value + cell[found.end() :]
    if found := _CLOCK.fullmatch(cell):
        return _hours(int(found[1]) * 60 + int(found[2]))
    if found := _MINUTES.fullmatch(cell):
        return _hours(int(found[1]))
    if found := _WITH_UNIT.fullmatch(cell):
        return Decimal(found[1].replace(",", "."))
    return None


def _hours(minutes: int) -> Decimal:
    """Return minutes as hours to the hundredth, half up."""
    return (Decimal(minutes) / 60).quantize(_CENT, ROUND_HALF_UP)


def hours_between(start: Cell, end: Cell) -> Decimal | None:
    """Return the hours from one time of day to another, past midnight where the second is earlier."""
    minutes = [_minute_of_day(cell) for cell in (start, end)]
    if minutes[0] is None or minutes[1] is None:
        return None
    return _hours((minutes[1] - minutes[0]) % 1440)


def _minute_of_day(cell: Cell) -> int | None:
    found = _TIME_OF_DAY.fullmatch(cell_text(cell))
    if found is None:
        return None
    hour, minute = int(found[1]), int(found[2])
    if found[3]:
        hour = hour % 12 + (12 if found[3].lower() == "p" else 0)
    return hour * 60 + minute if hour < 24 else None


def read_labor(rows: Rows, currency: str, there: frozenset[str] = frozenset()) -> Imported:
    """Return the labor entries of a log of hours. Faults and questions are added to the findings of the rows.

    `there`: ids of the labor entries that the build has.
    """
    findings = rows.findings
    for field in ("performed_on", "task"):
        if not rows.has(field):
            rows.ask_for_column(field)
    for number in rows.settings.freight:
        findings.declared("Hours have no freight", "a row of a table of receipts", str(number))
    entries: list[dict[str, Any]] = []
    sources: list[int] = []
    seen: dict[str, int] = {}
    since_total, total = Decimal(0), Decimal(0)
    for row in sorted((*rows.numbers, *rows.left_out)) if not findings.questions else ():
        if row in rows.left_out:
            hours = _row_hours(rows, row) or Decimal(0)
            is_total = _is_total(rows, row)
            since_total, total = (Decimal(0), total) if is_total else (since_total + hours, total + hours)
            continue
        if _is_total(rows, row):
            _compare_total(rows, row, (since_total, total), len(entries))
            since_total = Decimal(0)
            continue
        entry = _entry(rows, row)
        if entry is not None:
            since_total, total = since_total + entry["hours"], total + entry["hours"]
            name = entry["id"]
            seen[name] = seen.get(name, 0) + 1
            entry["id"] = name if seen[name] == 1 else f"{name}-{seen[name]}"
            entries.append(entry)
            sources.append(row)
    ids = rows.ids({row: entry["id"] for row, entry in zip(sources, entries, strict=True)}, there)
    for row, entry in zip(sources, entries, strict=True):
        entry["id"] = ids[row]
        rows.settle(row, "work", id=ids[row])
    if entries and not rows.has("rate") and not rows.has("market_rate"):
        findings.note("own_unpaid_hours")
    recognized = msgspec.structs.replace(
        rows.settings,
        kind="labor",
        date_order=rows.values.date_order,
        decimal_mark=rows.values.decimal_mark,
        currency=currency,
    )
    return Imported(tuple(entries), tuple(sources), rows.outcomes, recognized)


def _entry(rows: Rows, row: int) -> dict[str, Any] | None:
    """Return a row as a labor entry, or null where it is none or has faults."""
    day, task, hours = rows.day(row, "performed_on"), rows.text(row, "task"), _row_hours(rows, row)
    cells = [rows.layout.cell(row, field) for field in ("hours", "start", "end")]
    if not any(cell is not None for cell in cells) and (day is None or not task):
        rows.leave_out(row, "no_amount")
        return None
    rows.expect_day(row, "performed_on", day, "the day of the work")
    rows.expect(row, "task", bool(task), "what was done")
    field = "start" if cells[0] is None and rows.has("start") else "hours"
    rows.expect(row, field, hours is not None, f"hours: 1.5, 1:30 or 90 min; {OR_LEAVE_OUT}")
    if day is None or not task or hours is None:
        return None
    key = sha256(msgspec.json.encode([f"{hours.normalize():f}", task.casefold()])).hexdigest()[:10]
    return {
        "id": rows.text(row, "id") or f"hours-{day.isoformat()}-{key}",
        "task": task[:_LONGEST],
        "hours": hours,
        "rate": "0",
        "performed_on": day,
        **rows.other_fields(row, "labor", _COMPUTED),
    }


def _compare_total(rows: Rows, row: int, sums: tuple[Decimal, Decimal], count: int) -> None:
    """Leave a total out, and tell it where it is not that of the rows above: since the last total, or in all.

    Each of the `count` rows may have been rounded by half of a hundredth.
    """
    rows.leave_out(row, "total")
    stated = _row_hours(rows, row)
    if stated is not None and all(abs(stated - each) > count * _CENT / 2 for each in sums):
        rows.findings.note("total_differs", about=str(row + 1), stated=f"{stated:f}", sum=f"{sums[-1]:f}")


def _row_hours(rows: Rows, row: int) -> Decimal | None:
    cell = rows.layout.cell(row, "hours")
    if cell is None:
        return hours_between(rows.layout.cell(row, "start"), rows.layout.cell(row, "end"))
    stated = hours_of(cell)
    return rows.number(row, "hours") if stated is None else stated


def _is_total(rows: Rows, row: int) -> bool:
    """Return whether a row without a day of its own is a total: it says so, or it holds nothing but hours."""
    if (row, "performed_on") in rows.values.dates:
        return False
    text = rows.text(row, "task") or next(iter(rows.texts(row)), "")
    is_bare = not text and rows.day(row, "performed_on") is None and rows.number(row, "hours") is not None
    return row_role(text) == "total" or is_bare
