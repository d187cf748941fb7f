"""Overhead, profit and sales tax, and each line's part of them."""

from datetime import date
from decimal import Decimal
from typing import Any

import pytest

from hitchworth.model.build import IndexMonth
from hitchworth.model.entry import Component, Labor
from hitchworth.model.indirect_costs import IndirectCosts
from hitchworth.model.options import Options
from valuation_parts import DAY, codes, part, valued, work

TEN_PERCENT = Decimal("0.10")
TEN = Decimal(10)


def test_overhead_and_profit_are_split_so_that_no_cent_is_lost() -> None:
    terms = IndirectCosts(overhead_rate=TEN_PERCENT, profit_rate=TEN_PERCENT)
    found = valued(*(part(name, "33.33") for name in "abc"), indirect_costs=terms)
    assert (str(found.totals.overhead), str(found.totals.profit)) == ("10.00", "10.00")
    assert [str(line.replacement_cost) for line in found.lines] == ["40.01", "39.99", "39.99"]


@pytest.mark.parametrize(("compounded", "profit"), [(False, "100.00"), (True, "110.00")])
def test_profit_is_on_direct_cost_or_compounded(compounded: bool, profit: str) -> None:
    terms = IndirectCosts(overhead_rate=TEN_PERCENT, profit_rate=TEN_PERCENT, compounded=compounded)
    assert str(valued(part(unit_cost="500"), work(), indirect_costs=terms).totals.profit) == profit


def test_material_that_holds_its_tax_is_not_taxed_again_but_a_current_quote_is() -> None:
    terms = IndirectCosts(sales_tax_rate=TEN_PERCENT)
    paid = part("paid", tax=Decimal(8))
    plain = part("plain", freight=Decimal(5))
    quoted = part("quoted", tax=Decimal(8), replacement_unit_cost=Decimal(200))
    found = valued(paid, plain, quoted, work(), indirect_costs=terms)
    assert [str(line.replacement_cost - line.direct_cost) for line in found.lines] == ["0.00", "10.50", "20.00", "0.00"]


# 85 on 1,000 is 8.5 percent: on a quote of 1,100 it is 93.50. The build's own rate goes before it.
@pytest.mark.parametrize(
    ("terms", "rate", "tax", "noted"),
    [
        ({}, "0", "93.50", {"rate": "0.085000"}),
        ({"quantity": Decimal(2), "unit_cost": "500"}, "0", "187.00", {"rate": "0.085000"}),
        ({"freight": Decimal(40)}, "0", "93.50", {"rate": "0.085000"}),
        ({}, "0.10", "110.00", None),
        ({"price_includes": "all"}, "0", "0.00", None),
        ({"tax": Decimal(0)}, "0", "0.00", None),
        ({"tax": None}, "0", "0.00", None),
    ],
)
def test_a_quote_without_tax_brings_the_rate_that_the_line_paid(
    terms: dict[str, Any], rate: str, tax: str, noted: dict[str, str] | None
) -> None:
    given: dict[str, Any] = {"unit_cost": "1000", "tax": Decimal(85), "replacement_unit_cost": Decimal(1100)} | terms
    quoted = part(**given | {"quoted_on": DAY})
    found = valued(quoted, indirect_costs=IndirectCosts(sales_tax_rate=Decimal(rate)))
    price = quoted.quantity * 1100 + quoted.freight
    assert str(found.totals.replacement_cost - price) == tax
    assert [note.parameters for note in found.notes if note.code == "quote_taxed_as_paid"] == (
        [] if noted is None else [noted]
    )


def test_a_quote_in_another_currency_and_of_an_earlier_month_brings_its_tax_too() -> None:
    """(1,100 + 85 x 1,100 / 1,000) x 1.2 euros to dollars x 110 / 100 of the index: 1,193.50 x 1.32 = 1,575.42."""
    months = {"prices": (IndexMonth(month="2024-06", value=TEN), IndexMonth(month="2026-06", value=Decimal(11)))}
    quoted = part(
        unit_cost="1000",
        tax=Decimal(85),
        currency="EUR",
        exchange_rate=Decimal("1.2"),
        replacement_unit_cost=Decimal(1100),
        quoted_on=date(2024, 6, 3),
        price_index="prices",
    )
    found = valued(quoted, price_indexes=months, options=Options(workings=True))
    assert str(found.totals.replacement_cost) == "1575.42"
    formula = next(working.formula for working in found.lines[0].workings if working.figure == "direct_cost")
    assert formula == "((1 x 1100 + 85 x 1100 / 1000) x 1.2) x 11 / 10 = 1575.42"


def test_the_tax_on_a_gift_gives_no_rate_for_its_quote() -> None:
    gift = part(unit_cost="0", tax=Decimal(5), replacement_unit_cost=Decimal(100), quoted_on=DAY)
    found = valued(gift)
    assert str(found.totals.replacement_cost) == "100.00"
    assert codes(found) == ["quote_without_tax"]


