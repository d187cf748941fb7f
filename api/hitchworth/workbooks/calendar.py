"""Read an exported calendar (iCalendar, RFC 5545) as a log of hours: a row for each event."""

from datetime import date, datetime, timedelta
from decimal import ROUND_HALF_UP, Decimal
from typing import Literal, TypeAlias

from icalendar import Calendar, Event
from msgspec.structs import replace

from hitchworth.model.receipt_import import ImportSettings
from hitchworth.reference.words import words_of
from hitchworth.workbooks.cells import Row
from hitchworth.workbooks.findings import Findings
from hitchworth.workbooks.table import MAX_ROWS, Source, Table, UnreadableFileError

EventReason: TypeAlias = Literal["all_day", "canceled", "repeats", "not_selected"]
"""Why an event is left out.

all_day: an event of a whole day says no hours
canceled: the event was canceled
repeats: a repeating event is written once, without its days
not_selected: it does not have the words that were asked for
"""

HEADERS = ("Date", "Task", "Hours")
_START = b"BEGIN:VCALENDAR"


def is_calendar(content: bytes) -> bool:
    """Return whether a file is a calendar, by how it begins."""
    return content.lstrip(b"\xef\xbb\xbf \r\n\t")[: len(_START)].upper() == _START


def read_calendar(content: bytes, settings: ImportSettings, findings: Findings) -> tuple[Source, ImportSettings]:
    """Return the events as a table of hours. What is left out, and why, is noted; nothing is guessed of it.

    Raises UnreadableFileError when it is no calendar.
    """
    try:
        calendar = Calendar.from_ical(content.decode("utf-8-sig"))
        events = [component for component in calendar.walk("VEVENT") if isinstance(component, Event)]
        rows = [row for event in events if (row := _row(event, settings, findings)) is not None]
    except (ValueError, AttributeError, TypeError, KeyError, IndexError):
        raise UnreadableFileError("The calendar is damaged, or not in UTF-8. Export it again and retry.") from None
    if len(rows) > MAX_ROWS:
        raise UnreadableFileError(f"The calendar has more than {MAX_ROWS:,} events. Export fewer of them.")
    table = Table(rows=(HEADERS, *sorted(rows, key=lambda row: (str(row[0]), str(row[1])))))
    read_as = replace(settings, kind="labor", columns={**settings.columns, "Date": "performed_on"})
    return Source(tables=(table,), form="ics"), read_as


def _row(event: Event, settings: ImportSettings, findings: Findings) -> Row | None:
    """Return day, task and hours of an event; null, with a note, where it says no hours of work."""
    summary = str(event.get("SUMMARY", "")).strip()
    start = event.decoded("DTSTART", None)
    reason = _reason(event, summary, start, settings)
    if reason is not None:
        if reason != "not_selected":
            findings.note(f"event_{reason}", about=summary, day=str(start)[:10])
        return None
    minutes = Decimal(_length(event, start) // timedelta(minutes=1))
    return start.date(), summary or None, (minutes / 60).quantize(Decimal("0.01"), ROUND_HALF_UP)


def _reason(event: Event, summary: str, start: date | datetime | None, settings: ImportSettings) -> EventReason | None:
    if settings.words is not None and not set(words_of(settings.words)) <= set(words_of(summary)):
        return "not_selected"
    if str(event.get("STATUS", "")).upper() == "CANCELLED":
        return "canceled"
    if not isinstance(start, datetime):
        return "all_day"
    if "RRULE" in event or "RDATE" in event:
        return "repeats"
    return None


def _length(event: Event, start: datetime) -> timedelta:
    end = event.decoded("DTEND", None)
    length: timedelta = event.decoded("DURATION", timedelta()) if end is None else end - start
    return max(length, timedelta())
