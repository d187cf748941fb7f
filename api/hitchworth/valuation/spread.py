"""The spread of a line: its low, likely and high replacement cost, and its standard deviation."""

from collections.abc import Callable, Sequence
from decimal import Decimal
from math import sqrt

from msgspec import Struct

from hitchworth.model.entry import Component, EvidenceGrade, RateEvidence
from hitchworth.model.options import ThreePoint
from hitchworth.money import Money, half_up
from hitchworth.reference.evidence_ranges import evidence_ranges
from hitchworth.valuation.cost import Entry
from hitchworth.valuation.labor_rates import grade_of_rate, states_range
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
    if not states_range(entry):
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


def pool_guesses(entries: Sequence[Entry], spreads: Sequence[Spread]) -> tuple[list[Spread], list[int]]:
    """Add up the ranges of the entries at the same guessed rate, and return for each entry the place of its range.

    Such a rate is one guess: it is as far off for one entry as for the next, so their ranges add up as they are.
    """
    pooled: list[Spread] = []
    guesses: dict[Decimal, int] = {}
    places = []
    for entry, line in zip(entries, spreads, strict=True):
        guess = _guessed_rate(entry)
        place = len(pooled) if guess is None else guesses.setdefault(guess, len(pooled))
        if place == len(pooled):
            pooled.append(line)
        else:
            known = pooled[place]
            pooled[place] = Spread(known.low + line.low, known.likely + line.likely, known.high + line.high)
        places.append(place)
    return pooled, places


def shares_of_lines(
    shares: Sequence[int], ranges: Sequence[Spread], places: Sequence[int], spreads: Sequence[Spread]
) -> list[int]:
    """Return each line's share of the variance; of a pooled range, its part of the range's share by its width."""
    if len(ranges) == len(spreads):
        return list(shares)
    return [_share_of_line(shares[place], ranges[place], line) for place, line in zip(places, spreads, strict=True)]


def _share_of_line(share: int, pooled: Spread, line: Spread) -> int:
    if pooled is line or not share:
        return share
    return half_up(share * (line.high - line.low), pooled.high - pooled.low)


def _guessed_rate(entry: Entry) -> Decimal | None:
    if isinstance(entry, Component) or grade_of_rate(entry) != "guess" or states_range(entry):
        return None
    return entry.rate if entry.market_rate is None else entry.market_rate


def grade_of_cost(component: Component) -> EvidenceGrade:
    """Return what proves the cost: as stated, or an estimate of one's own."""
    return component.evidence_grade or "own_estimate"


def _grade(entry: Entry) -> RateEvidence:
    return grade_of_cost(entry) if isinstance(entry, Component) else grade_of_rate(entry)
