"""The spread of a line: its low, likely and high replacement cost, and its standard deviation."""

from collections.abc import Callable, Sequence
from math import sqrt

from msgspec import Struct

from hitchworth.model.build import Component, EvidenceGrade
from hitchworth.model.options import ThreePoint
from hitchworth.money import Money
from hitchworth.reference.evidence_ranges import evidence_ranges
from hitchworth.valuation.cost import Entry
from hitchworth.valuation.notes import NoteCollector

HUNDREDTHS = 100
"""Ranges are whole percentages of whole minor units, so in hundredths of a minor unit every sum is exact."""


class Spread(Struct, frozen=True, gc=False):
    """Three points of a line's replacement cost, in hundredths of a minor unit."""

    low: int
    likely: int
    high: int


def spread(entry: Entry, replacement_cost: int, money: Money, notes: NoteCollector) -> Spread:
    """Return the range that the entry states, or the range for the grade of its evidence.

    A stated range that does not include the likely cost is widened to include it, with a note.
    """
    known = evidence_ranges()[_grade(entry)]
    if not isinstance(entry, Component) or (entry.low is None and entry.high is None and entry.likely is None):
        cost = replacement_cost
        return Spread((HUNDREDTHS - known.below) * cost, HUNDREDTHS * cost, (HUNDREDTHS + known.above) * cost)
    cost = replacement_cost if entry.likely is None else money.to_minor_units(entry.likely)
    likely = HUNDREDTHS * cost
    low = (HUNDREDTHS - known.below) * cost if entry.low is None else HUNDREDTHS * money.to_minor_units(entry.low)
    high = (HUNDREDTHS + known.above) * cost if entry.high is None else HUNDREDTHS * money.to_minor_units(entry.high)
    if cost != replacement_cost:
        amounts = {
            "likely": f"{money.from_minor_units(cost):f}",
            "computed": f"{money.from_minor_units(replacement_cost):f}",
        }
        notes.add("likely_differs", entry.id, **amounts)
    if not low <= likely <= high:
        notes.add("range_widened", entry.id)
        low, high = min(low, likely), max(high, likely)
    return Spread(low, likely, high)


def pert_deviations(lines: Sequence[Spread]) -> list[float]:
    """Return the standard deviations by PERT's beta distribution: variance (high - low)^2 alpha beta / 252.

    alpha = 1 + 4 (likely - low) / (high - low), beta = 6 - alpha; the mean is (low + 4 likely + high) / 6. The rule of
    thumb for the deviation, (high - low) / 6, is from an eighth less to a fifth more.
    """
    return [
        sqrt((line.high + 4 * line.likely - 5 * line.low) * (5 * line.high - 4 * line.likely - line.low) / 252)
        for line in lines
    ]


def triangular_deviations(lines: Sequence[Spread]) -> list[float]:
    """Return the standard deviations by the triangular distribution: variance (a^2 + b^2 + c^2 - ab - ac - bc) / 18."""
    return [
        sqrt(((line.high - line.low) ** 2 - (line.likely - line.low) * (line.high - line.likely)) / 18)
        for line in lines
    ]


DEVIATIONS: dict[ThreePoint, Callable[[Sequence[Spread]], list[float]]] = {
    "pert": pert_deviations,
    "triangular": triangular_deviations,
}


def _grade(entry: Entry) -> EvidenceGrade:
    """Hired work has a bill; the shop cost of own hours is an own estimate. Common practice."""
    if isinstance(entry, Component):
        return entry.evidence_grade
    return "receipt" if entry.hired else "own_estimate"
