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
from hitchworth.valuation.range_shape import score_places, shape_of
from hitchworth.valuation.spread import Spread
from hitchworth.valuation.sum_of_ranges import SumOfRanges, TiedLines, crossing
from hitchworth.valuation.widest_line import lattice

Points: TypeAlias = tuple[float, float, float]

NORMAL = NormalDist()
DRAWS = 30_000
ENDS = (0.05, 0.1, 0.5, 0.9, 0.95)

LIKE = [(800, 1000, 1800)] * 5
UNLIKE = [(100, 120, 300), (2000, 2300, 4000), (500, 600, 1500), (40, 50, 90)]
ZERO = [(0, 300, 1000), (0, 0, 1000)]
ZEROS = [(0, 200, 1000)] * 5
ZERO_AND_NARROW = [(0, 3980, 6786), (0, 880, 2988), (81, 85, 93)]
EXTREME = [(0, 1000, 1000), (0, 0, 400), (500, 500, 2000)]
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


# Exact quantiles, by convolution with 65,536 cells for each of 40 or more values of the common factor; 4,000,000 seeded
# draws agree within what so many draws can tell (own computations with another program)
CONFIDENT = (0.005, 0.05, 0.1, 0.9, 0.95, 0.995)
EXACT: list[tuple[Sequence[Points], ThreePoint, float, tuple[float, ...]]] = [
    (ZERO, "pert", 0.0, (84.9, 189.5, 246.6, 842.9, 940.9, 1201.7)),
    (ZERO, "pert", 0.2, (67.6, 167.7, 225.2, 873.6, 984.5, 1270.9)),
    (ZERO, "pert", 0.5, (49.1, 140.4, 196.9, 918.4, 1046.6, 1363.1)),
    (ZERO, "pert", 0.8, (37.2, 118.2, 172.2, 961.7, 1105.0, 1443.9)),
    (ZERO, "pert", 0.95, (33.5, 108.8, 160.8, 982.8, 1133.1, 1480.8)),
    (ZERO, "pert", 1.0, (32.7, 105.9, 157.1, 989.8, 1142.3, 1492.6)),
    (ZERO, "triangular", 0.0, (132.5, 289.5, 368.6, 1194.8, 1323.1, 1619.3)),
    (ZERO, "triangular", 0.2, (103.3, 255.0, 336.0, 1242.2, 1382.5, 1686.8)),
    (ZERO, "triangular", 0.5, (71.5, 209.9, 291.9, 1310.4, 1464.8, 1768.9)),
    (ZERO, "triangular", 0.8, (50.2, 171.1, 250.9, 1376.2, 1541.0, 1833.7)),
    (ZERO, "triangular", 0.95, (43.0, 153.5, 231.1, 1408.5, 1577.4, 1861.4)),
    (ZERO, "triangular", 1.0, (41.2, 147.8, 224.5, 1419.2, 1589.3, 1870.1)),
    (ZEROS, "pert", 0.0, (623.1, 892.9, 1012.0, 2010.5, 2166.4, 2571.5)),
    (ZEROS, "pert", 0.2, (416.6, 712.8, 855.3, 2192.3, 2408.5, 2958.8)),
    (ZEROS, "pert", 0.5, (233.3, 519.6, 676.9, 2413.8, 2701.5, 3400.6)),
    (ZEROS, "pert", 0.8, (125.4, 374.5, 533.2, 2606.8, 2952.9, 3747.3)),
    (ZEROS, "pert", 0.95, (88.5, 313.7, 469.7, 2697.2, 3068.9, 3895.7)),
    (ZEROS, "pert", 1.0, (78.0, 294.9, 449.5, 2726.7, 3106.4, 3942.1)),
    (ZEROS, "triangular", 0.0, (896.4, 1235.8, 1386.8, 2636.6, 2826.2, 3307.1)),
    (ZEROS, "triangular", 0.2, (635.7, 1008.8, 1188.2, 2866.9, 3125.9, 3749.3)),
    (ZEROS, "triangular", 0.5, (393.8, 770.4, 965.9, 3155.1, 3491.7, 4212.8)),
    (ZEROS, "triangular", 0.8, (235.2, 596.7, 796.6, 3417.1, 3807.6, 4529.6)),
    (ZEROS, "triangular", 0.95, (175.6, 523.5, 728.1, 3543.9, 3953.1, 4648.8)),
    (ZEROS, "triangular", 1.0, (158.1, 500.0, 707.1, 3585.8, 4000.0, 4683.8)),
    (ZERO_AND_NARROW, "pert", 0.0, (1604.3, 2619.9, 3096.7, 6749.1, 7167.8, 8100.8)),
    (ZERO_AND_NARROW, "pert", 0.2, (1421.0, 2468.2, 2970.6, 6884.1, 7339.0, 8321.9)),
    (ZERO_AND_NARROW, "pert", 0.5, (1198.4, 2264.5, 2794.6, 7079.1, 7578.9, 8605.5)),
    (ZERO_AND_NARROW, "pert", 0.8, (1027.7, 2083.8, 2630.5, 7266.0, 7801.7, 8845.1)),
    (ZERO_AND_NARROW, "pert", 0.95, (960.1, 2000.7, 2551.7, 7356.8, 7907.9, 8952.2)),
    (ZERO_AND_NARROW, "pert", 1.0, (940.3, 1973.9, 2525.8, 7386.7, 7942.6, 8986.3)),
    (ZERO_AND_NARROW, "triangular", 0.0, (1296.9, 2357.7, 2894.8, 6932.4, 7410.4, 8483.1)),
    (ZERO_AND_NARROW, "triangular", 0.2, (1101.7, 2180.9, 2746.4, 7087.1, 7609.6, 8723.8)),
    (ZERO_AND_NARROW, "triangular", 0.5, (859.6, 1945.6, 2541.2, 7314.7, 7892.7, 9018.1)),
    (ZERO_AND_NARROW, "triangular", 0.8, (667.3, 1737.7, 2355.2, 7540.4, 8158.5, 9250.8)),
    (ZERO_AND_NARROW, "triangular", 0.95, (587.8, 1639.6, 2268.3, 7652.9, 8286.0, 9349.5)),
    (ZERO_AND_NARROW, "triangular", 1.0, (563.6, 1607.2, 2239.4, 7690.3, 8327.9, 9380.3)),
    (ONE_RULES, "pert", 0.0, (2537.1, 2617.6, 2660.8, 3710.1, 3955.6, 4565.8)),
    (ONE_RULES, "pert", 0.2, (2506.2, 2591.6, 2639.7, 3729.8, 3980.7, 4604.7)),
    (ONE_RULES, "pert", 0.5, (2472.1, 2556.6, 2609.2, 3759.0, 4017.5, 4658.2)),
    (ONE_RULES, "pert", 0.8, (2448.1, 2525.5, 2580.0, 3788.4, 4053.3, 4703.2)),
    (ONE_RULES, "pert", 0.95, (2438.8, 2511.0, 2565.9, 3803.4, 4070.7, 4721.7)),
    (ONE_RULES, "pert", 1.0, (2436.1, 2506.3, 2561.2, 3808.5, 4076.5, 4727.2)),
    (ONE_RULES, "triangular", 0.0, (2556.2, 2673.8, 2754.5, 4653.1, 4931.7, 5395.9)),
    (ONE_RULES, "triangular", 0.2, (2518.3, 2645.2, 2733.0, 4674.2, 4958.7, 5438.3)),
    (ONE_RULES, "triangular", 0.5, (2474.2, 2604.2, 2700.1, 4706.0, 4998.9, 5496.1)),
    (ONE_RULES, "triangular", 0.8, (2442.9, 2564.8, 2666.7, 4738.5, 5038.7, 5543.9)),
    (ONE_RULES, "triangular", 0.95, (2431.0, 2545.5, 2649.4, 4755.8, 5059.1, 5562.6)),
    (ONE_RULES, "triangular", 1.0, (2427.5, 2539.2, 2643.4, 4761.9, 5065.9, 5567.9)),
    (EXTREME, "pert", 0.0, (1022.6, 1255.5, 1346.1, 1995.4, 2123.1, 2447.5)),
    (EXTREME, "pert", 0.2, (959.3, 1204.0, 1302.7, 2038.5, 2176.8, 2525.0)),
    (EXTREME, "pert", 0.5, (895.4, 1142.0, 1247.0, 2096.2, 2247.7, 2622.1)),
    (EXTREME, "pert", 0.8, (859.2, 1094.0, 1199.3, 2148.1, 2309.5, 2698.9)),
    (EXTREME, "pert", 0.95, (850.2, 1074.5, 1177.6, 2172.4, 2337.4, 2730.7)),
    (EXTREME, "pert", 1.0, (848.5, 1068.7, 1170.6, 2180.3, 2346.2, 2740.5)),
    (EXTREME, "triangular", 0.0, (825.7, 1113.9, 1251.8, 2397.6, 2564.7, 2905.4)),
    (EXTREME, "triangular", 0.2, (734.8, 1023.0, 1171.5, 2476.7, 2658.7, 3018.3)),
    (EXTREME, "triangular", 0.5, (646.1, 911.3, 1065.5, 2584.6, 2781.9, 3143.3)),
    (EXTREME, "triangular", 0.8, (594.4, 821.6, 971.6, 2684.4, 2887.9, 3226.3)),
    (EXTREME, "triangular", 0.95, (579.0, 783.5, 927.9, 2732.2, 2935.0, 3255.2)),
    (EXTREME, "triangular", 1.0, (575.5, 771.7, 913.7, 2747.9, 2949.8, 3263.1)),
]


