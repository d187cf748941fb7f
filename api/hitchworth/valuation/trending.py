"""Trending: a price that was paid, brought to the valuation date by a price index."""

from bisect import bisect_right
from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from decimal import Decimal
from typing import NamedTuple

from hitchworth.model.build import IndexMonth
from hitchworth.reference.price_indexes import price_index_named
from hitchworth.valuation.remarks import Remarks


class Trend(NamedTuple):
    """What a cost is multiplied by: the index on the valuation date over the index when it was paid."""

    now: Decimal
    then: Decimal


class PriceIndexes:
    """The price indexes of a build, and those that are published, read on one valuation date.

    An index has a value for a month. Nothing is invented for a month that it lacks: the last value before it holds,
    and a remark says so. Before its first month it says nothing, and the cost stays as it was paid.
    """

    def __init__(self, indexes: Mapping[str, Sequence[IndexMonth]], as_of: date, remarks: Remarks) -> None:
        self._indexes = indexes
        self._as_of = as_of
        self._remarks = remarks
        self._series: dict[str, dict[str, Decimal]] = {}
        self._trends: dict[tuple[str, int, int], Trend | None] = {}

    def trend(self, name: str, paid_on: date) -> Trend | None:
        """The trend from the month of payment to the valuation month; None, with a remark, where there is none."""
        key = (name, paid_on.year, paid_on.month)
        if key not in self._trends:
            then, now = self._value(name, paid_on), self._value(name, self._as_of)
            self._trends[key] = Trend(now, then) if now is not None and then is not None else None
        return self._trends[key]

    def months(self, name: str) -> Iterable[str]:
        """The months for which an index has a value, in their order."""
        return self._values(name)

    def _value(self, name: str, day: date) -> Decimal | None:
        values = self._values(name)
        months = list(values)
        month = f"{day.year:04}-{day.month:02}"
        place = bisect_right(months, month)
        if not place:
            self._remarks.add("index_not_known" if not months else "index_begins_later", name, month=month)
            return None
        held = months[place - 1]
        if held != month:
            self._remarks.add("index_value_held", name, month=month, held=held)
        return values[held]

    def _values(self, name: str) -> dict[str, Decimal]:
        """By month, in their order; a value of 0 is no price level."""
        if name not in self._series:
            published = price_index_named(name)
            rows = self._indexes.get(name) or (published.months if published else ())
            self._series[name] = {row.month: row.value for row in sorted(rows, key=_month) if row.value}
        return self._series[name]


def _month(row: IndexMonth) -> str:
    return row.month
