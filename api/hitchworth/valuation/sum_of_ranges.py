"""The quantiles of the sum of the lines, each between its low and its high, tied by one common factor.

Where the sum is nearly normal, they follow from its first four cumulants (Cornish and Fisher, 1937 [from memory]).
Where one line or a few rule it, no rule of cumulants is good: then the sum is computed on a grid. The tests compare
both with a seeded simulation.
"""

from collections.abc import Sequence
from math import sqrt

from hitchworth.model.options import ThreePoint
from hitchworth.valuation.convolution import quantiles_by_convolution
from hitchworth.valuation.range_shape import NORMAL, Cumulants, Node, given_factor, groups_of, normal_nodes
from hitchworth.valuation.spread import Spread

NEAR = 0.002
"""The most that the rule of cumulants may be off, as a share of the mean."""

OFF, OFF_BY_SKEW = 0.05, 0.25
"""How far it is off for a single line, in standard deviations: this, and so much more for a skew of 1."""

NO_FACTOR: tuple[Node, ...] = ((0.0, 1.0),)
FACTOR = normal_nodes(1.25, 4)


class SumOfRanges:
    """The sum of ranges. Their order makes no difference: only whole numbers are added up one after the other."""

    def __init__(self, spreads: Sequence[Spread], three_point: ThreePoint) -> None:
        self._three_point: ThreePoint = three_point
        self._low = sum([line.low for line in spreads])
        self._ranges = [(line.high - line.low, line.likely - line.low) for line in spreads if line.high > line.low]
        self._groups = groups_of(self._ranges)
        self._width = sum(powers[0] for powers in self._groups.values())

    def quantiles(self, probabilities: tuple[float, ...], correlation: float) -> list[float]:
        """Return the sums that are not exceeded with these probabilities, in the unit of the spreads.

        `correlation`: of the normal scores of any two lines, from 0 to 1.
        """
        if not self._width:
            return [float(self._low)] * len(probabilities)
        found = self.by_cumulants(probabilities, correlation) or self.by_convolution(probabilities, correlation)
        return [self._low + min(max(value, 0.0), self._width) for value in found]

    def by_cumulants(self, probabilities: Sequence[float], correlation: float) -> list[float]:
        """Return the quantiles above the sum of the lows by the rule of cumulants; none where that may be off."""
        if correlation == 1:
            return []
        whole = self.cumulants(correlation)
        scores = [NORMAL.inv_cdf(probability) for probability in probabilities]
        tied, most = max(correlation, self._greatest_share()), NEAR * (self._low + whole.mean)
        if any(tied * error_of_one(whole, score) > most for score in scores):
            return []
        return [cornish_fisher(whole, score) for score in scores]

    def by_convolution(self, probabilities: tuple[float, ...], correlation: float) -> list[float]:
        """Return the quantiles above the sum of the lows from a grid; the same ranges are computed once."""
        widest_first = tuple(sorted(self._ranges, reverse=True))
        return quantiles_by_convolution(widest_first, self._three_point, probabilities, correlation)

    def cumulants(self, correlation: float) -> Cumulants:
        """Return the cumulants of the sum above the sum of the lows, by the law of total cumulance."""
        nodes = FACTOR if correlation else NO_FACTOR
        return total_cumulants(nodes, given_factor(self._groups, self._three_point, correlation, nodes))

    def _greatest_share(self) -> float:
        """Return the widest line's share of the squared widths."""
        widest, _ = max(self._ranges)
        return widest * widest / sum(powers[1] for powers in self._groups.values())


def cornish_fisher(whole: Cumulants, score: float) -> float:
    """Return the quantile at a normal score z.

    mean + s (z + g (z^2 - 1) / 6 + k (z^3 - 3z) / 24 - g^2 (2z^3 - 5z) / 36), with the deviation s, the skew g and the
    excess k.
    """
    deviation = sqrt(whole.variance)
    skew, excess = whole.third / deviation**3, whole.fourth / deviation**4
    squared = score * score
    return whole.mean + deviation * (
        score
        + skew * (squared - 1) / 6
        + excess * score * (squared - 3) / 24
        - skew * skew * score * (2 * squared - 5) / 36
    )


def error_of_one(whole: Cumulants, score: float) -> float:
    """Return how far the rule of cumulants may be off where one line, or the common factor, is all of the sum.

    Found by comparing it with exact sums; about in proportion to the greatest share in the sum.
    """
    deviation = sqrt(whole.variance)
    skew = abs(whole.third) / deviation**3
    return deviation * (OFF + OFF_BY_SKEW * skew) * max(abs(score) / 1.645, 1.0) ** 2


def total_cumulants(nodes: Sequence[Node], given: Sequence[Sequence[float]]) -> Cumulants:
    """Return the cumulants of the whole from those for each value of the common factor, all means first and so on."""
    means, variances, _, _ = given
    mean = sum([weight * value for (_, weight), value in zip(nodes, means, strict=True)])
    own = sum([weight * value for (_, weight), value in zip(nodes, variances, strict=True)])
    second = third = fourth = 0.0
    for (_, weight), average, variance, skewed, peaked in zip(nodes, *given, strict=True):
        off, more = average - mean, variance - own
        squared = off * off
        second += weight * squared
        third += weight * (skewed + off * (3 * more + squared))
        fourth += weight * (peaked + 4 * off * skewed + 3 * more * more + squared * (6 * more + squared))
    return Cumulants(mean, own + second, third, fourth - 3 * second * second)
