"""The band: the range of the replacement cost at a stated confidence, rolled up from the spreads of the lines."""

from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction
from statistics import NormalDist

from hitchworth.model.estimate import Band
from hitchworth.model.options import Options
from hitchworth.money import Money, round_ratio
from hitchworth.valuation.spread import HUNDREDTHS, SHAPES, Moments, Spread


def band(
    spreads: Sequence[Spread], moments: Sequence[Moments], replacement_cost: int, options: Options, money: Money
) -> Band:
    """Roll up the lines at the confidence and the correlation of the options. `replacement_cost`: in minor units.

    The sum is taken as normally distributed: low and high are `quantile` standard deviations from its mean. Where the
    ranges are very lopsided, the band is widened to include the likely cost, which is the sum of the lines; where a
    line states its own likely cost, it is widened to include the replacement cost too. No low is below 0.
    """
    likely = sum(line.likely for line in spreads)
    mean, variance = mean_and_variance(moments, options.correlation, SHAPES[options.three_point].parts)
    reach = quantile(options.confidence) * variance.sqrt()
    low, high = max(mean - reach, Decimal(0)), mean + reach
    included = Decimal(likely), Decimal(HUNDREDTHS * replacement_cost)
    return Band(
        low=money.from_minor_units(money.round_minor_units(min(low, *included) / HUNDREDTHS)),
        likely=money.from_minor_units(likely // HUNDREDTHS),
        high=money.from_minor_units(money.round_minor_units(max(high, *included) / HUNDREDTHS)),
        confidence=options.confidence,
    )


def moments_of(spreads: Sequence[Spread], options: Options) -> list[Moments]:
    """Return the mean and the standard deviation of each line."""
    return list(map(SHAPES[options.three_point].moments, spreads))


def mean_and_variance(moments: Sequence[Moments], correlation: Decimal, parts: int = 1) -> tuple[Decimal, Decimal]:
    """Return the mean and the variance of the sum of the lines, in the unit of the spreads.

    `parts`: the number of parts in a sixth that the moments are in. Means add up. With the same correlation r between
    any two lines, the variance of the sum is (1 - r) x sum of variances + r x (sum of standard deviations) squared.
    """
    total = sum(deviation for _, deviation in moments)
    squares = sum(deviation * deviation for _, deviation in moments)
    variance = (1 - correlation) * squares + correlation * (total * total)
    scale = 6 * parts
    return Decimal(sum(mean for mean, _ in moments)) / scale, variance / (scale * scale)


def variance_shares(moments: Sequence[Moments], correlation: Decimal) -> list[Decimal]:
    """Return each line's part of the variance of the sum: its own, and half of what it shares with each other line.

    For the standard deviation s of the line, the sum S of all standard deviations and the correlation r:
    s x ((1 - r) x s + r x S) / variance. The parts add up to 1, except for rounding to four places.
    """
    numerator, denominator = Fraction(correlation).as_integer_ratio()
    shared = numerator * sum(deviation for _, deviation in moments)
    parts = [deviation * ((denominator - numerator) * deviation + shared) for _, deviation in moments]
    variance = sum(parts) or 1
    return [round_ratio(part, variance, 4) for part in parts]


def quantile(confidence: Decimal) -> Decimal:
    """Return the number of standard deviations on either side that hold a normal quantity with this confidence.

    The only place with a binary float: the standard library's inverse of the normal distribution, rounded to twelve
    decimals.
    """
    return round(Decimal(NormalDist().inv_cdf(float((1 + confidence) / 2))), 12)
