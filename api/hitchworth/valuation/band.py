"""The band: how far to trust the replacement cost, rolled up from the ranges of the lines."""

from collections.abc import Iterable
from decimal import Decimal
from statistics import NormalDist

from msgspec import Struct

from hitchworth.model.build import Component, EvidenceGrade
from hitchworth.model.estimate import Band
from hitchworth.model.options import Options
from hitchworth.reference.ranges import EVIDENCE_RANGES
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


def spread(entry: Entry, replacement_cost: int, money: Money, remarks: Remarks) -> Spread:
    """The range that the entry states, or that the grade of its evidence gives.

    A stated range that does not hold the computed cost is widened to it, with a remark.
    """
    known = EVIDENCE_RANGES[_grade(entry)]
    likely = FINE * replacement_cost
    low, high = (FINE - known.below) * replacement_cost, (FINE + known.above) * replacement_cost
    if isinstance(entry, Component) and not (entry.low is None and entry.high is None):
        low = low if entry.low is None else FINE * money.minor(entry.low)
        high = high if entry.high is None else FINE * money.minor(entry.high)
        if not low <= likely <= high:
            remarks.add("range_widened", entry.id)
            low, high = min(low, likely), max(high, likely)
    return Spread(low, likely, high)


def band(spreads: Iterable[Spread], options: Options, money: Money) -> Band:
    """Roll the lines up at the confidence and the correlation of the options.

    The sum is taken as normal: low and high lie `quantile` standard deviations off its mean, and are widened, where the
    ranges are much lopsided, to hold the likely cost, which is the sum of the lines.
    """
    lines = list(spreads)
    likely = sum(line.likely for line in lines)
    mean, variance = mean_and_variance(lines, options.correlation)
    reach = quantile(options.confidence) * variance.sqrt()
    low, high = max(mean - reach, Decimal(0)), mean + reach
    return Band(
        low=money.amount(money.whole(min(low, Decimal(likely)) / FINE)),
        likely=money.amount(likely // FINE),
        high=money.amount(money.whole(max(high, Decimal(likely)) / FINE)),
        confidence=options.confidence,
    )


def mean_and_variance(spreads: Iterable[Spread], correlation: Decimal) -> tuple[Decimal, Decimal]:
    """Mean and variance of the sum of the lines, in the unit of the spreads.

    By PERT a line has the mean (low + 4 likely + high) / 6 and the standard deviation (high - low) / 6. Means add up.
    With one correlation r between any two lines the variance of the sum is (1 - r) x sum of variances + r x (sum of
    standard deviations) squared.
    """
    sixfold_mean = widths = squares = 0
    for line in spreads:
        width = line.high - line.low
        sixfold_mean += line.low + 4 * line.likely + line.high
        widths += width
        squares += width * width
    variance = (1 - correlation) * squares + correlation * (widths * widths)
    return Decimal(sixfold_mean) / 6, variance / 36


def quantile(confidence: Decimal) -> Decimal:
    """How many standard deviations to either side hold a normal quantity with this confidence.

    The one place with a binary float: the standard library's inverse of the normal distribution, kept to twelve
    decimals.
    """
    return round(Decimal(NormalDist().inv_cdf(float((1 + confidence) / 2))), 12)


def _grade(entry: Entry) -> EvidenceGrade:
    """Hired work has a bill; what own hours would cost at a shop is an own estimate. Common practice."""
    if isinstance(entry, Component):
        return entry.evidence_grade
    return "receipt" if entry.hired else "own_estimate"
