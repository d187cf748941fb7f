"""On which days an event of a calendar repeats, by its rule (RFC 5545, 3.3.10): looked for day by day, within bounds.

A rule may fit no day at all, as February 30. A library looks for the next one up to the year 9999.
"""

from calendar import monthrange
from collections.abc import Iterator, Mapping, Sequence
from datetime import MAXYEAR, date
from itertools import count, islice
from typing import Any, NamedTuple

from hitchworth.workbooks.table import UnreadableFileError

MOST_TIMES = 1_000
MOST_YEARS = 20
MOST_DAYS = 200_000
"""The days that are looked at for all events of a file."""

_FREQUENCIES = ("DAILY", "WEEKLY", "MONTHLY", "YEARLY")
_PARTS = frozenset(("FREQ", "INTERVAL", "COUNT", "UNTIL", "WKST", "BYDAY", "BYMONTH", "BYMONTHDAY", "BYSETPOS"))
_WEEKDAYS = ("MO", "TU", "WE", "TH", "FR", "SA", "SU")

Rule = Mapping[str, Sequence[Any]]
"""The parts of a rule, each a list of values as `icalendar` reads them."""


class Days:
    """Counts the days that are looked at."""

    def __init__(self) -> None:
        self._left = MOST_DAYS

    def take(self, number: int) -> None:
        """Raise UnreadableFileError when that many are too many."""
        self._left -= number
        if self._left < 0:
            raise UnreadableFileError("The calendar has too many events that repeat. Export fewer of them.")


def repeated_days(rule: Rule, start: date, until: date | None, days: Days) -> tuple[date, ...] | None:
    """Return the days by a rule, from the start to the last one (`until`).

    Null where there is no end, where it is too far off or too many times away, and for a rule that is not read: one
    within a day, or with parts that calendars hardly ever write.
    """
    times = rule["COUNT"][0] if "COUNT" in rule else None
    if not _is_read(rule) or (times is None and until is None):
        return None
    end = _month(12 * (start.year + MOST_YEARS) + start.month - 1)
    last = end if until is None else min(until.toordinal(), end)
    found = tuple(islice(_days(rule, start, last, days), min(times or MOST_TIMES + 1, MOST_TIMES + 1)))
    is_whole = len(found) == times or (until is not None and until.toordinal() <= end)
    return found if is_whole and len(found) <= MOST_TIMES else None


def _is_read(rule: Rule) -> bool:
    frequency = rule["FREQ"][0]
    has_places = frequency == "MONTHLY" or (frequency == "YEARLY" and "BYMONTH" in rule)
    return (
        frequency in _FREQUENCIES
        and _PARTS.issuperset(rule)
        and _interval(rule) > 0
        and (has_places or not any(day.relative for day in rule.get("BYDAY", ())))
    )


def _interval(rule: Rule) -> int:
    return int(rule.get("INTERVAL", (1,))[0])


def _days(rule: Rule, start: date, last: int, days: Days) -> Iterator[date]:
    """Yield the days from the start to the last one, which is a number as of `date.toordinal`."""
    pattern = _pattern(rule, start)
    for number in count(0, _interval(rule)):
        period = _period(rule, start, number)
        if period.start > last:
            return
        days.take(len(period))
        fitting = [day for day in map(date.fromordinal, period) if pattern.fits(day)]
        for day in _at_places(fitting, rule.get("BYSETPOS")):
            if day >= start and day.toordinal() <= last:
                yield day


def _period(rule: Rule, start: date, number: int) -> range:
    """Return the days of a day, week, month or year, counted from that of the start."""
    match rule["FREQ"][0]:
        case "DAILY":
            first = start.toordinal() + number
            return range(first, first + 1)
        case "WEEKLY":
            begin = _WEEKDAYS.index(rule["WKST"][0].weekday) if "WKST" in rule else 0
            first = start.toordinal() - (start.weekday() - begin) % 7 + 7 * number
            return range(first, first + 7)
        case "MONTHLY":
            month = 12 * start.year + start.month - 1 + number
            return range(_month(month), _month(month + 1))
    month = 12 * (start.year + number)
    return range(_month(month), _month(month + 12))


def _month(number: int) -> int:
    """Return the first day of a month, counted from January of the year 0; all later than the last year are one."""
    year, month = divmod(number, 12)
    return date(year, month + 1, 1).toordinal() if year <= MAXYEAR else date.max.toordinal() + 1


def _at_places(days: Sequence[date], places: Sequence[int] | None) -> Sequence[date]:
    """Return the days at these places of their period, counted from 1, or from its end from -1; all for none."""
    if places is None:
        return days
    return [day for place, day in enumerate(days) if place + 1 in places or place - len(days) in places]


class _Pattern(NamedTuple):
    """Which days fit, whatever their period; empty: all."""

    months: frozenset[int]
    month_days: frozenset[int]
    """Counted from 1, or from the end of the month from -1."""
    weekdays: frozenset[tuple[int, int]]
    """Each with its place among the days of its name in the month, counted alike; 0 for all of them."""

    def fits(self, day: date) -> bool:
        if self.months and day.month not in self.months:
            return False
        length = monthrange(day.year, day.month)[1]
        if self.month_days and self.month_days.isdisjoint((day.day, day.day - length - 1)):
            return False
        places = (0, (day.day + 6) // 7, -((length - day.day) // 7 + 1))
        return not self.weekdays or not self.weekdays.isdisjoint((place, day.weekday()) for place in places)


def _pattern(rule: Rule, start: date) -> _Pattern:
    """Return what the rule says of its days; where it names none, they are like the start."""
    months, month_days = frozenset(rule.get("BYMONTH", ())), frozenset(rule.get("BYMONTHDAY", ()))
    weekdays = frozenset((day.relative or 0, _WEEKDAYS.index(day.weekday)) for day in rule.get("BYDAY", ()))
    if not month_days and not weekdays:
        match rule["FREQ"][0]:
            case "WEEKLY":
                weekdays = frozenset(((0, start.weekday()),))
            case "MONTHLY":
                month_days = frozenset((start.day,))
            case "YEARLY":
                months, month_days = months or frozenset((start.month,)), frozenset((start.day,))
    return _Pattern(months, month_days, weekdays)
