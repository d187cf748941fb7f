"""The sum of ranges compared with check values by convolution, with simulations, and with sums that are known exactly.

The simulations draw every line from its distribution, the lines tied by one common normal factor (a Gaussian copula).
"""

import random
from bisect import bisect_left
from collections.abc import Callable, Sequence
from functools import cache
from statistics import NormalDist
from typing import TypeAlias

import pytest

from hitchworth.model.options import ThreePoint
from hitchworth.valuation.range_shape import shape_of
from hitchworth.valuation.spread import DEVIATIONS, Spread
from hitchworth.valuation.sum_of_ranges import SumOfRanges

Points: TypeAlias = tuple[float, float, float]

NORMAL = NormalDist()
DRAWS = 30_000
ENDS = (0.05, 0.1, 0.5, 0.9, 0.95)

LIKE = [(800, 1000, 1800)] * 5
UNLIKE = [(100, 120, 300), (2000, 2300, 4000), (500, 600, 1500), (40, 50, 90)]
ONE_RULES = [(1000, 1000, 4000), (500, 600, 700), (900, 1000, 1100)]
MANY = [(80 + number, 100 + number, 160 + 4 * number) for number in range(40)]
BY_EVIDENCE = [(80, 100, 130)] * 12 + [(800, 1000, 1300), (950, 1000, 1050), (900, 1000, 1150), (4000, 5000, 6500)]


def ranges(lines: Sequence[Points], three_point: ThreePoint) -> SumOfRanges:
    """The ranges in whole hundredths, as the estimate has them."""
    return SumOfRanges([Spread(*(round(100 * point) for point in line)) for line in lines], three_point)


# Exact quantiles by convolution with cells of 0.1, agreeing within 0.9 with 4,000,000 draws (own computation)
@pytest.mark.parametrize(
    ("lines", "exact"),
    [
        (LIKE, (5235.8, 5386.8, 5981.9, 6636.6, 6826.2)),
        (UNLIKE, (3140.1, 3250.5, 3815.1, 4564.0, 4757.5)),
        (ONE_RULES, (2673.8, 2754.5, 3479.5, 4653.1, 4931.7)),
    ],
)
def test_independent_triangular_lines(lines: Sequence[Points], exact: Sequence[float]) -> None:
    found = ranges(lines, "triangular").quantiles(ENDS, 0.0)
    assert [value / 100 for value in found] == pytest.approx(exact, rel=5e-4)


# The same lines by the beta distribution of PERT, 4,000,000 draws with the same seed
@pytest.mark.parametrize(
    ("lines", "simulated"),
    [
        (LIKE, (4893.1, 5011.9, 5482.8, 6010.7, 6166.8)),
        (UNLIKE, (2938.3, 3018.5, 3423.4, 3985.1, 4152.5)),
    ],
)
def test_independent_lines_by_the_beta_distribution(lines: Sequence[Points], simulated: Sequence[float]) -> None:
    found = ranges(lines, "pert").quantiles(ENDS, 0.0)
    assert [value / 100 for value in found] == pytest.approx(simulated, rel=5e-4)


# Mean, deviation, skew and excess kurtosis of the two sums above, by the formulas for the two distributions
@pytest.mark.parametrize(
    ("lines", "three_point", "mean", "deviation", "skew"),
    [
        (LIKE, "triangular", 6000, 483.0459, 0.212935),
        (UNLIKE, "triangular", 3866.6667, 496.5716, 0.411353),
        (ONE_RULES, "triangular", 3600, 709.4599, 0.560075),
        (LIKE, "pert", 5500, 387.2983, 0.2582),
        (UNLIKE, "pert", 3468.3333, 372.0199, 0.57314),
    ],
)
def test_cumulants(
    lines: Sequence[Points], three_point: ThreePoint, mean: float, deviation: float, skew: float
) -> None:
    whole = ranges(lines, three_point).cumulants(0.0)
    low = sum(line[0] for line in lines)
    assert whole.mean / 100 + low == pytest.approx(mean, rel=1e-4)
    assert whole.variance**0.5 / 100 == pytest.approx(deviation, rel=1e-3)
    assert whole.third / whole.variance**1.5 == pytest.approx(skew, abs=3e-3)
    spreads = [Spread(*(round(point) for point in line)) for line in lines]
    assert sum(each**2 for each in DEVIATIONS[three_point](spreads)) ** 0.5 == pytest.approx(deviation, rel=1e-6)


def triangular_quantile(mode: float) -> Callable[[float], float]:
    return lambda p: (p * mode) ** 0.5 if p < mode else 1 - ((1 - p) * (1 - mode)) ** 0.5


@cache
def beta_quantile(mode: float) -> Callable[[float], float]:
    """By adding up the density x^(4 mode) x (1 - x)^(4 - 4 mode) in 4,000 steps."""
    places = [(number + 0.5) / 4000 for number in range(4000)]
    sums, total = [], 0.0
    for place in places:
        total += place ** (4 * mode) * (1 - place) ** (4 - 4 * mode)
        sums.append(total)
    return lambda p: places[min(bisect_left(sums, p * total), 3999)]


QUANTILES: dict[ThreePoint, Callable[[float], Callable[[float], float]]] = {
    "triangular": triangular_quantile,
    "pert": beta_quantile,
}


