"""When a limit covers the value of a build, exact to the day, without valuing every day."""

from collections.abc import Callable, Iterator, Sequence
from datetime import date
from decimal import Decimal
from itertools import pairwise

from hitchworth.model.build import Build
from hitchworth.model.entry import Labor
from hitchworth.model.value_curve import FoundBy, LimitCrossing
from hitchworth.valuation.cost import Entry
from hitchworth.valuation.notes import NoteCollector
from hitchworth.valuation.trending import PriceIndexes


def days_of_change(build: Build, first: date, last: date) -> list[date]:
    """Return the first day, and every later day up to the last one on which the value can rise, in order.

    These are the days on which a component is bought or removed, labor is done, a quote or a market rate becomes known,
    or a month of a price index begins. Between two of them replacement costs do not change, and percent good never
    rises with age, so no value rises.
    """
    earliest, latest = first.isoformat(), last.isoformat()
    days = {day for day in (*_entry_days(build), *_index_days(build, last)) if earliest < day <= latest}
    return [first, *map(date.fromisoformat, sorted(days))]


def _entry_days(build: Build) -> Iterator[str]:
    for entry in _entries(build):
        for day in _days_of(entry):
            if day is not None:
                yield day.isoformat()


def _entries(build: Build) -> tuple[Entry, ...]:
    return (*build.components, *build.labor)


def _days_of(entry: Entry) -> tuple[date | None, ...]:
    if isinstance(entry, Labor):
        return entry.performed_on, entry.market_rate_on
    return entry.acquired_on, entry.removed_on, entry.quoted_on


def _index_days(build: Build, last: date) -> Iterator[str]:
    """The first day of every month for which an index in use has a value."""
    indexes = PriceIndexes(build.price_indexes, last, NoteCollector())
    used = dict.fromkeys(entry.price_index for entry in _entries(build))
    for name in used:
        if name is not None:
            yield from (f"{month}-01" for month in indexes.months(name))


class LimitSearch:
    """Finds every day, from the first to the last, on which a limit starts or stops covering a value.

    The value may rise only on days that are known in advance; between two of them it stays the same or falls. So the
    limit can stop covering it only on one of those days, and each of them is valued. If it starts again in between,
    bisection finds the day.
    """

    def __init__(self, value_on: Callable[[date], Decimal], limit: Decimal, is_over: Callable[[], bool]) -> None:
        """`is_over`: once it returns true, the search stops before the next day of change."""
        self._value_on = value_on
        self._limit = limit
        self._is_over = is_over
        self.searched_until: date | None = None
        """The last day that the crossings account for."""

    def crossings(self, days: Sequence[date], last: date) -> Iterator[LimitCrossing]:
        """Yield the state on the first day, then every crossing.

        `days`: those on which the value may rise, starting with the first day.
        """
        covered: bool | None = None
        for start, following in pairwise([day.toordinal() for day in days] + [last.toordinal() + 1]):
            if covered is not None and self._is_over():
                return
            covers = self._covers(start)
            if covers is not covered:
                yield self._crossing(start, covers, "first_date" if covered is None else "day_of_change")
                covered = covers
            end = following - 1
            if not covered and end > start and self._covers(end):
                yield self._crossing(self._first_covered(start, end), True, "bisection")
                covered = True
            self.searched_until = date.fromordinal(end)

    def crossings_between(self, dates: Sequence[date], covered: bool) -> Iterator[LimitCrossing]:
        """Yield the dates whose state differs from that of the date before, if the days between are not searched.

        `covered`: the state on the last day that was searched.
        """
        for day in dates:
            covers = self._covers(day.toordinal())
            if covers is not covered:
                yield self._crossing(day.toordinal(), covers, "given_date")
                covered = covers

    def _first_covered(self, uncovered: int, covered: int) -> int:
        """The first covered day after one that is not covered, by bisection; the value never rises between the two."""
        while covered - uncovered > 1:
            middle = (uncovered + covered) // 2
            if self._covers(middle):
                covered = middle
            else:
                uncovered = middle
        return covered

    def _covers(self, day: int) -> bool:
        return self._value(day) <= self._limit

    def _value(self, day: int) -> Decimal:
        return self._value_on(date.fromordinal(day))

    def _crossing(self, day: int, covered: bool, found_by: FoundBy) -> LimitCrossing:
        return LimitCrossing(on=date.fromordinal(day), covered=covered, value=self._value(day), found_by=found_by)
