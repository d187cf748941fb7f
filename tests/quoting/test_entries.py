"""What the lines of a quote cost: waste, shop rates, freight, what the customer brings, allowances."""

from datetime import date
from typing import Any

import pytest

from hitchworth.model.build import IndexMonth
from hitchworth.model.indirect_costs import IndirectCosts
from hitchworth.model.pricing import CustomerSupply, QuoteAllowance, ShopRate, WasteAllowance
from quotes import D, camper, part, quoted, rates, work


# 11 sheets at 74.50: 12.1 with 10 %, 901.45; in whole units 13, 968.50. 10 sheets with 10 % are 11 exactly.
@pytest.mark.parametrize(
    ("quantity", "whole", "bought", "cost"),
    [("11", False, "12.1", "901.45"), ("11", True, "13", "968.50"), ("10", True, "11", "819.50")],
)
def test_waste_is_added_to_the_quantity(quantity: str, whole: bool, bought: str, cost: str) -> None:
    waste = (WasteAllowance(category="body", rate=D("0.1"), whole_units=whole),)
    body, door = quoted(part("sheet", "74.50", quantity), part("door", 100, category="door"), waste=waste).lines
    assert (body.quantity, body.priced_quantity, str(body.direct_cost)) == (D(quantity), D(bought), cost)
    assert (door.priced_quantity, str(door.direct_cost)) == (D(1), "100.00")


def test_waste_of_a_category_that_the_quote_lacks_is_noted() -> None:
    waste = tuple(WasteAllowance(category=name, rate=D("0.1")) for name in ("body", "roof", "labor"))
    found = quoted(part("sheet", 10), work("cut", 1, category="labor"), waste=waste)
    assert [(note.code, note.about) for note in found.notes if note.code != "quote_without_validity"] == [
        ("waste_without_components", "labor"),
        ("waste_without_components", "roof"),
    ]


def test_an_hour_costs_the_shop_rate_of_its_kind_of_work() -> None:
    shop_rates = (
        ShopRate(category="electrical", rate=D(96), cost=D(58)),
        ShopRate(rate=D(80), includes="nothing"),
    )
    wiring, hull = quoted(
        work("wiring", 2, category="electrical"), work("hull", 3), shop_rates=shop_rates, markup=rates("0.1")
    ).lines
    assert (str(wiring.direct_cost), str(wiring.cost), str(wiring.price)) == ("192.00", "116.00", "192.00")
    # A rate that includes nothing is a cost: 240, with 10 % overhead.
    assert (str(hull.direct_cost), str(hull.cost), str(hull.price)) == ("240.00", "240.00", "264.00")
    assert (wiring.cost_kind, wiring.unit, wiring.quantity) == ("labor", "h", D(2))


def test_without_a_shop_rate_it_costs_the_market_rate_or_what_is_paid() -> None:
    market, paid, hired = quoted(
        work("market", 2, 10, market_rate=D(70), rate_includes=None),
        work("paid", 2, 10),
        work("hired", 2, 50, hired=True, rate_includes=None),
        shop_rates=(ShopRate(category="electrical", rate=D(96)),),
    ).lines
    assert (str(market.direct_cost), market.includes, market.cost) == ("140.00", "overhead_and_profit", None)
    assert (str(paid.direct_cost), paid.includes, str(paid.cost)) == ("20.00", "nothing", "20.00")
    assert (str(hired.direct_cost), hired.cost_kind) == ("100.00", "hired_labor")


def test_days_do_not_matter_but_what_was_removed_is_out() -> None:
    later, old = date(2027, 1, 1), date(2026, 1, 1)
    lines = quoted(part("later", 5, acquired_on=later), part("gone", 7, acquired_on=old, removed_on=later)).lines
    assert [line.id for line in lines] == ["later"]


def test_an_index_trends_an_old_price_and_leaves_a_later_one() -> None:
    months = (IndexMonth(month="2025-06", value=D(100)), IndexMonth(month="2026-06", value=D(110)))
    build = camper(
        part("old", 50, acquired_on=date(2025, 6, 1), price_index="mine"),
        part("later", 50, acquired_on=date(2026, 9, 1), price_index="mine"),
        price_indexes={"mine": months},
    )
    assert [str(line.direct_cost) for line in quoted(build=build).lines] == ["55.00", "50.00"]