@pytest.mark.parametrize(("lines", "three_point", "correlation", "exact"), EXACT)
def test_lines_that_may_cost_nothing_and_lines_that_rule(
    lines: Sequence[Points], three_point: ThreePoint, correlation: float, exact: tuple[float, ...]
) -> None:
    for probability, value in zip(CONFIDENT, exact, strict=True):
        for others in ((), (1 - probability,)):
            found, *_ = ranges(lines, three_point).quantiles((probability, *others), correlation)
            assert found / 100 == pytest.approx(value, rel=5e-3), probability


# Lines from 0 on, whose modes lie close to it, at a low quantile that lies closer still: found among random shapes.
# Exact by convolution with 16,384 cells up to twice the quantile, for each of 60 or more values of the common factor
# (own computations with another program)
CLOSE_TO_ZERO: list[tuple[Sequence[Points], ThreePoint, float, float, float]] = [
    ([(0, 14, 1414), (0, 114, 325)], "pert", 0.0, 0.005, 52.570),
    ([(0, 7, 13), (0, 34, 1999)], "pert", 0.1, 0.005, 8.8699),
    ([(0, 7, 13), (0, 6, 1999)], "triangular", 0.1, 0.005, 13.9025),
    ([(0, 7, 280), (0, 0, 1926), (0, 19, 1003), (0, 3, 66), (0, 41, 110)], "triangular", 0.98, 0.025, 68.642),
    ([(5, 5, 48), (0, 0, 5530), (8, 8, 24)], "pert", 0.98, 0.005, 18.641),
]


