"""Trending: bring a price that was paid to the valuation date by a price index."""

from bisect import bisect_right
from collections.abc import Mapping, Sequence
from datetime import date
from decimal import Decimal
from typing import NamedTuple

from hitchworth.model.build import IndexMonth
from hitchworth.reference.price_indexes import MonthlyValues, monthly_values, published_values
from hitchworth.valuation.notes import NoteCollector

NO_VALUES = MonthlyValues((), ())


class Trend(NamedTuple):
    """A cost is multiplied by the index on the valuation date and divided by the index when it was paid."""

    now: Decimal
    then: Decimal


class PriceIndexes:
    """The price indexes of a build and the published ones, read on one valuation date.

    An index has at most one value for each month, be it monthly, quarterly or two points. No value is made up: a month
    without one takes the last value before it, and a note says so. Before the first month there is no trend, and the
    cost stays as it was paid.
    """

    def __init__(self, indexes: Mapping[str, Sequence[IndexMonth]], as_of: date, notes: NoteCollector) -> None:
        self._indexes = indexes
        self._as_of = as_of
        self._notes = notes
        self._series: dict[str, MonthlyValues] = {}
        self._trends: dict[tuple[str, int, int], Trend | None] = {}

    def trend(self, name: str, paid_on: date) -> Trend | None:
        """Return the trend from the month of payment to the valuation month; None, with a note, if there is none."""
        key = (name, paid_on.year, paid_on.month)
        if key not in self._trends:
            then, now = self._value(name, paid_on), self._value(name, self._as_of)
            self._trends[key] = Trend(now, then) if now is not None and then is not None else None
        return self._trends[key]

    def months(self, name: str) -> Sequence[str]:
        """Return the months for which an index has a value, in order, as 2026-06."""
        return self._values(name).months

    def _value(self, name: str, day: date) -> Decimal | None:
        months, values = self._values(name)
        month = f"{day.year:04}-{day.month:02}"
        following = bisect_right(months, month)
        if not following:
            self._notes.add("index_begins_later" if months else "index_not_known", name, month=month)
            return None
        latest = months[following - 1]
        if latest != month:
            self._notes.add("index_value_held", name, month=month, held=latest)
        return values[following - 1]

    def _values(self, name: str) -> MonthlyValues:
        """An index of the build takes precedence over a published one of the same name."""
        if name not in self._series:
            own = self._indexes.get(name)
            self._series[name] = monthly_values(own) if own else published_values(name) or NO_VALUES
        return self._series[name]
