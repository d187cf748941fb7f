"""Workings of a quote: every formula comes to its figure, and nothing is shown unless it is asked for."""

import re
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest

from hitchworth.model.indirect_costs import IndirectCosts
from hitchworth.model.pricing import (
    Contingency,
    Discount,
    KindMarkup,
    Payment,
    QuoteAllowance,
    QuoteTax,
    Retainage,
    ShopRate,
    TaxTreatment,
    WasteAllowance,
)
from hitchworth.model.quote import Quote, QuoteWorking
from quotes import D, camper, part, quoted, rates, work

TAX = QuoteTax(
    rate=D("0.06"),
    treatments=(
        TaxTreatment(kind="materials", taxed=True),
        TaxTreatment(kind="fabrication", taxed=True, rate=D("0.02")),
        TaxTreatment(kind="repair", taxed=True, rate=D("0.02")),
        TaxTreatment(kind="installation", taxed=True, rate=D("0.02")),
    ),
)
ENTRIES = (
    part("sheet", "74.50", 11, freight=D(60)),
    part("axle", 440, category="axle", price_includes="overhead"),
    part("kit", 300, category="kit", price_includes="overhead_and_profit"),
    work("cut", 10),
)
TERMS: dict[str, Any] = {
    "waste": (WasteAllowance(category="body", rate=D("0.10"), whole_units=True),),
    "shop_rates": (ShopRate(rate=D(80), includes="nothing"),),
    "markup": rates("0.10", "0.15", profit_basis="margin"),
    "contingency": Contingency(rate=D("0.05")),
    "discount": Discount(reason="friend", rate=D("0.02")),
    "payments": (Payment(milestone="a", share=D("0.3")), Payment(milestone="b")),
    "retainage": Retainage(rate=D("0.05"), released="later"),
    "allowances": (QuoteAllowance(id="lamp", description="Lamp", amount=D(50)),),
    "tax": TAX,
}


def worked() -> Quote:
    return quoted(*ENTRIES, workings=True, **TERMS)


def of_line(name: str, found: Quote | None = None) -> dict[str, str]:
    line = next(line for line in (found or worked()).lines if line.id == name)
    return {working.figure: working.formula for working in line.workings}


def value(formula: str) -> Fraction:
    """The value of the left side, worked out exactly."""
    text = re.sub(r"(\d+(?:\.\d+)?)", r"Fraction('\1')", formula.partition(" = ")[0]).replace(" x ", " * ")
    return Fraction(eval(text, {"Fraction": Fraction}))


def test_without_asking_there_are_none() -> None:
    found = quoted(*ENTRIES, **TERMS)
    assert found.workings == ()
    assert {line.workings for line in found.lines} == {()}


def test_a_line_is_worked_out_in_its_order() -> None:
    # 13 x 74.50 + 60 = 1,028.50; 1.1 / 0.85 - 1.1 = 0.194117647059 of it is profit.
    assert of_line("sheet") == {
        "quantity": "11 x (1 + 0.10) = 12.10, 13",
        "direct_cost": "13 x 74.50 + 60 = 1028.50",
        "overhead": "1028.50 x 0.1 = 102.85",
        "profit": "1028.50 x 0.194117647059 = 199.65",
        "price": "1028.50 + 102.85 + 199.65 = 1331.00",
        "discount": f"{worked().totals.discount} x 1331.00 / {worked().totals.price} = 26.62",
        "tax": "1304.38 x 0.06 = 78.26",
    }


def test_a_line_shows_only_what_it_bears() -> None:
    # With overhead inside, profit is 0.15 / 0.85 of the price without it.
    axle, kit, cut, lamp = (of_line(name) for name in ("axle", "kit", "cut", "lamp"))
    assert "overhead" not in axle
    assert axle["profit"].startswith("440.00 x 0.176470588235 = ")
    assert list(kit) == ["direct_cost", "price", "discount", "tax"]
    assert cut["direct_cost"] == "10 x 80 = 800.00"
    assert "quantity" not in cut
    assert list(lamp) == ["price", "discount", "tax"]