@pytest.mark.parametrize(("lines", "three_point", "correlation", "probability", "exact"), CLOSE_TO_ZERO)
def test_a_low_quantile_close_to_zero(
    lines: Sequence[Points], three_point: ThreePoint, correlation: float, probability: float, exact: float
) -> None:
    found, _ = ranges(lines, three_point).quantiles((probability, 1 - probability), correlation)
    assert found / 100 == pytest.approx(exact, rel=4.5e-3)


# The distribution functions where the integral is a polynomial: PERT's density is x^(4 mode) (1 - x)^(4 - 4 mode).
POLYNOMIALS: dict[tuple[ThreePoint, int], Callable[[float], float]] = {
    ("pert", 0): lambda x: 1 - (1 - x) ** 5,
    ("pert", 5): lambda x: 1 - (1 - x) ** 4 * (1 + 4 * x),
    ("pert", 10): lambda x: 10 * x**3 - 15 * x**4 + 6 * x**5,
    ("pert", 15): lambda x: x**4 * (5 - 4 * x),
    ("pert", 20): lambda x: x**5,
    ("triangular", 0): lambda x: 1 - (1 - x) ** 2,
    ("triangular", 5): lambda x: 4 * x * x if x < 0.25 else 1 - (1 - x) ** 2 / 0.75,
    ("triangular", 15): lambda x: x * x / 0.75 if x < 0.75 else 1 - 4 * (1 - x) ** 2,
    ("triangular", 20): lambda x: x * x,
}


