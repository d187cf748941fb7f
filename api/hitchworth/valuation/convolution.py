"""Convolution on a grid: the sum of lines that are independent once their common factor is known."""

import struct
from bisect import bisect_right
from collections.abc import Callable, Sequence
from itertools import accumulate, pairwise
from math import ceil, sqrt
from typing import NamedTuple

from hitchworth.valuation.range_shape import NORMAL, Node, Shape, normal

MASS, WEIGHT = 2**32, 2**24
"""What a probability of 1 is in whole numbers."""

SURE = 40.0
"""A normal score that is never exceeded."""


class CommonFactor(NamedTuple):
    """What ties the lines: the correlation of any two of them, and values of the factor with their weights."""

    correlation: float
    nodes: Sequence[Node]


class Rest(NamedTuple):
    """The lines that are not convolved, for each value of the common factor."""

    least: float
    most: float
    probabilities: Sequence[Callable[[float], float]]
    """Their distribution functions."""


class Grid(NamedTuple):
    """A distribution by cells of equal width."""

    start: float
    cell: float
    cumulative: list[float]
    """The probability below each edge."""

    @property
    def end(self) -> float:
        """The last edge."""
        return self.start + self.cell * (len(self.cumulative) - 1)

    def quantile(self, probability: float) -> float:
        """Return the value that is not exceeded with a probability; within a cell in proportion, at most the end."""
        if probability >= self.cumulative[-1]:
            return self.end
        index = bisect_right(self.cumulative, probability) - 1
        below, above = self.cumulative[index : index + 2]
        return self.start + self.cell * (index + (probability - below) / (above - below))


def convolved(lines: Sequence[tuple[int, Shape]], rest: Rest, factor: CommonFactor, end: float, cells: int) -> Grid:
    """Return the distribution of the sum of wide lines, each with its width, and the rest, up to an end.

    For each value of the common factor the lines are independent, and the masses of their sum are the coefficients of a
    product of polynomials. A polynomial is one whole number with its coefficients side by side (Kronecker's
    substitution), so one multiplication convolves. What lies beyond the grid is the last mass of each, and is cut off.
    """
    start = rest.least if rest.least < end / 2 else 0.0
    cell = (end - start) / cells
    rest_cells = max(ceil((rest.most - start) / cell), 1)
    start -= (rest_cells * cell - (rest.most - start)) / 2  # the rest lies in the middle of its cells, which may be few
    count = cells + len(lines) + 1
    edges = [start + cell * number for number in range(1, min(rest_cells, count + 1))]
    scores = [_edge_scores(shape, width / cell, count) for width, shape in lines]
    slot = (MASS.bit_length() * (len(lines) + 1) + WEIGHT.bit_length()) // 8 + 1
    kept = (1 << 8 * slot * count) - 1
    common, own = sqrt(factor.correlation), sqrt(1 - factor.correlation)
    total = 0
    for (value, weight), probability in zip(factor.nodes, rest.probabilities, strict=True):
        product = round(weight * WEIGHT) * _packed([0.0, *map(probability, edges), 1.0], slot)
        for of_line in scores:
            shift = common * value
            product = product * _packed([normal((score - shift) / own) for score in of_line], slot) & kept
        total += product
    scale = 1 / (WEIGHT * MASS ** (len(lines) + 1))
    cumulative = accumulate([scale * mass for mass in _unpacked(total, slot, count)], initial=0.0)
    # The mass of a cell lies at its center, so each line that was added to the rest moves the sum by half a cell.
    return Grid(start + cell * len(lines) / 2, cell, _sharpened(list(cumulative), len(lines)))


def _sharpened(cumulative: Sequence[float], added: int) -> list[float]:
    """Take back what cells add to the variance: with each quantity that is added, a twelfth of a cell squared."""
    padded = [0.0, *cumulative, 2 * cumulative[-1] - cumulative[-2]]
    sharp = [
        here - added * (before - 2 * here + after) / 24
        for before, here, after in zip(padded, padded[1:], padded[2:], strict=False)
    ]
    return list(accumulate(sharp, max))


def _edge_scores(shape: Shape, cells: float, count: int) -> list[float]:
    """Return the normal scores of the edges of the cells of a line, from its low on.

    Of at most so many cells, and one of all that lies beyond.
    """
    places = [shape.probability(number / cells) for number in range(1, min(ceil(cells), count + 1))]
    return [-SURE, *(NORMAL.inv_cdf(min(max(place, 1e-15), 1 - 1e-15)) for place in places), SURE]


def _packed(cumulative: Sequence[float], slot: int) -> int:
    """Return the masses between edges as one number, each in so many bytes."""
    masses = [max(round(MASS * (above - below)), 0) for below, above in pairwise(cumulative)]
    return int.from_bytes(struct.pack("<" + f"Q{slot - 8}x" * len(masses), *masses), "little")


def _unpacked(packed: int, slot: int, count: int) -> list[int]:
    data = packed.to_bytes(slot * count + slot, "little")
    return [int.from_bytes(data[slot * place : slot * (place + 1)], "little") for place in range(count)]
