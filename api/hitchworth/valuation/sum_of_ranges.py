"""The quantiles of the sum of the lines, each between its low and its high, tied by one common factor.

The widest line is taken as it is. The others together are nearly lognormal for each of its scores, by their first three
moments. Where some of them rule the rest too, no rule of moments is good: these lines are convolved on a grid, for each
value of the common factor. The tests compare the quantiles with exact ones and with a seeded simulation.
"""

from collections.abc import Callable, Sequence
from functools import cached_property, lru_cache
from itertools import takewhile
from math import ceil, log2, sqrt
from typing import NamedTuple

from hitchworth.model.options import ThreePoint
from hitchworth.valuation.convolution import CommonFactor, Grid, Rest, convolved
from hitchworth.valuation.lognormal import lognormal
from hitchworth.valuation.range_shape import (
    NORMAL,
    Node,
    Range,
    Shape,
    given_factor,
    groups_of,
    normal,
    normal_nodes,
    shape_of,
)
from hitchworth.valuation.spread import Spread
from hitchworth.valuation.widest_line import REACH, given_scores, lattice

WIDE_LINES = 8
"""At most so many lines are convolved."""

FEWEST_BESIDE_WIDEST = 2
"""Fewer lines beside the widest are no sum, and not lognormal."""

LEAST_SHARE, NEAR = 0.0005, 0.03
"""A line is convolved if its own error is at least this share of the variance, and the more of it the less the whole
varies beside the sum with its lows."""

COARSEST_CELL, LEAST_CELLS, MOST_CELLS = 0.01, 40, 128
"""How wide a cell is at most, as a share of the quantile with the lows, and how many cells there are."""

TOO_COARSE = 1.2
"""A grid serves a lower quantile too, if its cells are at most so many times as wide as they would be for it alone."""

WINDOW, LARGER = 1.25, 1.5
"""Where a grid ends, in expected quantiles, and how much farther if the quantile turns out to lie beyond."""

FARTHEST = 5
"""The rest is spread over so many standard deviations on either side of its mean."""

WIDEST_STEP, LEAST_STEP, STEPS_AN_OCTAVE = 0.75, 0.03, 2
"""How close together values of the common factor or of a score are. All builds share the tables of so few steps."""

TOGETHER = 0.99
"""From this correlation on, a quantile runs in a straight line to that of lines that move as one."""

MODES = 1000
"""Where the mode lies is rounded to so many parts of the width, so that like shapes are computed once."""

CLOSE, TRIES = 1e-6, 50
"""How close to its normal score a value has to come, and how often it is tried."""

LEAST_PROBABILITY = 1e-15


class SumOfRanges:
    """The sum of ranges. Their order makes no difference: only whole numbers are added up one after the other."""

    def __init__(self, spreads: Sequence[Spread], three_point: ThreePoint) -> None:
        self._three_point: ThreePoint = three_point
        self._low = sum([line.low for line in spreads])
        ranges = [(line.high - line.low, line.likely - line.low) for line in spreads if line.high > line.low]
        self._widest_first = tuple(sorted(ranges, reverse=True))

    def quantiles(self, probabilities: tuple[float, ...], correlation: float) -> list[float]:
        """Return the sums that are not exceeded with these probabilities, in the unit of the spreads.

        `correlation`: of the normal scores of any two lines, from 0 to 1.
        """
        if not self._widest_first:
            return [float(self._low)] * len(probabilities)
        return _quantiles(self._widest_first, self._low, self._three_point, probabilities, correlation)


@lru_cache(maxsize=16)
def _quantiles(
    ranges: tuple[Range, ...], low: int, three_point: ThreePoint, probabilities: tuple[float, ...], correlation: float
) -> list[float]:
    """Return the quantiles of ranges, the widest first, on a sum of lows. The same ranges are computed once.

    Few are kept: each holds a number for every line of a build.
    """
    tied = min(correlation, TOGETHER)
    if correlation == 1 or len(ranges) == 1:
        return [low + together(ranges, three_point, probability) for probability in probabilities]
    values = TiedLines(ranges, low, three_point, tied).quantiles(probabilities)
    share = (correlation - tied) / (1 - TOGETHER)
    if not share:
        return [low + value for value in values]
    as_one = [together(ranges, three_point, probability) for probability in probabilities]
    return [low + value + share * (one - value) for value, one in zip(values, as_one, strict=True)]