# An axle of 410 and 28.70 of tax, 7 percent: on the receipt, by the rate, by a quote taxed by it or as paid (26.60 on
# 380), in another currency at 2 to 1, by an index that doubled, by both. Overhead and profit are 41.00 each: 520.70.
@pytest.mark.parametrize(
    ("terms", "rate"),
    [
        ({"unit_cost": "410", "tax": Decimal("28.70")}, "0.07"),
        ({"unit_cost": "410", "tax": Decimal("28.70")}, "0"),
        ({"unit_cost": "410"}, "0.07"),
        (
            {"unit_cost": "380", "tax": Decimal("26.60"), "replacement_unit_cost": Decimal(410), "quoted_on": DAY},
            "0.07",
        ),
        ({"unit_cost": "380", "tax": Decimal("26.60"), "replacement_unit_cost": Decimal(410), "quoted_on": DAY}, "0"),
        ({"unit_cost": "205", "tax": Decimal("14.35"), "currency": "EUR", "exchange_rate": Decimal(2)}, "0.07"),
        ({"unit_cost": "205", "tax": Decimal("14.35"), "price_index": "doubled"}, "0.07"),
        (
            {
                "unit_cost": "100",
                "tax": Decimal(7),
                "currency": "EUR",
                "exchange_rate": Decimal(1),
                "replacement_unit_cost": Decimal("102.5"),
                "quoted_on": date(2024, 6, 3),
                "quoted_exchange_rate": Decimal(2),
                "price_index": "doubled",
            },
            "0",
        ),
    ],
)
@pytest.mark.parametrize(("compounded", "cost"), [(False, "520.70"), (True, "524.80")])
def test_the_same_purchase_costs_the_same_however_its_tax_is_stated(
    terms: dict[str, Any], rate: str, compounded: bool, cost: str
) -> None:
    """Compounded, profit is 45.10 on 410 and 41."""
    rates = IndirectCosts(
        overhead_rate=TEN_PERCENT, profit_rate=TEN_PERCENT, compounded=compounded, sales_tax_rate=Decimal(rate)
    )
    doubled = {"doubled": (IndexMonth(month="2022-06", value=TEN), IndexMonth(month="2026-06", value=2 * TEN))}
    axle = part(**terms | {"acquired_on": date(2022, 6, 15)})
    found = valued(axle, indirect_costs=rates, price_indexes=doubled)
    assert str(found.totals.replacement_cost) == cost
    assert str(found.indirect_costs.overhead_base) == "410.00"


def test_the_markup_that_is_withheld_is_counted_before_tax() -> None:
    """A flatbed of 4,000 and 360 of tax."""
    flatbed = part(unit_cost="4000", tax=Decimal(360), category="chassis")
    found = valued(flatbed, indirect_costs=IndirectCosts(overhead_rate=TEN_PERCENT))
    (note,) = (note for note in found.notes if note.code == "markup_withheld")
    assert note.parameters["amount"] == "4000.00"


# What bears sales tax when it is replaced, and does not carry it: material without tax, before its markup of 200. Work
# bears none, whoever does it, unless the build says that it is taxed.
@pytest.mark.parametrize(
    ("entry", "rate", "tax_labor", "untaxed"),
    [
        (part(unit_cost="915", tax=Decimal(85)), "0", False, "0.00"),
        (part(unit_cost="1000"), "0.1", False, "0.00"),
        (part(unit_cost="1000"), "0", False, "1000.00"),
        (part(unit_cost="1000", tax=Decimal(0)), "0.1", False, "1000.00"),
        (part(unit_cost="1000", price_includes="all"), "0", False, "0.00"),
        (part(unit_cost="1000", category="chassis"), "0.1", False, "0.00"),
        (part(unit_cost="500", tax=Decimal(40), replacement_unit_cost=Decimal(1000)), "0", False, "0.00"),
        (part(unit_cost="500", replacement_unit_cost=Decimal(1000), price_includes="all"), "0", False, "0.00"),
        (work(rate="100"), "0.1", False, "0.00"),
        (work(rate="100"), "0", False, "0.00"),
        (work(rate="100", hired=True), "0", False, "0.00"),
        (work(rate="100"), "0", True, "1000.00"),
        (work(rate="100"), "0.1", True, "0.00"),
        (work(rate="100", rate_includes="all"), "0", True, "0.00"),
    ],
)
def test_what_of_a_line_bears_tax_and_carries_none(
    entry: Component | Labor, rate: str, tax_labor: bool, untaxed: str
) -> None:
    terms = IndirectCosts(
        overhead_rate=TEN_PERCENT, profit_rate=TEN_PERCENT, sales_tax_rate=Decimal(rate), tax_labor=tax_labor
    )
    (line,) = valued(entry, indirect_costs=terms).lines
    assert str(line.untaxed_cost) == untaxed


def test_a_tax_of_zero_that_was_paid_counts_as_tax_paid() -> None:
    assert valued(part(tax=Decimal(0)), indirect_costs=IndirectCosts(sales_tax_rate=TEN_PERCENT)).totals.sales_tax == 0


