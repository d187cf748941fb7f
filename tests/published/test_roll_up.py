"""The roll-up compared with published figures: overhead and profit, three-point estimates, price indexes."""

from datetime import date
from decimal import Decimal

import pytest

from hitchworth.model.build import Build, Component, IndirectCosts, Labor
from hitchworth.model.options import Options
from hitchworth.valuation.estimate import estimate
from hitchworth.valuation.notes import NoteCollector
from hitchworth.valuation.range_shape import Cumulants, normal
from hitchworth.valuation.spread import Spread, pert_deviations
from hitchworth.valuation.sum_of_ranges import SumOfRanges, cornish_fisher
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


# A textbook of management science, equation 9.4: 4, 5, 12. A course sheet: the other three. Its rule of thumb for the
# deviation, (high - low) / 6, is a textbook's round figure: the beta distribution has 1.31, 1.27, 1.27, 1.13.
@pytest.mark.parametrize(
    ("low", "likely", "high", "mean", "deviation"),
    [(4, 5, 12, 6, 1.31), (5, 7, 12, 7.5, 1.27), (3, 5, 10, 5.5, 1.27), (2, 5, 8, 5, 1.13)],
)
def test_three_point_estimate(low: int, likely: int, high: int, mean: float, deviation: float) -> None:
    line = Spread(low, likely, high)
    assert low + SumOfRanges([line], "pert").cumulants(0.0).mean == pytest.approx(mean, abs=1e-3)
    assert pert_deviations([line]) == [pytest.approx(deviation, abs=5e-3)]
    assert deviation == pytest.approx((high - low) / 6, rel=0.16)


# The variances of independent estimates add up, their deviations do not: .5, 1.5, .5, .33 make 1.69
def test_variances_of_independent_lines_add_up() -> None:
    # A symmetric triangular line deviates by its width / sqrt(24).
    widths = [round(deviation * 24**0.5 * 10_000) for deviation in (0.5, 1.5, 0.5, 0.33)]
    lines = [Spread(0, width // 2, width) for width in widths]
    assert SumOfRanges(lines, "triangular").cumulants(0.0).variance ** 0.5 / 10_000 == pytest.approx(1.69, abs=5e-3)


# Tables of the normal distribution, two-sided: 1.645 at 90, 1.960 at 95, 2.576 at 99 percent
@pytest.mark.parametrize(("confidence", "z"), [(0.9, 1.645), (0.95, 1.960), (0.99, 2.576)])
def test_a_normal_quantity_by_the_rule_of_cumulants(confidence: float, z: float) -> None:
    assert cornish_fisher(Cumulants(100, 4, 0, 0), z) == pytest.approx(100 + 2 * z)
    assert normal(z) - normal(-z) == pytest.approx(confidence, abs=1e-4)


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