def simulated(lines: Sequence[Points], three_point: ThreePoint, correlation: float) -> list[float]:
    """The sums of DRAWS draws, in order."""
    dice = random.Random(20261127)
    terms = [(a, c - a, QUANTILES[three_point]((b - a) / (c - a))) for a, b, c in lines]
    common, own = correlation**0.5, (1 - correlation) ** 0.5
    sums = []
    for _ in range(DRAWS):
        factor = common * dice.gauss(0, 1)
        sums.append(
            sum(low + width * place(NORMAL.cdf(factor + own * dice.gauss(0, 1))) for low, width, place in terms)
        )
    return sorted(sums)


@pytest.mark.parametrize("three_point", ["triangular", "pert"])
@pytest.mark.parametrize("correlation", [0.0, 0.2, 0.6, 0.95])
@pytest.mark.parametrize("lines", [UNLIKE, ONE_RULES, BY_EVIDENCE], ids=["unlike", "one rules", "by evidence"])
def test_the_ends_are_within_half_a_percent_of_a_simulation(
    lines: Sequence[Points], correlation: float, three_point: ThreePoint
) -> None:
    sums = simulated(lines, three_point, correlation)
    for probability in (0.025, 0.05, 0.1, 0.9, 0.95, 0.975):
        (found,) = ranges(lines, three_point).quantiles((probability,), correlation)
        assert found / 100 == pytest.approx(sums[round(probability * DRAWS)], rel=5e-3), probability


def test_many_lines_are_within_half_a_percent_of_a_simulation() -> None:
    sums = simulated(MANY, "triangular", 0.2)
    for probability in (0.05, 0.95):
        (found,) = ranges(MANY, "triangular").quantiles((probability,), 0.2)
        assert found / 100 == pytest.approx(sums[round(probability * DRAWS)], rel=5e-3)


@pytest.mark.parametrize("correlation", [0.0, 0.2, 0.6, 0.9])
@pytest.mark.parametrize("lines", [LIKE, UNLIKE, BY_EVIDENCE])
def test_the_grid_agrees_with_the_rule_of_cumulants_where_that_is_used(
    lines: Sequence[Points], correlation: float
) -> None:
    both = ranges(lines, "pert")
    low = 100 * sum(line[0] for line in lines)
    for value, on_grid in zip(
        both.by_cumulants(ENDS, correlation), both.by_convolution(ENDS, correlation), strict=False
    ):
        assert low + value == pytest.approx(low + on_grid, rel=4e-3)


def test_the_rule_of_cumulants_is_used_where_many_lines_are_alike_and_not_where_one_rules() -> None:
    assert ranges([(80, 100, 130)] * 40, "pert").by_cumulants((0.05, 0.95), 0.2)
    assert not ranges(ONE_RULES, "triangular").by_cumulants((0.05,), 0.0)
    assert not ranges([(10, 10, 100)] * 3, "triangular").by_cumulants((0.05,), 0.0)


@pytest.mark.parametrize("probability", [0.001, 0.05, 0.5, 0.95, 0.999])
def test_lines_that_move_as_one_are_each_at_their_own_quantile(probability: float) -> None:
    (found,) = ranges(UNLIKE, "triangular").quantiles((probability,), 1.0)
    exact = sum(a + (c - a) * triangular_quantile((b - a) / (c - a))(probability) for a, b, c in UNLIKE)
    assert found / 100 == pytest.approx(exact, rel=2e-3)


def test_a_line_alone_is_at_its_own_quantile_and_one_without_a_range_adds_its_cost() -> None:
    # mode 0 of PERT: 1 - (1 - x)^5, so the median is 1 - 0.5^(1/5) = 0.129449
    (found,) = ranges([(1000, 1000, 2000), (500, 500, 500)], "pert").quantiles((0.5,), 0.2)
    assert found / 100 == pytest.approx(1629.449, abs=0.1)
    assert ranges([(500, 500, 500)], "pert").quantiles((0.05, 0.95), 0.2) == [50000, 50000]
    assert ranges([], "pert").quantiles((0.05,), 0.2) == [0]


@pytest.mark.parametrize("lines", [UNLIKE, ONE_RULES, BY_EVIDENCE])
def test_the_order_of_the_lines_makes_no_difference(lines: Sequence[Points]) -> None:
    found = ranges(lines, "pert").quantiles((0.05, 0.95), 0.2)
    for seed in range(5):
        shuffled = random.Random(seed).sample(lines, len(lines))
        assert ranges(shuffled, "pert").quantiles((0.05, 0.95), 0.2) == found


@pytest.mark.parametrize("three_point", ["triangular", "pert"])
@pytest.mark.parametrize("mode", [0, 3, 10, 17, 20])
def test_a_shape_by_its_score_given_the_factor(three_point: ThreePoint, mode: int) -> None:
    shape, exact = shape_of(three_point, mode, 20), QUANTILES[three_point](mode / 20)
    for score in (-3.0, -1.2, 0.0, 0.7, 2.5):
        assert shape.at_score(score) == pytest.approx(exact(NORMAL.cdf(score)), abs=2e-3)
        place = exact(NORMAL.cdf(score))
        assert shape.probability(place) == pytest.approx(NORMAL.cdf(score), abs=2e-3)
    assert (shape.probability(-0.1), shape.probability(1.1)) == (0, 1)
    # Mean and variance over all values of the factor are those of the shape, whatever the correlation.
    free = shape.given(0.0, 0.0)
    mean = (1 + mode / 20) / 3 if three_point == "triangular" else (1 + 4 * mode / 20) / 6
    assert free.mean == pytest.approx(mean, abs=1e-4)
    assert shape.given(1.0, 0.5).mean > free.mean > shape.given(-1.0, 0.5).mean