@pytest.mark.parametrize(("named", "exact"), POLYNOMIALS.items())
def test_the_ends_of_a_shape(named: tuple[ThreePoint, int], exact: Callable[[float], float]) -> None:
    """Within the first and the last cell the probability is a power of the place."""
    three_point, mode = named
    shape = shape_of(three_point, mode, 20)
    for place in (0.0003, 0.001, 0.0019, 0.03, 0.4):
        assert shape.probability(place) == pytest.approx(exact(place), rel=0.02, abs=1e-11)
        assert 1 - shape.probability(1 - place) == pytest.approx(1 - exact(1 - place), rel=0.02, abs=1e-11)
        for share in (shape.probability(place), shape.probability(1 - place)):
            assert shape.probability(shape.quantile(share)) == pytest.approx(share, rel=1e-9)
    assert (shape.quantile(0.0), shape.quantile(1.0)) == (0, 1)


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
@pytest.mark.parametrize("correlation", [0.0, 0.2, 0.6, 0.95, 1.0])
@pytest.mark.parametrize(
    "lines",
    [UNLIKE, ONE_RULES, BY_EVIDENCE, ZEROS, EXTREME],
    ids=["unlike", "one rules", "by evidence", "zeros", "extreme"],
)
def test_the_ends_are_within_half_a_percent_of_a_simulation(
    lines: Sequence[Points], correlation: float, three_point: ThreePoint
) -> None:
    """So many draws tell a probability within three standard errors; half a percent comes on top."""
    sums = simulated(lines, three_point, correlation)
    for probability in (0.005, 0.025, 0.05, 0.1, 0.9, 0.95, 0.975, 0.995):
        (found,) = ranges(lines, three_point).quantiles((probability,), correlation)
        error = 3 * (probability * (1 - probability) / DRAWS) ** 0.5
        least, most = (sums[min(round((probability + off) * DRAWS), DRAWS - 1)] for off in (-error, error))
        assert 0.995 * least <= found / 100 <= 1.005 * most, probability


def test_many_lines_are_within_half_a_percent_of_a_simulation() -> None:
    sums = simulated(MANY, "triangular", 0.2)
    for probability in (0.05, 0.95):
        (found,) = ranges(MANY, "triangular").quantiles((probability,), 0.2)
        assert found / 100 == pytest.approx(sums[round(probability * DRAWS)], rel=5e-3)


@pytest.mark.parametrize("three_point", ["triangular", "pert"])
@pytest.mark.parametrize("correlation", [0.0, 0.2, 0.5, 0.8, 0.95])
@pytest.mark.parametrize("count", [2, 12, 40])
def test_the_moments_and_the_grid_agree_where_the_lines_are_alike(
    count: int, correlation: float, three_point: ThreePoint
) -> None:
    lines = TiedLines([(5000, 2000)] * count, 8000 * count, three_point, correlation)
    for probability, on_grid in zip(ENDS, lines.quantiles(ENDS), strict=True):
        assert 8000 * count + lines.by_moments(probability) == pytest.approx(8000 * count + on_grid, rel=4e-3)


def not_convolved(
    lines: Sequence[Points], three_point: ThreePoint, correlation: float, exact: tuple[float, ...]
) -> list[tuple[float, float, float]]:
    """A probability, the sum by moments, and the exact one, wherever the lines are not convolved."""
    spreads = [Spread(*(round(100 * point) for point in line)) for line in lines]
    low, widest_first = (
        sum(line.low for line in spreads),
        sorted(((line.high - line.low, line.likely - line.low) for line in spreads), reverse=True),
    )
    sums = TiedLines(widest_first, low, three_point, correlation)
    return [
        (probability, (low + sums.by_moments(probability)) / 100, value)
        for probability, value in zip(CONFIDENT, exact, strict=True)
        if sums.count_of_wide(100 * value - low) <= 1
    ]


