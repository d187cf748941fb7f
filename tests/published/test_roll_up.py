"""The roll-up compared with published figures: overhead and profit, three-point estimates, price indexes."""

from datetime import date
from decimal import Decimal
from statistics import NormalDist

import pytest

from hitchworth.model.build import Build, Component, IndirectCosts, Labor
from hitchworth.model.options import Options
from hitchworth.valuation.band import mean_and_variance, quantile
from hitchworth.valuation.estimate import estimate
from hitchworth.valuation.notes import NoteCollector
from hitchworth.valuation.spread import Spread, pert
from hitchworth.valuation.trending import PriceIndexes

DAY = date(2026, 6, 1)


def part(cost: str) -> Component:
    """A part of one piece, bought on the day."""
    return Component(
        id="part", description="Part", category="general", quantity=Decimal(1), unit_cost=Decimal(cost), acquired_on=DAY
    )


# Common practice: 10 percent overhead and 10 percent profit; added up they make 20 percent, compounded 21
@pytest.mark.parametrize(("compounded", "replacement_cost"), [(False, "12000.00"), (True, "12100.00")])
def test_ten_and_ten(compounded: bool, replacement_cost: str) -> None:
    rates = IndirectCosts(overhead_rate=Decimal("0.1"), profit_rate=Decimal("0.1"), compounded=compounded)
    build = Build(name="Trailer", currency="USD", components=(part("10000"),), indirect_costs=rates)
    assert str(estimate(build, DAY, Options()).totals.replacement_cost) == replacement_cost


# A textbook of management science, equations 9.4 and 9.5: 4, 5, 12. A course sheet: the other three.
@pytest.mark.parametrize(
    ("low", "likely", "high", "mean", "variance"),
    [(4, 5, 12, "6", "1.78"), (5, 7, 12, "7.5", "1.36"), (3, 5, 10, "5.5", "1.36"), (2, 5, 8, "5", "1.00")],
)
def test_three_point_estimate(low: int, likely: int, high: int, mean: str, variance: str) -> None:
    found_mean, found_variance = mean_and_variance([pert(Spread(low, likely, high))], Decimal(0))
    assert found_mean == Decimal(mean)
    assert round(found_variance, 2) == Decimal(variance)


# The variances of independent estimates add up, their deviations do not: .5, 1.5, .5, .33 make 1.69
def test_variances_of_independent_lines_add_up() -> None:
    spreads = [pert(Spread(0, width, 2 * width)) for width in (150, 450, 150, 100)]
    _, variance = mean_and_variance(spreads, Decimal(0))
    assert round(variance.sqrt() / 100, 2) == Decimal("1.69")


# Tables of the normal distribution, two-sided: 1.645 at 90, 1.960 at 95, 2.576 at 99 percent
@pytest.mark.parametrize(("confidence", "z"), [("0.9", "1.645"), ("0.95", "1.960"), ("0.99", "2.576")])
def test_quantile(confidence: str, z: str) -> None:
    assert round(quantile(Decimal(confidence)), 3) == Decimal(z)
    assert NormalDist().cdf(float(z)) == pytest.approx((1 + float(confidence)) / 2, abs=1e-4)


# U.S. Bureau of Labor Statistics, CPI-U, June 2019 to June 2023: all items 256.143 and 305.109, vehicle accessories
# 175.514 and 218.695, major appliances 85.377 and 94.327
@pytest.mark.parametrize(
    ("name", "trended"),
    [("us_all_items", "1191.17"), ("us_vehicle_accessories", "1246.03"), ("us_major_appliances", "1104.83")],
)
def test_a_thousand_dollars_of_2019(name: str, trended: str) -> None:
    trend = PriceIndexes({}, date(2023, 6, 15), NoteCollector()).trend(name, date(2019, 6, 1))
    assert trend is not None
    assert round(1000 * trend.now / trend.then, 2) == Decimal(trended)


# Cal. Code Regs. tit. 10, section 2695.9(f)(1): labor is no component of physical depreciation. Material of 1,000 worn
# by 40 percent, labor of 600 to fit it: 1,200; with the labor worn as the material: 960.
@pytest.mark.parametrize(("rule", "actual_cash_value"), [("none", "1200.00"), ("with_component", "960.00")])
def test_labor_kept_and_labor_depreciated(rule: str, actual_cash_value: str) -> None:
    material = Component(
        id="roof",
        description="Roof",
        category="general",
        quantity=Decimal(1),
        unit_cost=Decimal(1000),
        acquired_on=DAY,
        condition=Decimal("0.6"),
    )
    fitting = Labor(id="fit", task="Fit it", hours=Decimal(10), rate=Decimal(60), performed_on=DAY, component_id="roof")
    build = Build(name="Trailer", currency="USD", components=(material,), labor=(fitting,))
    found = estimate(build, DAY, Options(labor_depreciation="none"))
    assert str(getattr(found.value_by_labor_rule, rule)) == actual_cash_value
