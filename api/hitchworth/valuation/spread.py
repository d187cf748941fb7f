"""The spread of a line: low, likely and high replacement cost, and the mean and deviation that they make."""

from collections.abc import Callable
from math import isqrt
from typing import NamedTuple, TypeAlias

from msgspec import Struct

from hitchworth.model.build import Component, EvidenceGrade
from hitchworth.model.options import ThreePoint
from hitchworth.reference.evidence_ranges import evidence_ranges
from hitchworth.valuation.cost import Entry
from hitchworth.valuation.money import Money
from hitchworth.valuation.remarks import Remarks

FINE = 100
"""Ranges are whole percents of whole minor units, so in hundredths of a minor unit every sum is exact."""


class Spread(Struct, frozen=True, gc=False):
    """Three points of a line's replacement cost, in hundredths of a minor unit."""

    low: int
    likely: int
    high: int


Moments: TypeAlias = tuple[int, int]
"""Mean and standard deviation of a line, in sixths of the spread's unit, or in parts of them."""


class Shape(NamedTuple):
    """How three points make a mean and a deviation."""

    moments: Callable[[Spread], Moments]
    parts: int
    """So many parts to a sixth."""


def spread(entry: Entry, replacement_cost: int, money: Money, remarks: Remarks) -> Spread:
    """The range that the entry states, or that the grade of its evidence gives.

    A stated range that does not hold the likely cost is widened to it, with a remark.
    """
    known = evidence_ranges()[_grade(entry)]
    if not isinstance(entry, Component) or (entry.low is None and entry.high is None and entry.likely is None):
        cost = replacement_cost
        return Spread((FINE - known.below) * cost, FINE * cost, (FINE + known.above) * cost)
    cost = replacement_cost if entry.likely is None else money.minor(entry.likely)
    likely = FINE * cost
    low = (FINE - known.below) * cost if entry.low is None else FINE * money.minor(entry.low)
    high = (FINE + known.above) * cost if entry.high is None else FINE * money.minor(entry.high)
    if cost != replacement_cost:
        amounts = {"likely": f"{money.amount(cost):f}", "computed": f"{money.amount(replacement_cost):f}"}
        remarks.add("likely_differs", entry.id, **amounts)
    if not low <= likely <= high:
        remarks.add("range_widened", entry.id)
        low, high = min(low, likely), max(high, likely)
    return Spread(low, likely, high)


def pert(line: Spread) -> Moments:
    """Mean (low + 4 likely + high) / 6, deviation (high - low) / 6."""
    return line.low + 4 * line.likely + line.high, line.high - line.low


def triangular(line: Spread) -> Moments:
    """Mean (a + b + c) / 3, variance (a^2 + b^2 + c^2 - ab - ac - bc) / 18, of low a, likely b, high c."""
    below, above = line.likely - line.low, line.high - line.likely
    # The numerator of the variance is below^2 + below x above + above^2; over 18 it is twice that over 6^2.
    squared = 2 * (below * below + below * above + above * above)
    return 2 * FINEST * (line.low + line.likely + line.high), isqrt(squared * FINEST * FINEST)


FINEST = 2**32
"""A square root is kept to its tenth digit."""

SHAPES: dict[ThreePoint, Shape] = {"pert": Shape(pert, 1), "triangular": Shape(triangular, FINEST)}


def _grade(entry: Entry) -> EvidenceGrade:
    """Hired work has a bill; what own hours would cost at a shop is an own estimate. Common practice."""
    if isinstance(entry, Component):
        return entry.evidence_grade
    return "receipt" if entry.hired else "own_estimate"