# As most sums are: one line rules the others, or the lines are tied so closely that their common factor does.
BY_MOMENTS = [
    case
    for case in EXACT
    if case[2] < 1 and (case[0] is ONE_RULES or case[2] == 0.95 or (case[2] == 0.8 and case[0] is not ZERO))
]


@pytest.mark.parametrize(("lines", "three_point", "correlation", "exact"), BY_MOMENTS)
def test_the_widest_line_and_lognormal_others_are_within_a_quarter_percent(
    lines: Sequence[Points], three_point: ThreePoint, correlation: float, exact: tuple[float, ...]
) -> None:
    compared = not_convolved(lines, three_point, correlation, exact)
    assert compared
    for probability, found, value in compared:
        assert found == pytest.approx(value, rel=2.5e-3), probability


@pytest.mark.parametrize("correlation", [0.0, 0.2, 0.5, 0.9, 0.98])
def test_a_score_tells_of_the_factor_what_its_correlation_says(correlation: float) -> None:
    """Two normal quantities correlated by sqrt(r): given the one at y, the other has mean sqrt(r) y, variance 1 - r."""
    known = lattice(correlation, 0.75)
    for (score, _), weights in zip(known.scores, known.given_score, strict=True):
        mean = sum(weight * factor for weight, (factor, _) in zip(weights, known.factors, strict=True))
        square = sum(weight * factor**2 for weight, (factor, _) in zip(weights, known.factors, strict=True))
        assert mean == pytest.approx(correlation**0.5 * score, abs=1e-3)
        assert square - mean**2 == pytest.approx(1 - correlation, rel=1e-3)


def test_lines_are_convolved_where_they_rule_the_sum() -> None:
    alike = TiedLines([(5000, 2000)] * 40, 8000 * 40, "pert", 0.2)
    assert alike.count_of_wide(40 * 2000) == 0
    one_rules = TiedLines([(300_000, 0), (20_000, 10_000), (20_000, 10_000)], 240_000, "triangular", 0.0)
    assert one_rules.count_of_wide(100_000) == 1
    free = TiedLines([(1000, 0)] * 12, 0, "pert", 0.0)
    assert free.count_of_wide(1000) == 8
    # 3,000 of 2,000,000 make no difference, unless the low quantile is as small as they are.
    narrow = TiedLines([(2_000_000, 0), (3_000, 1_000)], 0, "pert", 0.0)
    assert (narrow.count_of_wide(500_000), narrow.count_of_wide(3_000)) == (1, 2)


def test_a_quantile_is_the_same_alone_and_with_others() -> None:
    both = ranges(ONE_RULES, "triangular").quantiles((0.005, 0.995), 0.2)
    alone = [ranges(ONE_RULES, "triangular").quantiles((probability,), 0.2)[0] for probability in (0.005, 0.995)]
    assert both == pytest.approx(alone, rel=2e-3)
    assert ranges(ONE_RULES, "triangular").quantiles((0.995, 0.005), 0.2) == both[::-1]


def test_nearly_full_correlation_comes_near_to_full_correlation() -> None:
    found = [ranges(UNLIKE, "pert").quantiles((0.05, 0.95), correlation) for correlation in (0.9, 0.98, 0.995, 1.0)]
    lows, highs = zip(*found, strict=True)
    assert list(lows) == sorted(lows, reverse=True)
    assert list(highs) == sorted(highs)
    assert found[2] == pytest.approx(found[3], rel=2e-3)


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
        assert shape.given(score_places(score, 1.0)).mean == pytest.approx(exact(NORMAL.cdf(score)), abs=2e-3)
        place = exact(NORMAL.cdf(score))
        assert shape.probability(place) == pytest.approx(NORMAL.cdf(score), abs=2e-3)
    assert (shape.probability(-0.1), shape.probability(1.1)) == (0, 1)
    # Mean and variance over all values of the factor are those of the shape, whatever the correlation.
    free = shape.given(score_places(0.0, 0.0))
    mean = (1 + mode / 20) / 3 if three_point == "triangular" else (1 + 4 * mode / 20) / 6
    assert free.mean == pytest.approx(mean, abs=1e-4)
    up, down = (shape.given(score_places(factor, 0.5)).mean for factor in (1.0, -1.0))
    assert up > free.mean > down


