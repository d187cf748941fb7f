"""The shifted lognormal distribution with given moments: a rule of moments for a sum of ranges."""

from collections.abc import Callable
from math import log, sqrt

from hitchworth.valuation.range_shape import normal

SYMMETRIC = 1e-3
"""A skew nearer to 0 is none: the distribution is the normal one."""


def lognormal(mean: float, variance: float, third: float) -> Callable[[float], float]:
    """Return the distribution function; `third` is the third central moment.

    For the skew g and q = (g + sqrt(g^2 + 4)) / 2: w = q^(2/3) + q^(-2/3) - 1, sigma = sqrt(ln w), scale = deviation /
    sqrt(w (w - 1)), shift = mean - scale sqrt(w) [from memory, compared with simulations]. A negative skew is mirrored.
    """
    if not variance:
        return lambda value: float(value >= mean)
    deviation = sqrt(variance)
    skew = third / (variance * deviation)
    if abs(skew) < SYMMETRIC:
        return lambda value: normal((value - mean) / deviation)
    sign = 1 if skew > 0 else -1
    sigma, scale, shift = lognormal_terms(sign * mean, deviation, abs(skew))

    def probability(value: float) -> float:
        over = (sign * value - shift) / scale
        below = normal(log(over) / sigma) if over > 0 else 0.0
        return below if skew > 0 else 1 - below

    return probability


def lognormal_terms(mean: float, deviation: float, skew: float) -> tuple[float, float, float]:
    """Return sigma, scale and shift, for a skew above 0."""
    root = ((skew + sqrt(skew * skew + 4)) / 2) ** (2 / 3)
    squared = root + 1 / root - 1
    scale = deviation / sqrt(squared * (squared - 1))
    return sqrt(log(squared)), scale, mean - scale * sqrt(squared)
