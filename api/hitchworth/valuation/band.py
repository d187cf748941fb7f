"""The band: how far to trust the replacement cost, rolled up from the spreads of the lines."""

from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction
from statistics import NormalDist

from hitchworth.model.estimate import Band
from hitchworth.model.options import Options
from hitchworth.valuation.money import Money
from hitchworth.valuation.spread import FINE, SHAPES, Moments, Spread

SHARES = 10_000
ONE_SHARE = Decimal("0.0001")


def band(
    spreads: Sequence[Spread], moments: Sequence[Moments], replacement_cost: int, options: Options, money: Money
) -> Band:
    """Roll the lines up at the confidence and the correlation of the options.

    The sum is taken as normal: low and high lie `quantile` standard deviations off its mean, and are widened, where the
    ranges are much lopsided, to hold the likely cost, which is the sum of the lines; and, where a line states a likely
    cost of its own, to hold the replacement cost too.
    """
    likely = sum(line.likely for line in spreads)
    mean, variance = mean_and_variance(moments, options.correlation, SHAPES[options.three_point].parts)
    reach = quantile(options.confidence) * variance.sqrt()
    low, high = max(mean - reach, Decimal(0)), mean + reach
    held = Decimal(likely), Decimal(FINE * replacement_cost)
    return Band(
        low=money.amount(money.whole(min(low, *held) / FINE)),
        likely=money.amount(likely // FINE),
        high=money.amount(money.whole(max(high, *held) / FINE)),
        confidence=options.confidence,
    )


def moments_of(spreads: Sequence[Spread], options: Options) -> list[Moments]:
    """Mean and deviation of every line."""
    return list(map(SHAPES[options.three_point].moments, spreads))


def mean_and_variance(moments: Sequence[Moments], correlation: Decimal, parts: int = 1) -> tuple[Decimal, Decimal]:
    """Mean and variance of the sum of the lines, in the unit of the spreads, from moments of so many parts a sixth.

    Means add up. With one correlation r between any two lines the variance of the sum is (1 - r) x sum of variances
    + r x (sum of standard deviations) squared.
    """
    total = sum(deviation for _, deviation in moments)
    squares = sum(deviation * deviation for _, deviation in moments)
    variance = (1 - correlation) * squares + correlation * (total * total)
    whole = 6 * parts
    return Decimal(sum(mean for mean, _ in moments)) / whole, variance / (whole * whole)


def variance_shares(moments: Sequence[Moments], correlation: Decimal) -> list[Decimal]:
    """Each line's part of the variance of the sum: its own, and its half of what it shares with every other line.

    With the deviation s of the line, S of all lines added up, and the correlation r: s x ((1 - r) x s + r x S) over
    the variance. The parts add up to 1, but for their rounding to four places.
    """
    share, of = Fraction(correlation).as_integer_ratio()
    common = share * sum(deviation for _, deviation in moments)
    parts = [deviation * ((of - share) * deviation + common) for _, deviation in moments]
    whole = sum(parts) or 1
    return [(2 * SHARES * part + whole) // (2 * whole) * ONE_SHARE for part in parts]


def quantile(confidence: Decimal) -> Decimal:
    """How many standard deviations to either side hold a normal quantity with this confidence.

    The one place with a binary float: the standard library's inverse of the normal distribution, kept to twelve
    decimals.
    """
    return round(Decimal(NormalDist().inv_cdf(float((1 + confidence) / 2))), 12)