@pytest.mark.parametrize(
    ("function", "target", "most"), [(lambda x: x**3, 0.027, 1), (lambda x: -((1 - x) ** 9), -0.2, 1)]
)
def test_a_bent_function_is_crossed_in_few_steps(
    function: Callable[[float], float], target: float, most: float
) -> None:
    """Also from a guess at one of the ends; what lies beyond an end is not looked for."""
    asked: list[float] = []

    def watched(value: float) -> float:
        asked.append(value)
        return function(value)

    for guess in (0.0, 0.4, most):
        asked.clear()
        found = crossing(watched, target, (0.0, most), guess=guess, scale=1.0)
        assert function(found) == pytest.approx(target, abs=1e-6)
        assert len(asked) <= 16
    assert crossing(function, function(0.0) - 0.5, (0.0, most), guess=0.5, scale=1.0) == 0
    assert crossing(function, function(most) + 0.5, (0.0, most), guess=0.5, scale=1.0) == most


def triangular_share(value: float, width: float, mode: float) -> float:
    """The share of a triangular line from 0 that is not above a value: the formula of the distribution."""
    if not 0 < value < width:
        return float(value > 0)
    return value**2 / (width * mode) if value < mode else 1 - (width - value) ** 2 / (width * (width - mode))


def with_a_triangular_line(wide: tuple[int, int], others: Sequence[float], probability: float) -> float:
    """The quantile of a triangular line from 0 and others of which values equally likely are given, in order.

    The share of the sum below a value is the mean, over the others, of that of the wide line below the rest.
    """

    def share(value: float) -> float:
        below = others[: bisect_left(others, value)]
        return sum(triangular_share(value - other, *wide) for other in below) / len(others)

    least, most = 0.0, wide[0] + others[-1]
    for _ in range(40):
        middle = (least + most) / 2
        least, most = (middle, most) if share(middle) < probability else (least, middle)
    return least


@pytest.mark.parametrize("probability", [0.005, 0.05, 0.1])
@pytest.mark.parametrize(("wide", "narrow"), [((1000, 0), (80, 80)), ((1000, 200), (120, 120)), ((1000, 0), (120, 0))])
def test_two_independent_lines_are_those_of_an_integral(
    wide: tuple[int, int], narrow: tuple[int, int], probability: float
) -> None:
    quantile = triangular_quantile(narrow[1] / narrow[0])
    exact = with_a_triangular_line(
        wide, [narrow[0] * quantile((place + 0.5) / 1000) for place in range(1000)], probability
    )
    (found,) = TiedLines(
        [(100 * wide[0], 100 * wide[1]), (100 * narrow[0], 100 * narrow[1])], 0, "triangular", 0.0
    ).quantiles([probability])
    assert found / 100 == pytest.approx(exact, rel=3e-4)


def test_wide_lines_beside_a_rest_that_is_far_from_zero() -> None:
    """150 lines from 0 to 40 are nearly normal, by their means of 20 and variances of 40 x 40 / 24; two are wide."""
    rest, quantile = NormalDist(150 * 20, (150 * 40**2 / 24) ** 0.5), triangular_quantile(0.0)
    places = [(place + 0.5) / 200 for place in range(200)]
    others = sorted(rest.inv_cdf(place) + 1000 * quantile(other) for place in places for other in places)
    exact = [with_a_triangular_line((1000, 0), others, probability) for probability in (0.005, 0.05, 0.5)]
    found = TiedLines([(100_000, 0)] * 2 + [(4_000, 2_000)] * 150, 0, "triangular", 0.0).quantiles((0.005, 0.05, 0.5))
    assert [value / 100 for value in found] == pytest.approx(exact, rel=1e-3)
