"""A row of dates that can be valued: rising, and not too much to reckon."""

from collections.abc import Iterator
from itertools import pairwise

from hitchworth.model.fault import Fault
from hitchworth.model.request import ValueCurveRequest

MOST_LINES = 500_000
"""So many lines are valued for one curve: a few seconds' work."""


def dates_not_rising(request: ValueCurveRequest) -> Iterator[Fault]:
    """Each date is later than the one before it, so none comes twice."""
    for index, (before, after) in enumerate(pairwise(request.dates), start=1):
        if after <= before:
            yield Fault(
                pointer=f"/dates/{index}",
                detail="The dates do not rise",
                expected=f"a date after {before}",
                found=after.isoformat(),
            )


def too_many_dates(request: ValueCurveRequest) -> Iterator[Fault]:
    """A large build is valued on fewer dates."""
    lines = len(request.build.components) + len(request.build.labor)
    if lines * len(request.dates) > MOST_LINES:
        yield Fault(
            pointer="/dates",
            detail="Too many dates for a build of this size",
            expected=f"at most {MOST_LINES // lines} dates for {lines:,} lines",
            found=str(len(request.dates)),
        )