def test_labor_is_taxed_by_choice() -> None:
    terms = IndirectCosts(sales_tax_rate=TEN_PERCENT, tax_labor=True)
    assert valued(work(), indirect_costs=terms).totals.sales_tax == 50


@pytest.mark.parametrize(
    ("basis", "tax", "lines"), [("line", "0.03", ["0.01"] * 3), ("total", "0.02", ["0.01", "0.01", "0.00"])]
)
def test_tax_is_rounded_by_line_or_on_the_total(basis: str, tax: str, lines: list[str]) -> None:
    terms = IndirectCosts(sales_tax_rate=Decimal("0.05"), sales_tax_basis="line" if basis == "line" else "total")
    found = valued(*(part(name, "0.13") for name in "abc"), indirect_costs=terms)
    assert str(found.totals.sales_tax) == tax
    assert [str(line.replacement_cost - line.direct_cost) for line in found.lines] == lines


@pytest.mark.parametrize(("basis", "profit"), [("markup", "20.00"), ("margin", "25.00")])
def test_a_margin_is_a_share_of_the_price(basis: str, profit: str) -> None:
    terms = IndirectCosts(profit_rate=Decimal("0.2"), profit_basis="markup" if basis == "markup" else "margin")
    found = valued(part(), indirect_costs=terms).totals
    assert str(found.profit) == profit
    share = found.profit / (found.replacement_cost if basis == "margin" else found.direct_cost)
    assert share == Decimal("0.2")


def test_the_answer_names_each_term_and_its_base() -> None:
    rates = IndirectCosts(
        overhead_rate=TEN_PERCENT, profit_rate=TEN_PERCENT, compounded=True, sales_tax_rate=TEN_PERCENT, tax_labor=False
    )
    terms = valued(
        part(unit_cost="500"), part("taxed", "100", tax=Decimal(8)), work(), indirect_costs=rates
    ).indirect_costs
    bases = (terms.overhead_base, terms.profit_base, terms.sales_tax_base)
    assert [str(base) for base in bases] == ["1100.00", "1210.00", "500.00"]
    assert (terms.overhead_rate, terms.compounded, terms.profit_basis) == (TEN_PERCENT, True, "markup")
    assert (terms.sales_tax_rate, terms.sales_tax_basis, terms.tax_labor) == (TEN_PERCENT, "line", False)


TAX = IndirectCosts(sales_tax_rate=Decimal("0.1"))


@pytest.mark.parametrize(
    ("place", "noted"),
    [
        ("US-CA", ["labor_tax_not_stated", "fabrication_labor_taxed", "repair_labor_not_taxed"]),
        ("US-WA", ["labor_tax_not_stated", "fabrication_labor_usually_taxed", "repair_labor_taxed"]),
        ("US-TX", ["labor_tax_not_stated", "fabrication_labor_usually_taxed", "repair_labor_unclear"]),
        ("US-CO", ["labor_tax_not_stated", "fabrication_labor_taxed"]),
        ("US-ID", ["labor_tax_not_stated", "fabrication_labor_taxed", "repair_labor_not_taxed_apart"]),
        ("US-AR", ["labor_tax_not_stated", "fabrication_labor_usually_taxed", "repair_labor_taxed"]),
        ("US-OR", ["no_general_sales_tax", "labor_tax_not_stated"]),
        ("CA-ON", ["labor_tax_not_stated"]),
        (None, ["labor_tax_not_stated"]),
    ],
)
def test_tax_on_labor_that_is_not_stated_is_noted_with_what_the_place_taxes(
    place: str | None, noted: list[str]
) -> None:
    found = valued(part(), work(hired=True), indirect_costs=TAX, jurisdiction=place)
    assert codes(found) == noted
    assert found.indirect_costs.tax_labor is None
    assert found.totals.replacement_cost == 610
    assert all(note.parameters["place"] == place for note in found.notes if "source" in note.parameters)


@pytest.mark.parametrize(("tax_labor", "replacement_cost"), [(True, 660), (False, 610)])
def test_tax_on_labor_that_is_stated_is_not_noted(*, tax_labor: bool, replacement_cost: int) -> None:
    terms = IndirectCosts(sales_tax_rate=Decimal("0.1"), tax_labor=tax_labor)
    found = valued(part(), work(hired=True), indirect_costs=terms, jurisdiction="US-CA")
    assert codes(found) == []
    assert found.totals.replacement_cost == replacement_cost


def test_no_tax_on_labor_is_noted_where_none_could_be() -> None:
    assert codes(valued(part(), work(hired=True), jurisdiction="US-OR")) == []
    assert codes(valued(part(), indirect_costs=TAX, jurisdiction="US-CA")) == []
    free, includes_all = work(rate="0", hired=True), work(hired=True, rate_includes="all")
    assert codes(valued(part(), free, indirect_costs=TAX, jurisdiction="US-CA")) == []
    assert codes(valued(part(), includes_all, indirect_costs=TAX, jurisdiction="US-CA")) == []