def test_exact_waste_and_a_lump_sum_of_freight_are_shown() -> None:
    waste = (WasteAllowance(category="body", rate=D("0.1")),)
    build = camper(part("sheet", 10, 10), indirect_costs=IndirectCosts(freight_lump_sum=D(7)))
    found = of_line("sheet", quoted(build=build, waste=waste, workings=True))
    assert found["quantity"] == "10 x (1 + 0.1) = 11.0"
    assert found["direct_cost"] == "11.0 x 10 + 7.00 = 117.00"
    assert set(found) == {"quantity", "direct_cost", "price"}


def test_the_whole_is_worked_out_in_its_order() -> None:
    found = worked()
    totals = found.totals
    shown = [(each.figure, each.formula) for each in found.workings]
    assert [figure for figure, _ in shown] == [
        "overhead",
        "profit",
        "contingency",
        "discount",
        "tax",
        "total",
        "payment",
        "retained",
    ]
    formulas = dict(shown)
    # Material without overhead 1,028.50, labor 800; with overhead inside 440.
    assert formulas["overhead"] == f"1028.50 x 0.10 + 800.00 x 0.10 = {totals.overhead}"
    assert formulas["profit"] == (
        f"1028.50 x 0.194117647059 + 440.00 x 0.176470588235 + 800.00 x 0.194117647059 = {totals.profit}"
    )
    assert formulas["total"] == (
        f"{totals.price} - {totals.discount} + {totals.contingency} + {totals.tax} = {totals.total}"
    )
    assert formulas["payment"] == f"{totals.total} x 0.3 = {found.payments[0].amount}"
    assert formulas["retained"] == f"{found.payments[1].amount} x 0.05 = {found.payments[1].retained}"


def every(found: Quote) -> list[QuoteWorking]:
    return [*found.workings, *(working for line in found.lines for working in line.workings)]


def test_every_formula_comes_to_its_figure() -> None:
    for working in every(worked()):
        result = Decimal(working.formula.rpartition("= ")[2].partition(",")[0])
        # Within a cent: a line's part of a total that was rounded once may differ by that.
        assert abs(value(working.formula) - Fraction(result)) <= Fraction("0.01"), working


def test_amounts_that_were_given_have_no_formula() -> None:
    found = quoted(
        part("a", 10),
        contingency=Contingency(amount=D(5)),
        discount=Discount(reason="x", amount=D(1)),
        payments=(Payment(milestone="a", amount=D(14)),),
        workings=True,
    )
    assert [each.figure for each in found.workings] == ["total"]


def test_tax_by_line_is_worked_out_with_the_lines() -> None:
    by_line = QuoteTax(rate=D("0.06"), treatments=TAX.treatments, basis="line")
    found = quoted(part("a", 10), tax=by_line, workings=True)
    assert [each.figure for each in found.workings] == ["total"]
    assert of_line("a", found)["tax"] == "10.00 x 0.06 = 0.60"


@pytest.mark.parametrize(
    ("markup", "formula"),
    [
        (rates("0.2", overhead_basis="margin"), "80.00 x 0.25 = 20.00"),
        (rates("0.20"), "80.00 x 0.20 = 16.00"),
    ],
)
def test_a_margin_is_shown_as_a_share_of_cost(markup: Any, formula: str) -> None:
    found = quoted(part("a", 80), markup=markup, workings=True)
    assert [each.formula for each in found.workings if each.figure == "overhead"] == [formula]


def test_kinds_of_cost_with_rates_of_their_own_are_added_up() -> None:
    found = quoted(
        part("a", 100),
        work("b", 1, 50),
        work("c", 1, 10, hired=True),
        markups=(KindMarkup(kind="material", overhead_rate=D("0.1")), KindMarkup(kind="labor", overhead_rate=D("0.2"))),
        workings=True,
    )
    assert [each.formula for each in found.workings if each.figure == "overhead"] == [
        "100.00 x 0.1 + 50.00 x 0.2 = 20.00"
    ]
