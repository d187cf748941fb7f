"""Obsolescence, cost to cure, remaining life, and the ends between which the actual cash value lies. Worked by hand."""

import random
from datetime import date
from decimal import Decimal

import pytest

from hitchworth.model.build import Obsolescence
from hitchworth.model.indirect_costs import IndirectCosts
from hitchworth.model.options import Options
from hitchworth.valuation.estimate import estimate
from valuation_parts import BOUGHT, DAY, build, part, valued, work

LAYOUT = Obsolescence(kind="functional", share=Decimal("0.1"), reason="a bed too short")
MARKET = Obsolescence(kind="economic", share=Decimal("0.25"), reason="nobody buys one")


def test_each_share_is_of_what_is_left_and_the_table_adds_up() -> None:
    """1,000 at condition 0.8: 200 of wear; 10 percent of 800 = 80; 25 percent of 720 = 180; 540 are left."""
    found = valued(part("a", "1000", condition=Decimal("0.8")), obsolescence=(MARKET, LAYOUT), options=WORKED)
    (line,) = found.lines
    assert [line.depreciation, line.obsolescence, line.actual_cash_value] == [460, 260, 540]
    totals = found.totals
    assert [totals.functional_obsolescence, totals.economic_obsolescence, totals.depreciation] == [80, 180, 460]
    formulas = {working.figure: (working.rule, working.formula) for working in line.workings}
    assert formulas["obsolescence"] == ("obsolescence", "80.00 + 180.00 = 260.00")
    assert formulas["actual_cash_value"] == (
        "actual_cash_value_with_obsolescence",
        "1000.00 - 200.00 - 80.00 - 180.00 = 540.00",
    )


WORKED = Options(workings=True)


def test_a_share_may_be_for_one_category_only() -> None:
    only = Obsolescence(kind="functional", share=Decimal("0.5"), reason="too much", category="solar")
    found = valued(part("a", "100"), part("b", "100", category="solar", condition=Decimal(1)), obsolescence=(only,))
    assert [line.obsolescence > 0 for line in found.lines] == [False, True]


def test_cost_to_cure_is_depreciated_in_full_and_never_more_than_the_cost() -> None:
    """1,000, 200 to cure, the rest at half: 200 + 800 / 2 = 600."""
    terms = {"effective_age_years": Decimal(5), "remaining_life_years": Decimal(5)}
    found = valued(part("a", "1000", cost_to_cure=Decimal(200), **terms), options=WORKED)
    assert found.lines[0].depreciation == 600
    formulas = {working.figure: (working.rule, working.formula) for working in found.lines[0].workings}
    assert formulas["depreciation"] == ("depreciation_with_cure", "200.00 + (1000.00 - 200.00) x (1 - 0.5) = 600.00")
    assert formulas["percent_good"] == ("good_by_age_life", "1 - (1 - 0) x 5 / 10 = 0.5")
    assert valued(part("a", "100", cost_to_cure=Decimal(500))).lines[0].actual_cash_value == 0


@pytest.mark.parametrize(
    ("terms", "percent_good"),
    [
        # Four years by date and six left, on every valuation date.
        ({"remaining_life_years": "6"}, "0.6"),
        # As of two years after the purchase, 2 years old and 8 left: at 4 years 6 of 10 are left.
        ({"remaining_life_years": "8", "effective_age_on": date(2024, 6, 15)}, "0.6"),
        # Judged as 3 years old with 7 left two years ago: 5 of 10 by now.
        ({"remaining_life_years": "7", "effective_age_years": "3", "effective_age_on": date(2024, 6, 15)}, "0.5"),
        ({"remaining_life_years": "0"}, "0"),
        # Past its life there is nothing left.
        ({"remaining_life_years": "1", "effective_age_years": "1", "effective_age_on": BOUGHT}, "0"),
    ],
)
def test_a_remaining_life(terms: dict[str, object], percent_good: str) -> None:
    given = {name: Decimal(value) if isinstance(value, str) else value for name, value in terms.items()}
    found = valued(part("a", "100", category="chassis", **given))
    assert float(found.lines[0].percent_good) == pytest.approx(float(percent_good), abs=2e-4)


def test_both_ends_of_the_actual_cash_value() -> None:
    """Steel 1,000 worn by half; own work 600 on it, hired work 400 on it. All labor kept: 500 + 1,000 = 1,500. Labor
    depreciated with the steel: 500 + 500 = 1,000. Without the own hours: 500 + 200 = 700. The market says 900.
    """
    steel = part("steel", "1000", condition=Decimal("0.5"))
    own = work("own", "10", "60", component_id="steel")
    hired = work("hired", "10", "40", component_id="steel", hired=True)
    found = valued(steel, own, hired, market_value=Decimal(900)).value_range
    assert found is not None
    assert {end.found_by: end.value for end in found.ends} == {
        "labor_kept": 1500,
        "labor_depreciated": 1000,
        "own_labor_not_counted": 700,
        "market_value": 900,
    }
    assert [found.low, found.high] == [700, 1500]
    unknown = valued(steel, own, hired).value_range
    assert unknown is not None
    assert "market_value" not in {end.found_by for end in unknown.ends}


def test_the_order_of_the_entries_makes_no_difference() -> None:
    """Equal lines share spare cents by their id: every line is the same wherever it stands, and so is the band."""
    parts = [part(f"part {number}", "33.33", low=Decimal(20), high=Decimal(90)) for number in range(7)]
    costs = IndirectCosts(
        overhead_rate=Decimal("0.1"),
        profit_rate=Decimal("0.07"),
        sales_tax_rate=Decimal("0.0875"),
        sales_tax_basis="total",
        freight_lump_sum=Decimal("10.00"),
    )
    first = estimate(build(*parts, indirect_costs=costs), DAY, Options())
    for seed in range(4):
        shuffled = random.Random(seed).sample(parts, len(parts))
        again = estimate(build(*shuffled, indirect_costs=costs), DAY, Options())
        assert {line.id: line for line in again.lines} == {line.id: line for line in first.lines}
        assert (again.band, again.totals) == (first.band, first.totals)