def together(ranges: Sequence[Range], three_point: ThreePoint, probability: float) -> float:
    """Return the quantile, above the lows, of lines that move as one: each is at its own."""
    return sum([width * _shape(three_point, width, mode).quantile(probability) for width, mode in ranges])


def _shape(three_point: ThreePoint, width: int, mode: int) -> Shape:
    return shape_of(three_point, round(MODES * mode / width), MODES)


class _GivenWidest(NamedTuple):
    """The sum for each score of the widest line."""

    mean: float
    deviation: float
    parts: Sequence[tuple[float, float, Callable[[float], float]]]
    """The weight of the score, the cost of the widest, and the distribution function of the others."""

    def ends(self, probability: float) -> tuple[float, float]:
        """Return the ends between which a quantile lies, by Cantelli's inequality."""
        odds = sqrt(probability / (1 - probability))
        return self.mean - self.deviation / odds, self.mean + self.deviation * odds


class TiedLines:
    """Lines above their lows, the widest first, tied by one common factor."""

    def __init__(self, ranges: Sequence[Range], low: int, three_point: ThreePoint, correlation: float) -> None:
        self._ranges, self._low, self._three_point, self._correlation = ranges, low, three_point, correlation
        self._widths = [width for width, _ in ranges]
        self._shapes = [_shape(three_point, width, mode) for width, mode in ranges[:WIDE_LINES]]
        self._whole = sum(self._widths)
        self._squares = _squares(self._widths)

    def quantiles(self, probabilities: Sequence[float]) -> list[float]:
        """Return the values that are not exceeded with these probabilities."""
        found: dict[float, float] = {}
        grid: Grid | None = None
        for probability in sorted(probabilities, reverse=True):
            if grid is None:
                found[probability] = expected = self.by_moments(probability)
                if len(self._widths) > FEWEST_BESIDE_WIDEST and self.count_of_wide(expected) <= 1:
                    continue
                grid = self._grid(expected, WINDOW * expected)
            found[probability], grid = self._on_grid(grid, probability)
        return [found[probability] for probability in probabilities]

    def by_moments(self, probability: float) -> float:
        """Return the quantile of a sum whose lines but the widest are lognormal for each score of the widest."""
        given = self._given_widest

        def score(value: float) -> float:
            below = sum([weight * of_rest(value - widest) for weight, widest, of_rest in given.parts])
            return NORMAL.inv_cdf(min(max(below, LEAST_PROBABILITY), 1 - LEAST_PROBABILITY))

        target = NORMAL.inv_cdf(probability)
        least, most = given.ends(probability)
        ends = max(least, 0.0), min(most, self._whole)
        return crossing(score, target, ends, guess=given.mean + target * given.deviation, scale=given.deviation)

    @cached_property
    def _given_widest(self) -> _GivenWidest:
        widest, tied = self._widths[0], self._correlation
        others, squares = self._whole - widest, self._squares - widest * widest
        # What the score of the widest says of the common factor moves the others by r x their widths.
        step = _step((1 - tied) * (squares + tied * others * others), (widest + tied * others) ** 2)
        scores, factors, given_score = lattice(tied, step)
        of_others = given_factor(groups_of(self._ranges[1:]), self._three_point, tied, factors)
        moments = given_scores(given_score, of_others)
        costs = [widest * self._shapes[0].quantile(normal(score)) for score, _ in scores]
        parts = [(weight, cost, of_rest) for (_, weight), cost, of_rest in zip(scores, costs, moments, strict=True)]
        mean = sum([weight * (cost + of_rest.mean) for weight, cost, of_rest in parts])
        square = sum([weight * ((cost + of_rest.mean) ** 2 + of_rest.variance) for weight, cost, of_rest in parts])
        return _GivenWidest(
            mean,
            sqrt(max(square - mean * mean, 0.0)),
            [(weight, cost, lognormal(*of_rest)) for weight, cost, of_rest in parts],
        )

    def count_of_wide(self, value: float) -> int:
        """Return how many lines are convolved to find a quantile near a value. No line counts wider than a grid there,
        beside which lines count that are narrow in the whole.
        """
        return max(self._count(self._widths[0], value), self._count(WINDOW * value, value))

    def _count(self, widest: float, value: float) -> int:
        """Count them with no line wider than `widest`."""
        cut = list(takewhile(lambda width: width > widest, self._widths))
        whole = self._whole - sum(cut) + len(cut) * widest
        squares = self._squares - _squares(cut) + len(cut) * widest * widest
        variance = (1 - self._correlation) * squares + self._correlation * whole * whole
        least = max(LEAST_SHARE * variance, NEAR * (self._low + value) * sqrt(variance))
        return sum((1 - self._correlation) * min(width, widest) ** 2 >= least for width in self._widths[:WIDE_LINES])

    def _on_grid(self, grid: Grid, probability: float) -> tuple[float, Grid]:
        """Return a quantile and the grid on which it is found: a larger or a finer one, if this one does not do."""
        for _ in range(TRIES):
            value = grid.quantile(probability)
            if value >= grid.end and grid.end < self._whole:
                grid = self._grid(value, LARGER * grid.end)
            elif grid.cell > TOO_COARSE * COARSEST_CELL * (self._low + value):
                grid = self._grid(value, WINDOW * value)
            else:
                break
        return value, grid

    @cached_property
    def _nodes(self) -> tuple[Node, ...]:
        """Values of the common factor, closer together where it rules the sum."""
        own, common = (1 - self._correlation) * self._squares, self._correlation * self._whole**2
        if not common:
            return ((0.0, 1.0),)
        step = _step(own, common)
        return normal_nodes(step, ceil(REACH / step))

    def _grid(self, value: float, end: float) -> Grid:
        """Return a grid on which to find a quantile near a value."""
        wide, end = max(self.count_of_wide(value), 1), min(end, self._whole)
        cells = min(max(ceil(end / (COARSEST_CELL * (self._low + value))), LEAST_CELLS), MOST_CELLS)
        lines = [*zip(self._widths[:wide], self._shapes, strict=False)]
        return convolved(lines, self._rest(wide), CommonFactor(self._correlation, self._nodes), end, cells)

    def _rest(self, wide: int) -> Rest:
        """Return the sum of the lines that are not convolved."""
        means, variances, thirds = given_factor(
            groups_of(self._ranges[wide:]), self._three_point, self._correlation, self._nodes
        )
        ends = [(mean, FARTHEST * sqrt(variance)) for mean, variance in zip(means, variances, strict=True)]
        return Rest(
            max(min(mean - reach for mean, reach in ends), 0.0),
            min(max(mean + reach for mean, reach in ends), sum(self._widths[wide:])),
            list(map(lognormal, means, variances, thirds)),
        )


