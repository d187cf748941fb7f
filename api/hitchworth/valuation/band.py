"""The band: the range of the replacement cost at a stated confidence, rolled up from the spreads of the lines."""

from collections.abc import Sequence
from decimal import Decimal
from math import fsum

from hitchworth.model.estimate import Band
from hitchworth.model.options import Options
from hitchworth.money import Money
from hitchworth.valuation.spread import DEVIATIONS, HUNDREDTHS, Spread
from hitchworth.valuation.sum_of_ranges import SumOfRanges

SHARE_SCALE = 10_000


def band(
    spreads: Sequence[Spread], replacement_cost: int, options: Options, money: Money, not_priced: tuple[str, ...] = ()
) -> Band:
    """Roll up the lines at the confidence and the correlation of the options. `replacement_cost`: in minor units.

    Low and high are the quantiles of the sum that leave the same probability on either side. Where the ranges are very
    lopsided, the band is widened to include the likely cost, which is the sum of the lines; where a line states its own
    likely cost, it is widened to include the replacement cost too. `not_priced`: the lines that it cannot speak for.
    """
    likely = sum(line.likely for line in spreads)
    below = float((1 - options.confidence) / 2)
    ranges = SumOfRanges(spreads, options.three_point)
    ends = ranges.quantiles((below, 1 - below), float(options.correlation))
    included = Decimal(likely), Decimal(HUNDREDTHS * replacement_cost)
    low, high = (round(Decimal(end), 6) for end in ends)
    return Band(
        low=money.from_minor_units(money.round_minor_units(min(low, *included) / HUNDREDTHS)),
        likely=money.from_minor_units(likely // HUNDREDTHS),
        high=money.from_minor_units(money.round_minor_units(max(high, *included) / HUNDREDTHS)),
        confidence=options.confidence,
        not_priced=not_priced,
    )


def variance_shares(spreads: Sequence[Spread], options: Options) -> list[int]:
    """Return each line's part of the variance of the sum: its own, and half of what it shares with each other line.

    For the standard deviation s of the line, the sum S of all standard deviations and the correlation r:
    s x ((1 - r) x s + r x S) / variance. In ten-thousandths, to which they are rounded; without that they add up to 1.
    """
    tied = float(options.correlation)
    deviations = DEVIATIONS[options.three_point](spreads)
    common = tied * fsum(deviations)
    parts = [deviation * ((1 - tied) * deviation + common) for deviation in deviations]
    scale = SHARE_SCALE / (fsum(parts) or 1)
    return [round(part * scale) for part in parts]


SHARES = tuple(Decimal(share).scaleb(-4) for share in range(SHARE_SCALE + 1))
"""Every share in ten-thousandths, as a number with four places."""
