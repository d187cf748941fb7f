"""Read an exported calendar (iCalendar, RFC 5545) as a log of hours: a row for each event."""

import re
from collections.abc import Iterator, Set
from datetime import date, datetime, time, timedelta, tzinfo
from decimal import ROUND_HALF_UP, Decimal
from itertools import chain, islice
from typing import Literal, TypeAlias

from icalendar import Calendar, Event
from msgspec.structs import replace

from hitchworth.model.receipt_import import ImportSettings
from hitchworth.reference.words import words_of
from hitchworth.workbooks.cells import Row
from hitchworth.workbooks.findings import Findings
from hitchworth.workbooks.recurrence import MOST_TIMES, Days, repeated_days
from hitchworth.workbooks.table import MAX_ROWS, Source, Table, UnreadableFileError

EventReason: TypeAlias = Literal["all_day", "canceled", "repeats", "not_selected"]
"""Why an event is left out.

all_day: an event of a whole day says no hours
canceled: the event was canceled
repeats: it repeats without an end, more than a thousand times, for more than twenty years, or by a rule that is not
    read
not_selected: it does not have the words that were asked for
"""

HEADERS = ("Date", "Task", "Hours")
_START = b"BEGIN:VCALENDAR"

_MOST_LINES, _MOST_LETTERS = 300_000, 700_000
"""The lines of a calendar, and the letters of those that are read."""
_FOLD = re.compile(r"\r?\n[ \t]")
_LINE = re.compile(
    r"^(BEGIN|END|UID|SUMMARY|STATUS|DTSTART|DTEND|DURATION|RRULE|RDATE|EXDATE|RECURRENCE-ID)[:;].*", re.I | re.M
)
_READ = (["BEGIN:VCALENDAR"], ["BEGIN:VCALENDAR", "BEGIN:VEVENT"])


def is_calendar(content: bytes) -> bool:
    """Return whether a file is a calendar, by how it begins."""
    return content.lstrip(b"\xef\xbb\xbf \r\n\t")[: len(_START)].upper() == _START


def read_calendar(content: bytes, settings: ImportSettings, findings: Findings) -> tuple[Source, ImportSettings]:
    """Return the events as a table of hours. What is left out, and why, is noted; nothing is guessed of it.

    Raises UnreadableFileError when it is no calendar.
    """
    try:
        calendar = Calendar.from_ical(_events_alone(content.decode("utf-8-sig")))
        events = [component for component in calendar.walk("VEVENT") if isinstance(component, Event)]
        if not all(isinstance(event.decoded("DTSTART"), date) for event in events):
            raise ValueError("an event without a start")
        moved: dict[str, set[datetime]] = {}
        for event in events:
            if "RECURRENCE-ID" in event:
                moved.setdefault(str(event.get("UID")), set()).add(_moment(event.decoded("RECURRENCE-ID"), None))
        days = Days()
        found = (
            _rows(event, moved.get(str(event.get("UID")), frozenset()), days, settings, findings) for event in events
        )
        rows = list(islice(chain.from_iterable(found), MAX_ROWS + 1))
    except UnreadableFileError:
        raise
    except (ValueError, ArithmeticError, AttributeError, TypeError, KeyError, IndexError):
        raise UnreadableFileError("The calendar is damaged, or not in UTF-8. Export it again and retry.") from None
    if len(rows) > MAX_ROWS:
        raise UnreadableFileError(f"The calendar has more than {MAX_ROWS:,} events. Export fewer of them.")
    table = Table(rows=(HEADERS, *sorted(rows, key=lambda row: (str(row[0]), str(row[1])))))
    read_as = replace(settings, kind="labor", columns={**settings.columns, "Date": "performed_on"})
    return Source(tables=(table,), form="ics"), read_as