def crossing(
    function: Callable[[float], float], target: float, ends: tuple[float, float], *, guess: float, scale: float
) -> float:
    """Return where an increasing function reaches a target: the secant method, kept between two ends.

    `guess`: about where it does; `scale`: how much farther the function is larger by about 1.
    """
    below, above = ends
    value, slope = min(max(guess, below), above), 1 / (scale or 1)
    offs: dict[float, float] = {}
    """How far off the values are that were tried, in their order."""
    for _ in range(TRIES):
        off = function(value) - target
        if abs(off) < CLOSE or value == ends[off < 0]:
            break
        below, above = (below, value) if off > 0 else (value, above)
        if offs:
            last, off_then = next(reversed(offs.items()))
            slope = max((off - off_then) / (value - last), 0.0)
        offs[value] = off
        straight = value - off / slope if slope else ends[off < 0]
        following = min(max(straight, below), above)
        value = (below + above) / 2 if following in offs else following
    return value


def _squares(widths: Sequence[int]) -> int:
    return sum([width * width for width in widths])


def _step(own: float, common: float) -> float:
    """Return how close together the values of a normal quantity are that brings `common` to a variance."""
    step = min(WIDEST_STEP, max(1.2 * sqrt(own / (own + common)), LEAST_STEP))
    return float(WIDEST_STEP / 2 ** (ceil(STEPS_AN_OCTAVE * log2(WIDEST_STEP / step)) / STEPS_AN_OCTAVE))