def test_a_current_quote_goes_before_what_was_paid() -> None:
    (line,) = quoted(part("stove", 200, 2, replacement_unit_cost=D(230), quoted_on=date(2026, 5, 20))).lines
    assert str(line.direct_cost) == "460.00"


def test_freight_and_tax_that_were_paid_are_in_the_cost() -> None:
    found = quoted(part("sheet", 10, 2, freight=D(5), tax=D("1.20")))
    assert str(found.lines[0].direct_cost) == "26.20"
    assert ("tax_paid_in_cost", "sheet") in [(note.code, note.about) for note in found.notes]


def test_a_lump_sum_of_freight_is_split_over_the_base_and_other_indirect_costs_are_not_used() -> None:
    indirect = IndirectCosts(freight_lump_sum=D(30), overhead_rate=D("0.5"))
    found = quoted(build=camper(part("a", 100), part("b", 200), indirect_costs=indirect))
    assert [str(line.direct_cost) for line in found.lines] == ["110.00", "220.00"]
    assert "quoted_by_pricing_alone" in [note.code for note in found.notes]
    for own in (IndirectCosts(), IndirectCosts(freight_lump_sum=D(3))):
        build = camper(part("a", 100), indirect_costs=own)
        assert "quoted_by_pricing_alone" not in [note.code for note in quoted(build=build).notes]


@pytest.mark.parametrize("name", ["overhead_rate", "profit_rate", "sales_tax_rate"])
def test_each_rate_of_the_build_that_is_not_used_is_noted(name: str) -> None:
    rate: dict[str, Any] = {name: D("0.1")}
    build = camper(part("a", 100), indirect_costs=IndirectCosts(**rate))
    assert "quoted_by_pricing_alone" in [note.code for note in quoted(build=build).notes]


def test_what_the_customer_brings_is_not_in_the_price_but_for_handling() -> None:
    supplies = (CustomerSupply(id="stove", handling=D(35)), CustomerSupply(id="sink"))
    found = quoted(part("stove", 240), part("sink", 90), part("sheet", 10), customer_supplies=supplies)
    assert [(line.id, line.kind, str(line.price), line.cost) for line in found.lines] == [
        ("sheet", "component", "10.00", D("10.00")),
        ("stove", "handling", "35.00", None),
    ]
    assert found.customer_supplies == ("stove", "sink")


def test_an_allowance_is_a_line_without_a_quantity() -> None:
    plain = QuoteAllowance(id="curtains", description="Curtains", amount=D(450))
    bare = QuoteAllowance(id="lamp", description="Lamp", amount=D(100), category="lighting", includes="nothing")
    first, second = quoted(allowances=(plain, bare), markup=rates("0.1")).lines
    assert (first.kind, first.category, str(first.price), first.cost) == ("allowance", "allowance", "450.00", None)
    assert (first.quantity, first.unit, first.taxed_as) == (None, "", "materials")
    assert (second.category, str(second.price), str(second.cost)) == ("lighting", "110.00", "100.00")


def test_cost_and_margin_are_of_the_lines_whose_cost_is_known() -> None:
    known = quoted(
        part("sheet", 80), work("cut", 1, category="x"), shop_rates=(ShopRate(rate=D(60)),), markup=rates("0.25")
    ).known_cost
    # The hour at 60 has no cost on record. 100 - 80 = 20: 20 % of 100, 25 % of 80.
    assert (known.lines, known.lines_unknown) == (1, 1)
    assert (str(known.cost), str(known.price), str(known.gross_profit)) == ("80.00", "100.00", "20.00")
    assert (known.margin, known.markup) == (D("0.2"), D("0.25"))


def test_a_loss_is_negative_and_nothing_has_no_margin() -> None:
    loss = quoted(work("cut", 1), shop_rates=(ShopRate(rate=D(60), cost=D(75)),)).known_cost
    assert (str(loss.gross_profit), loss.margin, loss.markup) == ("-15.00", D("-0.25"), D("-0.2"))
    nothing = quoted().known_cost
    assert (nothing.lines, nothing.margin, nothing.markup) == (0, None, None)
