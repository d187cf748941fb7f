"""Employer costs, overheads and posted rates compared with what is printed of them."""

from decimal import Decimal

import pytest
from msgspec.structs import astuple

from hitchworth.operations.reference_data import list_wages
from hitchworth.reference.labor_rates import Overhead, labor_rates
from hitchworth.reference.wages import Wage
from hitchworth.valuation.labor_rates import with_overhead


def wage_of(trade: str) -> Wage:
    """The wage of a trade, as the API lists it."""
    return next(wage for wage in list_wages().items if wage.trade == trade)


def overhead(name: str) -> Overhead:
    """The convention of that name."""
    return next(each for each in labor_rates().overheads if each.name == name)


# U.S. Bureau of Labor Statistics, Employer Costs for Employee Compensation, March 2026, tables 4 and 6: wages, benefits
# and total, dollars an hour; the ratio of total to wages by hand.
@pytest.mark.parametrize(
    ("name", "printed", "ratio"),
    [
        ("private_industry", "32.60 14.01 46.60", "1.429"),
        ("construction_and_maintenance", "32.54 14.94 47.48", "1.459"),
        ("private_1_to_49_workers", "27.68 9.68 37.36", "1.350"),
        ("goods_producing_1_to_49_workers", "30.55 11.84 42.38", "1.387"),
        ("goods_producing_50_to_99_workers", "32.30 14.27 46.57", "1.442"),
    ],
)
def test_employer_costs(name: str, printed: str, ratio: str) -> None:
    (group,) = (group for group in labor_rates().employer_costs.groups if group.name == name)
    assert (group.wages, group.benefits, group.total) == tuple(map(Decimal, printed.split()))
    assert abs(group.wages + group.benefits - group.total) <= Decimal("0.01")
    assert round(group.total / group.wages, 3) == Decimal(ratio)


# Economic analyses of the U.S. Environmental Protection Agency, attached to information collection requests: 2559.03,
# professional and clerical, overhead on the wage; those of 2022 and 2023, on the compensation; pesticide worksheets, on
# the loaded wage. The last is printed as 82.67, a cent less: it goes on with figures that were not rounded.
@pytest.mark.parametrize(
    ("convention", "wage", "benefits", "loaded"),
    [
        ("on_wage", "44.35", "23.43", "75.32"),
        ("on_wage", "20.77", "10.20", "34.50"),
        ("on_compensation", "23.11", "10.33", "40.13"),
        ("on_compensation", "46.01", "23.27", "83.14"),
        ("on_loaded_wage", "37.63", "17.49", "82.68"),
    ],
)
def test_overhead_by_three_conventions(convention: str, wage: str, benefits: str, loaded: str) -> None:
    paid = Decimal(wage)
    assert round(with_overhead(paid, paid + Decimal(benefits), overhead(convention)), 2) == Decimal(loaded)


def test_the_loaded_rate_of_a_technician() -> None:
    """Occupational Employment and Wage Statistics, May 2025: mean 27.14, median 25.00, 90th percentile 37.48.

    By hand: 27.14 x 1.387 = 37.64 with benefits, x 1.2 = 45.17 with overhead. 25.00 x 1.387 x 1.2 = 41.61. On the wage,
    27.14 x (1.387 + 0.17) = 42.26; half of the loaded wage on top, 27.14 x 1.387 x 1.5 = 56.46.
    """
    wage = wage_of("recreational_vehicle_technician")
    usual = wage.loaded_rate
    assert usual is not None
    assert [str(figure) for figure in astuple(usual.hourly)] == ["45.17", "28.91", "35.93", "41.61", "51.13", "62.38"]
    assert (usual.formula, str(usual.factor), usual.includes) == ("wage x 1.387 x 1.20", "1.6644", "overhead")
    others = [(str(rate.hourly.mean), rate.formula, rate.includes) for rate in wage.other_loaded_rates]
    assert others == [
        ("37.64", "wage x 1.387", "nothing"),
        ("42.26", "wage x (1.387 + 0.17)", "overhead"),
        ("56.46", "wage x 1.387 x 1.50", "overhead"),
    ]


def test_a_loaded_rate_names_its_method_and_its_vintage() -> None:
    usual = wage_of("welder").loaded_rate
    assert usual is not None
    assert usual.vintage == "March 2026; 2020"
    assert usual.source.startswith(
        "U.S. Bureau of Labor Statistics, Employer Costs for Employee Compensation, March 2026: "
        "Goods-producing industries, establishments of 1 to 49 workers, 42.38 / 30.55; U.S. Environmental"
    )
    without = wage_of("welder").other_loaded_rates[0]
    assert (without.vintage, without.source.count(";")) == ("March 2026", 0)


# Two mobile repair shops post 150 and 165 an hour: 5.5 and 6.1 times the mean wage of a technician
def test_a_shop_asks_several_times_the_wage() -> None:
    wage = wage_of("recreational_vehicle_technician")
    (posted,) = wage.posted_rates
    assert [round(rate / wage.hourly.mean, 1) for rate in (posted.low, posted.high)] == [Decimal("5.5"), Decimal("6.1")]
    assert wage_of("upholsterer").posted_rates == ()


def test_every_wage_is_loaded_and_asks_for_quotes() -> None:
    for wage in list_wages().items:
        assert wage.loaded_rate is not None
        assert wage.hourly.mean * Decimal("1.66") < wage.loaded_rate.hourly.mean < wage.hourly.mean * Decimal("1.67")
        assert "quote" in wage.advice
    named = {posted.trade for posted in labor_rates().posted}
    assert named <= {wage.trade for wage in list_wages().items}
    assert all(0 < posted.low < posted.high and posted.source for posted in labor_rates().posted)