def _events_alone(text: str) -> str:
    """Return a calendar with the lines of its events that are read. Raises UnreadableFileError where they are too many.

    What is left out costs the reader time, and it keeps the time zones of one file for all that come after it.
    """
    inside: list[str] = []
    kept: list[str] = []
    letters = 0
    for number, found in enumerate(_LINE.finditer(_FOLD.sub("", text))):
        line = found[0].strip()
        if found[1].upper() == "BEGIN":
            inside.append(line.upper())
        if inside in _READ:
            kept.append(line)
            letters += len(line)
        if found[1].upper() == "END" and inside:
            inside.pop()
        if number > _MOST_LINES or letters > _MOST_LETTERS:
            raise UnreadableFileError("The calendar is too long. Export fewer of its events.")
    return "\r\n".join((*kept, ""))


def _rows(
    event: Event, moved: Set[datetime], days: Days, settings: ImportSettings, findings: Findings
) -> tuple[Row, ...]:
    """Return day, task and hours of each day of an event; none, with a note, where it says no hours of work.

    `moved`: the times of a repeating event that have events of their own.
    """
    summary = str(event.get("SUMMARY", "")).strip()
    start = event.decoded("DTSTART")
    reason = _reason(event, summary, start, settings)
    starts = _starts(event, start, moved, days) if reason is None else ()
    reason = "repeats" if starts is None else reason
    if reason is not None or starts is None:
        if reason != "not_selected":
            findings.note(f"event_{reason}", about=summary, day=str(start)[:10])
        return ()
    if _repeats(event):
        findings.note("event_repeated", about=summary, day=str(start)[:10], count=str(len(starts)))
    minutes = Decimal(_length(event, start) // timedelta(minutes=1))
    hours = (minutes / 60).quantize(Decimal("0.01"), ROUND_HALF_UP)
    return tuple((each.date(), summary or None, hours) for each in starts)


def _repeats(event: Event) -> bool:
    return "RECURRENCE-ID" not in event and ("RRULE" in event or "RDATE" in event)


def _starts(event: Event, start: datetime, moved: Set[datetime], days: Days) -> tuple[datetime, ...] | None:
    """Return when an event begins, each time in its own zone; null for one that repeats endlessly or very often."""
    first = _moment(start, None)
    if not _repeats(event):
        return (first,)
    times = {first, *_listed(event, "RDATE", start)}
    rule = event.get("RRULE")
    if rule is not None:
        until = _moment(rule["UNTIL"][0], start.tzinfo, last=True) if "UNTIL" in rule else None
        since_midnight = first - datetime.combine(first, time.min)
        last = None if until is None else (until - since_midnight).date()
        repeated = None if isinstance(rule, list) else repeated_days(rule, first.date(), last, days)
        if repeated is None:
            return None
        times |= {datetime.combine(day, first.time()) for day in repeated}
    left = times - set(_listed(event, "EXDATE", start)) - moved
    return tuple(sorted(left)) if len(times) <= MOST_TIMES else None


def _listed(event: Event, name: str, start: datetime) -> Iterator[datetime]:
    """Yield the times that a property lists, in the zone of the start. Raises TypeError for a period."""
    value = event.get(name, [])
    for each in value if isinstance(value, list) else [value]:
        for listed in each.dts:
            yield _moment(listed.dt, start.tzinfo)


def _moment(value: date | datetime, zone: tzinfo | None, *, last: bool = False) -> datetime:
    """Return a time as the clock shows it, in another zone where one is given; of a day, its start or its end."""
    if not isinstance(value, datetime):
        return datetime.combine(value, time.max if last else time.min)
    local = value.astimezone(zone) if zone is not None and value.tzinfo is not None else value
    return local.replace(tzinfo=None)


def _reason(event: Event, summary: str, start: date, settings: ImportSettings) -> EventReason | None:
    if settings.words is not None and not set(words_of(settings.words)) <= set(words_of(summary)):
        return "not_selected"
    if str(event.get("STATUS", "")).upper() == "CANCELLED":
        return "canceled"
    if not isinstance(start, datetime):
        return "all_day"
    return None


def _length(event: Event, start: datetime) -> timedelta:
    end = event.decoded("DTEND", None)
    length: timedelta = event.decoded("DURATION", timedelta()) if end is None else end - start
    return max(length, timedelta())
