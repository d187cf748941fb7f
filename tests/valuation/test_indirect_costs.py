"""Overhead, profit and sales tax, and each line's part of them."""

from decimal import Decimal

import pytest

from hitchworth.model.build import IndirectCosts
from valuation_parts import part, valued, work

TEN_PERCENT = Decimal("0.10")


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
    assert [str(base) for base in bases] == ["1108.00", "1218.80", "500.00"]
    assert (terms.overhead_rate, terms.compounded, terms.profit_basis) == (TEN_PERCENT, True, "markup")
    assert (terms.sales_tax_rate, terms.sales_tax_basis, terms.tax_labor) == (TEN_PERCENT, "line", False)
