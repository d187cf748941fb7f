"""The sum of a few wide ranges and many narrow ones on a grid, for many values of their common factor."""

from bisect import bisect_right
from collections.abc import Sequence
from functools import lru_cache
from itertools import accumulate, pairwise
from math import ceil, sqrt
from typing import NamedTuple

from hitchworth.model.options import ThreePoint
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

WIDE_LINES = 4
"""At most so many lines are convolved; the others together are nearly normal."""

LEAST_SHARE = 0.04
"""A line with less of the squared widths is not convolved."""

CELLS = 192
FARTHEST = 5
"""The rest is spread over so many standard deviations on either side of its mean."""

MASS, WEIGHT = 2**32, 2**24
"""What a probability of 1 is in whole numbers."""

REACH, WIDEST_STEP, LEAST_STEP = 4.5, 0.75, 0.1
"""How far the common factor is taken on either side, and how close together."""

TOGETHER = 0.9
"""From this correlation on, a quantile runs in a straight line to that of lines that move as one."""

MODES = 1000
"""Where the mode lies is rounded to so many parts of the width, so that like shapes are computed once."""


class Rest(NamedTuple):
    """The lines that are not convolved, for one value of the common factor: nearly normal."""

    mean: float
    deviation: float
    skew: float


class Grid(NamedTuple):
    """A distribution by cells of equal width."""

    start: float
    cell: float
    cumulative: list[int]
    """The mass below each edge."""

    def quantile(self, probability: float) -> float:
        """Return the value that is not exceeded with a probability; within a cell in proportion."""
        mass = probability * self.cumulative[-1]
        index = min(bisect_right(self.cumulative, mass), len(self.cumulative) - 1) - 1
        below, above = self.cumulative[index : index + 2]
        return self.start + self.cell * (index + (mass - below) / ((above - below) or 1))


@lru_cache(maxsize=128)
def quantiles_by_convolution(
    ranges: tuple[Range, ...], three_point: ThreePoint, probabilities: tuple[float, ...], correlation: float
) -> list[float]:
    """Return the quantiles of the sum of ranges above their lows. The widest range comes first, none has width 0."""
    shapes = [shape_of(three_point, round(MODES * mode / width), MODES) for width, mode in ranges]

    def together(probability: float) -> float:
        """Lines that move as one: each at its own quantile."""
        return sum(width * shape.quantile(probability) for (width, _), shape in zip(ranges, shapes, strict=True))

    if correlation == 1 or len(ranges) == 1:
        return list(map(together, probabilities))
    tied = min(correlation, TOGETHER)
    grid = _convolved(ranges, shapes[: _count_of_wide(ranges)], three_point, tied)
    share = (correlation - tied) / (1 - TOGETHER)
    return [
        (1 - share) * grid.quantile(probability) + (share * together(probability) if share else 0.0)
        for probability in probabilities
    ]


def _convolved(ranges: Sequence[Range], shapes: Sequence[Shape], three_point: ThreePoint, correlation: float) -> Grid:
    """Return the distribution of the sum; `shapes` are those of the first ranges, which are convolved.

    For each value of the common factor the lines are independent, and the masses of their sum are the coefficients of a
    product of polynomials. A polynomial is one whole number with its coefficients side by side (Kronecker's
    substitution), so one multiplication convolves.
    """
    widths, wide = [width for width, _ in ranges], len(shapes)
    nodes = _nodes(widths, correlation)
    rests = _rests(ranges[wide:], three_point, correlation, nodes)
    least = max(min(rest.mean - FARTHEST * rest.deviation for rest in rests), 0.0)
    most = min(max(rest.mean + FARTHEST * rest.deviation for rest in rests), sum(widths[wide:]))
    cell = (sum(widths[:wide]) + most - least) / CELLS
    scores = [_edge_scores(shape, width / cell) for width, shape in zip(widths[:wide], shapes, strict=True)]
    rest_cells = max(ceil((most - least) / cell), 1)
    slot = (MASS.bit_length() * (wide + 1) + WEIGHT.bit_length()) // 8 + 1
    total = 0
    for (factor, weight), rest in zip(nodes, rests, strict=True):
        product = round(weight * WEIGHT) * _packed(_masses_of_rest(rest, least, cell, rest_cells), slot)
        for edges in scores:
            product *= _packed(_masses_of_line(edges, factor, correlation), slot)
        total += product
    masses = _unpacked(total, slot, rest_cells + sum(len(edges) - 2 for edges in scores))
    # The mass of a cell lies at its center, so each quantity that was added moves the sum by half a cell.
    added = wide + (most > least)
    return Grid(least + cell * (added - 1) / 2, cell, list(accumulate(masses, initial=0)))


def _count_of_wide(ranges: Sequence[Range]) -> int:
    least = LEAST_SHARE * sum(width * width for width, _ in ranges)
    return sum(width * width >= least for width, _ in ranges[:WIDE_LINES])


def _nodes(widths: Sequence[int], correlation: float) -> tuple[Node, ...]:
    """Return values of the common factor, closer together where it rules the sum."""
    own, common = (1 - correlation) * sum(width * width for width in widths), correlation * sum(widths) ** 2
    if not common:
        return ((0.0, 1.0),)
    step = min(WIDEST_STEP, max(1.2 * sqrt(own / (own + common)), LEAST_STEP))
    return normal_nodes(step, ceil(REACH / step))


def _rests(ranges: Sequence[Range], three_point: ThreePoint, correlation: float, nodes: tuple[Node, ...]) -> list[Rest]:
    """Return the sum of the lines that are not convolved, for each value of the common factor."""
    means, variances, thirds, _ = given_factor(groups_of(ranges), three_point, correlation, nodes)
    return [
        Rest(mean, sqrt(variance), third / variance**1.5 if variance else 0.0)
        for mean, variance, third in zip(means, variances, thirds, strict=True)
    ]


def _edge_scores(shape: Shape, cells: float) -> list[float]:
    """Return the normal scores of the edges of the cells of a line, from its low on."""
    inner = (shape.probability(cell / cells) for cell in range(1, ceil(cells)))
    return [-40.0, *(NORMAL.inv_cdf(min(max(place, 1e-15), 1 - 1e-15)) for place in inner), 40.0]


def _masses_of_line(edges: Sequence[float], factor: float, correlation: float) -> list[float]:
    """Return the probability of each cell of a line once the common factor is known."""
    common, own = sqrt(correlation) * factor, sqrt(1 - correlation)
    return _differences([normal((edge - common) / own) for edge in edges])


def _masses_of_rest(rest: Rest, least: float, cell: float, cells: int) -> list[float]:
    """Return the probability of each cell of the rest: normal, with the first term of Edgeworth's series."""
    if not rest.deviation:
        return [1.0]
    scores = ((least + index * cell - rest.mean) / rest.deviation for index in range(1, cells))
    inner = [normal(score) - rest.skew * (score * score - 1) / 6 * NORMAL.pdf(score) for score in scores]
    return _differences([0.0, *inner, 1.0])


def _differences(cumulative: Sequence[float]) -> list[float]:
    return [max(after - before, 0.0) for before, after in pairwise(cumulative)]


def _packed(masses: Sequence[float], slot: int) -> int:
    """Return the masses as one number, each in so many bytes."""
    return int.from_bytes(b"".join([round(MASS * mass).to_bytes(slot, "little") for mass in masses]), "little")


def _unpacked(packed: int, slot: int, count: int) -> list[int]:
    data = packed.to_bytes(slot * count, "little")
    return [int.from_bytes(data[slot * place : slot * (place + 1)], "little") for place in range(count)]
