"""The shape of a range: how the cost of a line is distributed between its low and its high, on a width of 1.

Two lines depend on each other through one common factor: the normal score of each is sqrt(r) x the factor + sqrt(1 - r)
x an error of its own, where r is the correlation (a Gaussian copula). Binary floats: a band is an estimate, and is
rounded to the minor unit.
"""

from bisect import bisect_right
from collections.abc import Iterable, Mapping, Sequence
from functools import cached_property, lru_cache
from itertools import accumulate, pairwise
from math import erf, exp, sqrt
from operator import mul
from statistics import NormalDist
from typing import NamedTuple, TypeAlias

from hitchworth.model.options import ThreePoint

STEPS = 20
"""Lines are grouped by where the mode lies in their range, in so many steps. The ranges by evidence lie on a step."""

CELLS = 512
"""In how many cells the width is divided."""

FARTHEST = 8.0
"""Normal scores beyond it have a probability that no figure shows."""

SCORES_PER_UNIT = 16
SCORE_STEPS = round(FARTHEST * SCORES_PER_UNIT)
"""How many steps of the normal score lie on either side of 0."""

ERROR_STEP, ERROR_STEPS = 0.25, 20
NORMAL = NormalDist()
ROOT_OF_2 = sqrt(2)


Node: TypeAlias = tuple[float, float]
"""A point of a normal quantity, and its weight."""


Range: TypeAlias = tuple[int, int]
"""The width of a line, more than 0, and how far its mode lies above its low."""

ScorePlace: TypeAlias = tuple[int, float]
"""Where a normal score lies: the step of SCORES_PER_UNIT below it, counted from -FARTHEST, and how far beyond it."""

Powers: TypeAlias = tuple[int, int, int]
"""The sums of the first three powers of the widths of lines of one shape."""


class Moments(NamedTuple):
    """Mean, variance and third central moment of a quantity. Those of independent quantities add up."""

    mean: float
    variance: float
    third: float


class Shape:
    """A distribution between 0 and 1 with a mode: the triangular one, or the beta distribution of PERT."""

    def __init__(self, three_point: ThreePoint, mode: float) -> None:
        self._cumulative = _triangular(mode) if three_point == "triangular" else _beta(mode)
        self._powers = _powers_at_the_ends(three_point, mode)

    def probability(self, place: float) -> float:
        """Return the probability of a value of at most `place`."""
        if place <= 0 or place >= 1:
            return float(place >= 1)
        cell = int(place * CELLS)
        below, above = self._cumulative[cell : cell + 2]
        if cell == 0:
            return float(above * (place * CELLS) ** self._powers[0])
        if cell == CELLS - 1:
            return float(1 - (1 - below) * ((1 - place) * CELLS) ** self._powers[1])
        return below + (above - below) * (place * CELLS - cell)

    def quantile(self, probability: float) -> float:
        """Return the value that is not exceeded with a probability."""
        cumulative = self._cumulative
        cell = min(max(bisect_right(cumulative, probability) - 1, 0), CELLS - 1)
        mass = cumulative[cell + 1] - cumulative[cell]
        if mass and cell == 0:
            return float(min(max(probability, 0.0) / mass, 1.0) ** (1 / self._powers[0]) / CELLS)
        if mass and cell == CELLS - 1:
            return float(1 - min(max(1 - probability, 0.0) / mass, 1.0) ** (1 / self._powers[1]) / CELLS)
        return (cell + (min((probability - cumulative[cell]) / mass, 1.0) if mass else 0.0)) / CELLS

    @cached_property
    def _by_score(self) -> list[tuple[float, float]]:
        """The value at each step of the normal score from -FARTHEST on, and how far the next one lies above it."""
        values = [self.quantile(normal(step / SCORES_PER_UNIT)) for step in range(-SCORE_STEPS, SCORE_STEPS + 1)]
        return [(below, above - below) for below, above in pairwise([*values, values[-1]])]

    def given(self, places: Sequence[ScorePlace]) -> Moments:
        """Return the moments once the common factor is known, and so the normal score for each of ERRORS."""
        by_score = self._by_score
        values = [by_score[step][0] + by_score[step][1] * beyond for step, beyond in places]
        mean = sum(map(mul, ERROR_WEIGHTS, values))
        deviations = [value - mean for value in values]
        squares = list(map(mul, ERROR_WEIGHTS, map(mul, deviations, deviations)))
        return Moments(mean, sum(squares), sum(map(mul, squares, deviations)))


@lru_cache(maxsize=256)
def shape_of(three_point: ThreePoint, numerator: int, denominator: int) -> Shape:
    """Return the shape whose mode is numerator / denominator of its width above its low."""
    return Shape(three_point, numerator / denominator)


def normal(score: float) -> float:
    """Return the probability of a normal quantity of at most `score` standard deviations."""
    return (1 + erf(score / ROOT_OF_2)) / 2


