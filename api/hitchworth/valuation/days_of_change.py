"""Days of change: the days on which the value of a build can rise."""

from collections.abc import Iterator
from datetime import date

from hitchworth.model.build import Build, Labor
from hitchworth.valuation.cost import Entry
from hitchworth.valuation.remarks import Remarks
from hitchworth.valuation.trending import PriceIndexes


def days_of_change(build: Build, first: date, last: date) -> list[date]:
    """The first day, and every later day up to the last on which something changes but age, in their order.

    A component comes in or goes out, work is done, a quote or a market rate becomes known, a month of a price index
    begins. Between two such days every replacement cost stays what it is, and as percent good never rises with age, no
    value rises.
    """
    least, most = first.isoformat(), last.isoformat()
    days = {day for day in (*_entry_days(build), *_index_days(build, last)) if least < day <= most}
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
    """The first day of every month that an index in use has a value for."""
    indexes = PriceIndexes(build.price_indexes, last, Remarks())
    used = dict.fromkeys(entry.price_index for entry in _entries(build))
    for name in used:
        if name is not None:
            yield from (f"{month}-01" for month in indexes.months(name))
