"""Labor: own and hired hours, what the own hours add, wage trending, and the published rule of the jurisdiction."""

from datetime import date
from decimal import Decimal
from typing import Any

import pytest

from hitchworth.model.build import IndexMonth
from hitchworth.model.indirect_costs import IndirectCosts
from valuation_parts import part, valued, work

WAGES = {
    "wages": (IndexMonth(month="2022-06", value=Decimal(100)), IndexMonth(month="2026-06", value=Decimal(120))),
}


def test_own_hours_add_what_no_receipt_shows() -> None:
    own = work("own", "10", "0", market_rate=Decimal(80))
    hired = work("hired", "3", "100", market_rate=Decimal(110), hired=True)
    found = valued(part(), own, hired, indirect_costs=IndirectCosts(overhead_rate=Decimal("0.1"))).labor
    assert [found.own.hours, found.own.paid, found.own.at_market, found.own.replacement_cost] == [10, 0, 800, 800]
    hands = found.hired
    assert [hands.hours, hands.paid, hands.at_market, hands.replacement_cost] == [3, 300, 330, 330]
    assert str(found.own_labor_added) == "800.00"


@pytest.mark.parametrize(
    ("terms", "cost"),
    [
        ({"price_index": "wages"}, "600.00"),
        ({"price_index": "wages", "market_rate": Decimal(80)}, "800.00"),
        ({"price_index": "wages", "market_rate": Decimal(80), "market_rate_on": date(2022, 6, 30)}, "960.00"),
        ({"market_rate": Decimal(80), "market_rate_on": date(2022, 6, 30)}, "800.00"),
    ],
)
def test_a_rate_is_trended_from_its_day(terms: dict[str, Any], cost: str) -> None:
    found = valued(work(**terms), price_indexes=WAGES)
    assert str(found.totals.direct_cost) == cost
    assert found.totals.historical_cost == 500


def test_a_published_series_trends_labor_too() -> None:
    done = work(performed_on=date(2019, 6, 3), rate="100", price_index="us_vehicle_repair")
    assert 1000 < valued(done).totals.direct_cost < 2000


def test_the_published_rule_of_the_place_is_shown() -> None:
    rule = valued(part(), jurisdiction="US-CA").labor_depreciation_rule
    assert rule is not None
    assert (rule.law, rule.provenance) == ("not_depreciated", "published")
    assert "2695.9(f)(1)" in rule.citation


def test_no_rule_is_invented() -> None:
    assert valued(part(), jurisdiction="GB").labor_depreciation_rule is None
    assert valued(part()).labor_depreciation_rule is None


def test_work_that_was_paid_for_without_a_word_on_who_did_it_is_noted() -> None:
    """It counts as one's own: 10 + 2.5 hours. What is stated, and what cost nothing, is not noted."""
    unstated = [work("a", "10", "25", hired=None, market_rate=Decimal(48)), work("b", "2.5", "20", hired=None)]
    stated = [work("c", "4", "25", hired=False), work("d", "4", "25", hired=True), work("e", "4", "0", hired=None)]
    found = valued(part(), *unstated, *stated)
    (note,) = (note for note in found.notes if note.code == "paid_hours_taken_as_own")
    assert note.parameters == {"count": "2", "hours": "12.5"}
    assert found.labor.own.hours == Decimal("20.5")
    assert "paid_hours_taken_as_own" not in {note.code for note in valued(part(), *stated).notes}