def normal_nodes(step: float, steps: int) -> tuple[Node, ...]:
    """Return points of the normal distribution, `step` apart, with weights that add up to 1 (the trapezoidal rule)."""
    weights = {number * step: exp(-((number * step) ** 2) / 2) for number in range(-steps, steps + 1)}
    whole = sum(weights.values())
    return tuple((point, weight / whole) for point, weight in weights.items())


ERRORS = normal_nodes(ERROR_STEP, ERROR_STEPS)
ERROR_WEIGHTS = [weight for _, weight in ERRORS]


def score_places(factor: float, correlation: float) -> list[ScorePlace]:
    """Return the place of the normal score of a line for each of its errors, once the common factor is known."""
    common, own = sqrt(correlation) * factor, sqrt(1 - correlation)
    places = [(common + own * error + FARTHEST) * SCORES_PER_UNIT for error, _ in ERRORS]
    if places[0] < 0 or places[-1] > 2 * SCORE_STEPS:
        places = [min(max(place, 0.0), 2.0 * SCORE_STEPS) for place in places]
    return [(step := int(place), place - step) for place in places]


def groups_of(ranges: Iterable[Range]) -> dict[int, Powers]:
    """Return the ranges by where the mode lies, in STEPS of the width; one between two steps counts in proportion."""
    widths: dict[int, list[tuple[int, int]]] = {}
    for width, mode in ranges:
        step, over = divmod(STEPS * mode, width)
        widths.setdefault(step, []).append((width, width - over))
        if over:
            widths.setdefault(step + 1, []).append((width, over))
    return {step: _powers(of_step) for step, of_step in sorted(widths.items())}


def given_factor(
    groups: Mapping[int, Powers], three_point: ThreePoint, correlation: float, nodes: tuple[Node, ...]
) -> Sequence[Sequence[float]]:
    """Return the moments of the sum of ranges for each value of the common factor: all means, variances, thirds."""
    if not groups:
        return [[0.0] * len(nodes)] * 3
    parts = [
        [
            [power * value for value in values]
            for power, values in zip(powers, _of_width_1(three_point, step, correlation, nodes), strict=True)
        ]
        for step, powers in groups.items()
    ]
    return [list(map(sum, zip(*of_order, strict=True))) for of_order in zip(*parts, strict=True)]


@lru_cache(maxsize=512)
def _of_width_1(
    three_point: ThreePoint, step: int, correlation: float, nodes: tuple[Node, ...]
) -> tuple[tuple[float, ...], ...]:
    shape = shape_of(three_point, step, STEPS)
    return tuple(zip(*map(shape.given, _places(correlation, nodes)), strict=True))


@lru_cache(maxsize=32)
def _places(correlation: float, nodes: tuple[Node, ...]) -> list[list[ScorePlace]]:
    """The places of the scores for each value of the common factor: the same for every shape."""
    return [score_places(factor, correlation) for factor, _ in nodes]


def _powers(widths: Sequence[tuple[int, int]]) -> Powers:
    """Return the sums of the first three powers of widths; the second of each pair is the part of it that counts."""
    first = second = third = 0
    for width, part in widths:
        squared = width * part
        first += part
        second += squared
        third += width * squared
    return first, second, third


def _triangular(mode: float) -> list[float]:
    """The distribution function of the triangular distribution: x^2 / mode, and 1 - (1 - x)^2 / (1 - mode) above it."""
    places = [cell / CELLS for cell in range(CELLS + 1)]
    return [place * place / mode if place < mode else 1 - (1 - place) ** 2 / ((1 - mode) or 1) for place in places]


def _powers_at_the_ends(three_point: ThreePoint, mode: float) -> tuple[float, float]:
    """The powers by which the probability grows within the first cell, and what is left of it falls within the last."""
    if three_point == "pert":
        return 4 * mode + 1, 4 * (1 - mode) + 1
    at_the_low, at_the_high = (2.0 if CELLS * height >= 1 else 1.0 for height in (mode, 1 - mode))
    return at_the_low, at_the_high


def _beta(mode: float) -> list[float]:
    """The same of PERT's beta distribution, whose density is x^(4 mode) x (1 - x)^(4 (1 - mode)), by Simpson's rule.

    Between 0 and its neighbor a power of less than 1 is too steep for the rule, and so it is at the other end.
    """
    rising, falling = 4 * mode, 4 * (1 - mode)
    halves = [cell / (2 * CELLS) for cell in range(2 * CELLS + 1)]
    density = [place**rising * (1 - place) ** falling for place in halves]
    masses = [
        (density[place] + 4 * density[place + 1] + density[place + 2]) / (6 * CELLS) for place in range(0, 2 * CELLS, 2)
    ]
    masses[0], masses[-1] = _end_cell(rising, falling), _end_cell(falling, rising)
    cumulative = list(accumulate(masses, initial=0.0))
    return [mass / cumulative[-1] for mass in cumulative]


def _end_cell(rising: float, falling: float) -> float:
    """The integral of x^rising (1 - x)^falling over the first cell, with the second factor as 1 - falling x."""
    cell = 1 / CELLS
    return float(cell ** (rising + 1) * (1 / (rising + 1) - falling * cell / (rising + 2)))
