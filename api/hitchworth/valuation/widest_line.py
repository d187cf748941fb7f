"""The widest line of a sum, and what its normal score tells of the others.

Once the score y of the widest line is known, so is its cost, and the common factor is normal with the mean sqrt(r) y
and the variance 1 - r: the others are tied by r / (1 + r) only, never more than a half. So their sum is close to a
lognormal one, whatever the correlation. For each value of the factor their moments add up; over its values they
combine by the law of total cumulance. The values are the same for every build, and so is what a shape has at each.
"""

from collections.abc import Sequence
from functools import lru_cache
from math import ceil, exp, sqrt
from operator import mul
from typing import NamedTuple

from hitchworth.valuation.range_shape import Moments, Node, normal_nodes

REACH = 4.5
"""How far a normal quantity is taken on either side, in standard deviations."""


class Lattice(NamedTuple):
    """Values of the widest line's score, and of the common factor."""

    scores: tuple[Node, ...]
    factors: tuple[Node, ...]
    given_score: tuple[tuple[float, ...], ...]
    """For each score, the weights of the factors."""


@lru_cache(maxsize=128)
def lattice(correlation: float, step: float) -> Lattice:
    """Return the values for a correlation below 1, the scores `step` apart."""
    tied, own = sqrt(correlation), sqrt(1 - correlation)
    scores = normal_nodes(step, ceil(REACH / step))
    factors = normal_nodes(own, ceil(REACH * (tied + own) / own))
    return Lattice(scores, factors, tuple(_weights(factors, tied * score, own) for score, _ in scores))


def _weights(factors: Sequence[Node], mean: float, deviation: float) -> tuple[float, ...]:
    """Return the weights, adding up to 1, of values of a normal quantity that are a deviation apart at most."""
    weights = [exp(-(((factor - mean) / deviation) ** 2) / 2) for factor, _ in factors]
    whole = sum(weights)
    return tuple(weight / whole for weight in weights)


def given_scores(given_score: Sequence[Sequence[float]], given_factor: Sequence[Sequence[float]]) -> list[Moments]:
    """Return the moments of the others for each score, from all means, variances and thirds given the factor."""
    means, variances, thirds = given_factor
    squares = [mean * mean + variance for mean, variance in zip(means, variances, strict=True)]
    cubes = [
        mean * (mean * mean + 3 * variance) + third
        for mean, variance, third in zip(means, variances, thirds, strict=True)
    ]
    return [
        _central(*(sum(map(mul, weights, powers)) for powers in (means, squares, cubes))) for weights in given_score
    ]


def _central(mean: float, square: float, cube: float) -> Moments:
    """Return the moments of a quantity with these means of its first three powers."""
    variance = max(square - mean * mean, 0.0)
    return Moments(mean, variance, cube - mean * (mean * mean + 3 * variance))
