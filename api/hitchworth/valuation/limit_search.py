"""When a limit covers a value, day by day, without valuing every day."""

from collections.abc import Callable, Iterator, Sequence
from datetime import date
from decimal import Decimal
from itertools import pairwise

from hitchworth.model.value_curve import FoundBy, LimitCrossing


class LimitSearch:
    """Finds every day, from a first to a last one, on which a limit begins or ceases to cover a value.

    The value may rise only on days that are known beforehand; between two of them it stays or falls. So the limit can
    cease to cover only on one of those days, and each is valued; where it begins again in between, halving finds the
    day. Exact to the day.
    """

    def __init__(self, value_on: Callable[[date], Decimal], limit: Decimal, ended: Callable[[], bool]) -> None:
        """`ended`: once it says so, the search ends with the stretch that it is in."""
        self._value_on = value_on
        self._limit = limit
        self._ended = ended
        self.searched_until: date | None = None
        """The last day that was accounted for."""

    def crossings(self, days: Sequence[date], last: date) -> Iterator[LimitCrossing]:
        """How the first day stands, then every change. `days`: those on which the value may rise, from the first on."""
        covered: bool | None = None
        for start, following in pairwise([day.toordinal() for day in days] + [last.toordinal() + 1]):
            if covered is not None and self._ended():
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
        """Where the days between were not accounted for: the dates that stand otherwise than the one before.

        `covered`: how the last day stands that was accounted for.
        """
        for day in dates:
            covers = self._covers(day.toordinal())
            if covers is not covered:
                yield self._crossing(day.toordinal(), covers, "given_date")
                covered = covers

    def _first_covered(self, before: int, covered: int) -> int:
        """The first covered day after one that is not, by halving; between the two the value never rises."""
        while covered - before > 1:
            middle = (before + covered) // 2
            if self._covers(middle):
                covered = middle
            else:
                before = middle
        return covered

    def _covers(self, day: int) -> bool:
        return self._value(day) <= self._limit

    def _value(self, day: int) -> Decimal:
        return self._value_on(date.fromordinal(day))

    def _crossing(self, day: int, covered: bool, found_by: FoundBy) -> LimitCrossing:
        return LimitCrossing(on=date.fromordinal(day), covered=covered, value=self._value(day), found_by=found_by)
