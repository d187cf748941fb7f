"""Value changes: the values on the day before a day on which something changes, and on the day itself."""

from collections.abc import Collection, Iterator, Sequence
from datetime import date, timedelta

from hitchworth.model.value_curve import ValueChange
from hitchworth.valuation.quick_totals import QuickTotals

MOST_CHANGES = 200
"""More lie too close together in a chart."""

MOST_LINES = 250_000
"""So many lines are valued for the changes: a second's work."""

_NEXT = timedelta(days=1)


def value_changes(
    totals: QuickTotals, days: Sequence[date], crossings: Collection[date], lines: int
) -> Iterator[ValueChange]:
    """The changes in their order: of every crossing, and of the days of change, thinned out evenly where they are many.

    `lines`: of the build. No day may be the first of the calendar.
    """
    most = min(MOST_CHANGES, MOST_LINES // (2 * (lines or 1)) + 1)
    every = -(-len(days) // most) or 1
    for day in sorted({*days[::every], *crossings}):
        before, after = totals.on(day - _NEXT), totals.on(day)
        yield ValueChange(
            on=day,
            replacement_cost_before=before.replacement_cost,
            replacement_cost=after.replacement_cost,
            actual_cash_value_before=before.actual_cash_value,
            actual_cash_value=after.actual_cash_value,
        )
