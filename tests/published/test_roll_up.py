"""The roll-up compared with published figures: overhead and profit, three-point estimates, price indexes."""

from datetime import date
from decimal import Decimal

import pytest

from hitchworth.model.build import Build
from hitchworth.model.entry import Component
from hitchworth.model.indirect_costs import IndirectCosts
from hitchworth.model.options import Options, ThreePoint
from hitchworth.valuation.estimate import estimate
from hitchworth.valuation.lognormal import lognormal, lognormal_terms
from hitchworth.valuation.range_shape import Moments, given_factor, groups_of, normal
from hitchworth.valuation.spread import Spread, pert_deviations

DAY = date(2026, 6, 1)


def part(cost: str) -> Component:
    """A part of one piece, bought on the day."""
    return Component(
        id="part", description="Part", category="general", quantity=Decimal(1), unit_cost=Decimal(cost), acquired_on=DAY
    )


def moments(lines: list[Spread], three_point: ThreePoint) -> Moments:
    """The moments of the sum of independent lines above the sum of their lows."""
    groups = groups_of((line.high - line.low, line.likely - line.low) for line in lines)
    (mean,), (variance,), (third,) = given_factor(groups, three_point, 0.0, ((0.0, 1.0),))
    return Moments(mean, variance, third)


# Common practice: 10 percent overhead and 10 percent profit; added up they make 20 percent, compounded 21
@pytest.mark.parametrize(("compounded", "replacement_cost"), [(False, "12000.00"), (True, "12100.00")])
def test_ten_and_ten(compounded: bool, replacement_cost: str) -> None:
    rates = IndirectCosts(overhead_rate=Decimal("0.1"), profit_rate=Decimal("0.1"), compounded=compounded)
    build = Build(name="Trailer", currency="USD", components=(part("10000"),), indirect_costs=rates)
    assert str(estimate(build, DAY, Options()).totals.replacement_cost) == replacement_cost


# A textbook of management science, equation 9.4: 4, 5, 12. A course sheet: the other three. Its rule of thumb for the
# deviation, (high - low) / 6, is a textbook's round figure: the beta distribution has 1.31, 1.27, 1.27, 1.13.
@pytest.mark.parametrize(
    ("low", "likely", "high", "mean", "deviation"),
    [(4, 5, 12, 6, 1.31), (5, 7, 12, 7.5, 1.27), (3, 5, 10, 5.5, 1.27), (2, 5, 8, 5, 1.13)],
)
def test_three_point_estimate(low: int, likely: int, high: int, mean: float, deviation: float) -> None:
    line = Spread(low, likely, high)
    assert low + moments([line], "pert").mean == pytest.approx(mean, abs=1e-3)
    assert pert_deviations([line]) == [pytest.approx(deviation, abs=5e-3)]
    assert deviation == pytest.approx((high - low) / 6, rel=0.16)


# The variances of independent estimates add up, their deviations do not: .5, 1.5, .5, .33 make 1.69
def test_variances_of_independent_lines_add_up() -> None:
    # A symmetric triangular line deviates by its width / sqrt(24).
    widths = [round(deviation * 24**0.5 * 10_000) for deviation in (0.5, 1.5, 0.5, 0.33)]
    lines = [Spread(0, width // 2, width) for width in widths]
    assert moments(lines, "triangular").variance ** 0.5 / 10_000 == pytest.approx(1.69, abs=5e-3)


# Moments by the formulas for the two distributions: mean, deviation and skew of a sum of independent lines
LIKE = [Spread(800, 1000, 1800)] * 5
UNLIKE = [Spread(100, 120, 300), Spread(2000, 2300, 4000), Spread(500, 600, 1500), Spread(40, 50, 90)]
ONE_RULES = [Spread(1000, 1000, 4000), Spread(500, 600, 700), Spread(900, 1000, 1100)]


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
def test_moments(lines: list[Spread], three_point: ThreePoint, mean: float, deviation: float, skew: float) -> None:
    found = moments(lines, three_point)
    assert sum(line.low for line in lines) + found.mean == pytest.approx(mean, rel=1e-4)
    assert found.variance**0.5 == pytest.approx(deviation, rel=1e-3)
    assert found.third / found.variance**1.5 == pytest.approx(skew, abs=3e-3)


# Quantiles of the shifted lognormal distribution with these moments, by another program from the same formula
# [from memory]: sigma, scale, shift, and the values not exceeded with 5, 10, 50, 90 and 95 percent
@pytest.mark.parametrize(
    ("mean", "deviation", "skew", "terms", "values"),
    [
        (6000, 483.0459, 0.212935, (0.070771, 6799.896, -816.946), (5235.7, 5393.4, 5983.0, 6628.5, 6822.4)),
        (3866.6667, 496.5716, 0.411353, (0.135648, 3610.5454, 222.7504), (3111.3, 3257.2, 3833.3, 4518.8, 4735.8)),
        (3600, 709.4599, 0.560075, (0.183051, 3779.4766, -243.3307), (2553.5, 2745.8, 3536.2, 4535.4, 4864.0)),
    ],
)
def test_shifted_lognormal(
    mean: float, deviation: float, skew: float, terms: tuple[float, ...], values: tuple[float, ...]
) -> None:
    assert lognormal_terms(mean, deviation, skew) == pytest.approx(terms, rel=1e-4)
    probability = lognormal(mean, deviation**2, skew * deviation**3)
    mirrored = lognormal(-mean, deviation**2, -skew * deviation**3)
    for expected, value in zip((0.05, 0.1, 0.5, 0.9, 0.95), values, strict=True):
        assert probability(value) == pytest.approx(expected, abs=2e-4)
        assert mirrored(-value) == pytest.approx(1 - expected, abs=2e-4)
    assert (probability(mean - 40 * deviation), mirrored(40 * deviation - mean)) == (0, 1)


# Tables of the normal distribution, two-sided: 1.645 at 90, 1.960 at 95, 2.576 at 99 percent
@pytest.mark.parametrize(("confidence", "z"), [(0.9, 1.645), (0.95, 1.960), (0.99, 2.576)])
def test_without_a_skew_it_is_the_normal_distribution(confidence: float, z: float) -> None:
    for skew in (0, 1e-4, -1e-4):
        probability = lognormal(100, 4, 8 * skew)
        assert probability(100 + 2 * z) - probability(100 - 2 * z) == pytest.approx(confidence, abs=1e-4)
    assert normal(z) - normal(-z) == pytest.approx(confidence, abs=1e-4)


def test_without_a_deviation_it_is_its_mean() -> None:
    assert [lognormal(100, 0, 0)(value) for value in (99.9, 100, 100.1)] == [0, 1, 1]
