"""Sales tax on a total loss: only on what of the settled value bears it and carries none."""

from datetime import date
from decimal import Decimal
from typing import Any

import msgspec
import pytest
from hypothesis import given
from msgspec.structs import replace

from coverage_strategies import ZERO, policies, surroundings
from hitchworth.appraisal import gap_statement
from hitchworth.coverage.claim import claim_of
from hitchworth.coverage.loss import LossContext
from hitchworth.coverage.outcomes import Outcomes
from hitchworth.model.build import Build
from hitchworth.model.estimate import EstimateLine
from hitchworth.model.loss import Loss
from hitchworth.model.policy import Policy
from hitchworth.model.request import GapRequest
from valued_builds import DAY, circumstances, known_policy, line, settle

FIRE = Loss(name="fire", peril="fire", extent="total", occurred_on=DAY)
NOW = replace(FIRE, occurred_on=None)
RATE = Decimal("0.085")
POLICY = known_policy(total_loss_tax_rate=RATE)


def taxed(name: str, cost: str, depreciation: str = "0", category: str = "body_panels") -> EstimateLine:
    """A line that carries its tax."""
    return line(name, category, cost, depreciation, untaxed_cost="0")


def tax(policy: Policy, *lines: EstimateLine, **terms: Any) -> tuple[str, str]:
    """The part of the value that is taxed, and the tax; nothing where none is added."""
    settlement = settle(policy, circumstances(terms.pop("loss", FIRE), *lines, **terms))
    (step,) = (step for step in settlement.steps if step.code == "total_loss_tax")
    return step.parameters["taxed"], str(step.amount)


def untaxed(policy: Policy, *lines: EstimateLine, **terms: Any) -> bool:
    """Whether no tax is added at all."""
    settlement = settle(policy, circumstances(FIRE, *lines, **terms))
    return all(step.code != "total_loss_tax" for step in settlement.steps)


def test_a_loss_that_carries_its_tax_is_not_taxed_again() -> None:
    """10,000 and 850 of tax on it: 10,850 is paid, and not 10,850 x 1.085 = 11,772.25."""
    assert settle(POLICY, circumstances(FIRE, taxed("body", "10850"))).payable == 10850
    assert untaxed(POLICY, taxed("body", "10850"))


# 10,850 with its tax and 2,000 of work without: 2,000 x 8.5 % = 170. The work worn by 10 %: 1,800 x 8.5 % = 153.
@pytest.mark.parametrize(
    ("wear", "of_work", "taxed_value", "amount"),
    [("0", "0", "2000.00", "170.00"), ("5425", "0", "2000.00", "170.00"), ("5425", "200", "1800.00", "153.00")],
)
def test_only_work_without_tax_is_taxed(wear: str, of_work: str, taxed_value: str, amount: str) -> None:
    policy = replace(POLICY, depreciates_labor=True)
    work = line("work", "labor", "2000", of_work, "labor")
    assert tax(policy, taxed("body", "10850", wear), work) == (taxed_value, amount)


def test_the_markup_of_a_line_wears_with_it() -> None:
    """10,000, 850 of tax and a markup of 2,000: 12,850. Worn by a fifth, 1,600 of the markup are left: x 8.5 %."""
    assert tax(POLICY, line("body", "body", "12850", "2570", untaxed_cost="2000")) == ("1600.00", "136.00")


def test_obsolescence_takes_of_both_parts_of_a_line() -> None:
    """The same, and a tenth of the 10,280 left is obsolete: 9,252, of it 1,440 of the markup: x 8.5 % = 122.40."""
    worn = line("body", "body", "12850", "3598", untaxed_cost="2000")
    obsolete = replace(worn, obsolescence=Decimal(1028))
    assert tax(POLICY, obsolete) == ("1440.00", "122.40")
    assert str(settle(POLICY, circumstances(FIRE, obsolete)).payable) == "9374.40"


def test_taxed_and_untaxed_lines_of_one_category_wear_apart() -> None:
    """1,000 with tax, worn by half, and 1,000 without, as new: the tax is on 1,000 and not on half of 1,500."""
    assert tax(POLICY, taxed("a", "1000", "500"), line("b", "body_panels", "1000")) == ("1000.00", "85.00")


# New: 8,850 with tax and 2,000 without: 10,850 + 170. Not replaced: 6,850 and 1,735 are left, 8,585 + 147.48.
@pytest.mark.parametrize(("replaced", "payable"), [(True, "11020.00"), (False, "8732.48")])
def test_replacement_cost_is_taxed_by_what_it_costs_and_not_by_what_it_is_worth(replaced: bool, payable: str) -> None:
    policy = replace(POLICY, basis="replacement_cost", depreciates_labor=True)
    lines = (taxed("body", "8850", "2000"), line("work", "labor", "2000", "265", "labor"))
    assert str(settle(policy, circumstances(replace(FIRE, replaced=replaced), *lines)).payable) == payable


# A market value carries no tax: 9,000 x 8.5 %. But no more than it costs to replace the trailer with its tax, 10,850:
# 10,500 and 350 of tax, on 350 / 0.085 = 4,117.65.
@pytest.mark.parametrize(("market", "expected"), [("9000", ("9000.00", "765.00")), ("10500", ("4117.65", "350.00"))])
@pytest.mark.parametrize("terms", [{"values_by": "market_value"}, {"basis": "market_value"}])
def test_a_market_value_is_taxed(terms: dict[str, Any], market: str, expected: tuple[str, str]) -> None:
    policy = replace(POLICY, **terms)
    assert tax(policy, taxed("body", "10850", "1000"), market_value=Decimal(market)) == expected


def test_a_market_value_above_the_replacement_cost_brings_no_tax_to_what_carries_it() -> None:
    lines = (taxed("body", "10850", "1000"), line("work", "labor", "1000", "0", "labor"))
    policy = replace(POLICY, values_by="market_value")
    assert tax(policy, *lines, market_value=Decimal(20000)) == ("1000.00", "85.00")


def test_market_value_without_one_is_taxed_as_actual_cash_value() -> None:
    policy = replace(POLICY, basis="market_value")
    assert untaxed(policy, taxed("body", "10850", "1000"))
    assert tax(policy, taxed("body", "10850", "1000"), line("work", "labor", "1000", "0", "labor"))[0] == "1000.00"


def test_the_price_of_a_plain_trailer_of_the_class_carries_no_tax_and_its_own_parts_do() -> None:
    by_class = replace(POLICY, settles_as="registered_class")
    lines = (taxed("flatbed", "4360", "0", "chassis"), taxed("body", "9000"))
    assert tax(by_class, *lines, verdict="mismatch", comparable_price="4000") == ("4000.00", "340.00")
    assert untaxed(by_class, *lines, verdict="mismatch")


def test_a_stated_amount_is_taxed_by_its_untaxed_part() -> None:
    """12,000 capped at 9,000: a quarter of it is work without tax, 2,250 x 8.5 % = 191.25."""
    policy = replace(POLICY, basis="stated_amount", amount=Decimal(9000))
    lines = (taxed("body", "9000"), line("work", "labor", "3000", "0", "labor"))
    assert tax(policy, *lines) == ("2250.00", "191.25")


def test_salvage_that_is_kept_is_not_taxed() -> None:
    """Of 10,000, half untaxed, 2,000 are kept: 5,000 x 8,000 / 10,000 = 4,000 are taxed."""
    kept = replace(FIRE, salvage_value=Decimal(2000), salvage_kept=True)
    half = line("body", "body", "10000", untaxed_cost="5000")
    assert tax(POLICY, half, loss=kept) == ("4000.00", "340.00")


# 11 NYCRR 216.7 and opinion 08-10-13 of 2008: the tax is computed on the full value, before salvage is deducted
@pytest.mark.parametrize(("place", "taxed_value"), [("US-NY", "5000.00"), ("US-CA", "4000.00"), ("US-OR", "4000.00")])
def test_in_new_york_the_tax_is_computed_before_salvage(place: str, taxed_value: str) -> None:
    kept = replace(FIRE, salvage_value=Decimal(2000), salvage_kept=True)
    half = line("body", "body", "10000", untaxed_cost="5000")
    found, _ = tax(POLICY, half, loss=kept, jurisdiction=place)
    assert found == taxed_value


def test_own_hours_that_do_not_count_are_not_taxed() -> None:
    lines = (line("work", "labor", "2000", "0", "labor"), taxed("body", "8000"))
    policy = replace(POLICY, counts_own_labor=False)
    assert untaxed(policy, *lines, own_labor=True)
    assert tax(policy, *lines, own_labor=False) == ("2000.00", "170.00")


def test_a_repair_has_the_part_of_its_line_that_carries_no_tax() -> None:
    """Half of a line of 3,000 of which 1,000 carries none."""
    half = Loss(name="hail", peril="hail", extent="partial", occurred_on=DAY, damage=())
    context = circumstances(half, line("body", "body", "3000", untaxed_cost="1000"))
    assert [each.untaxed for each in context.whole] == [100_000]


def test_the_parts_of_a_line_add_up_to_it() -> None:
    """A third of 100.01 carries none: its wear of 50.00 is split to the cent."""
    claim = claim_of(POLICY, circumstances(FIRE, line("body", "body", "100.01", "50.00", untaxed_cost="33.34")))
    assert [(each.replacement_cost, each.depreciation, each.untaxed) for each in claim.whole] == [
        (6667, 3334, 0),
        (3334, 1666, 3334),
    ]


# Material of 10,000 and its tax of 800, and 100 own hours at 100 that bear none: 20,800, and not 800 more. Where the
# build taxes a shop's work, the 800 are in the cost, or where it names no rate, beside it: 21,600 replace the trailer.
@pytest.mark.parametrize(
    ("terms", "payable", "cost"),
    [
        ({"sales_tax_rate": "0.08"}, "20800.00", "20800.00"),
        ({}, "20800.00", "20800.00"),
        ({"sales_tax_rate": "0.08", "tax_labor": True}, "21600.00", "21600.00"),
        ({"tax_labor": True}, "21600.00", "21600.00"),
    ],
)
def test_replacement_cost_never_pays_more_than_replacing(terms: dict[str, Any], payable: str, cost: str) -> None:
    body = {"id": "x", "description": "Body", "category": "body", "quantity": 1, "unit_cost": "10000", "tax": "800"}
    hours = {"id": "w", "task": "own", "hours": 100, "rate": 0, "market_rate": 100, "performed_on": "2026-11-15"}
    build = {
        "name": "n",
        "currency": "USD",
        "jurisdiction": "US-NY",
        "indirect_costs": terms,
        "components": [body | {"acquired_on": "2026-11-15"}],
        "labor": [hours],
    }
    policy = known_policy(basis="replacement_cost", total_loss_tax_rate=Decimal("0.08"))
    request = GapRequest(build=msgspec.convert(build, Build, strict=False), policies=(policy,), losses=(NOW,))
    (found,) = gap_statement(request, date(2026, 11, 15)).settlements
    assert (str(found.payable), str(found.replacement_cost), str(found.gap)) == (payable, cost, "0.00")
    assert sum(part.amount for part in found.gap_breakdown) == found.gap


# 10,000 without tax, 850 of it, worn by 3,000: 7,595 with tax are left. Spent with tax: 9,000; what is left is paid at
# least; for 20,000, no more than 10,850.
@pytest.mark.parametrize(
    ("spent", "payable"), [("9000", "9000"), ("7100", "7595"), ("100", "7595"), ("20000", "10850")]
)
def test_what_was_spent_includes_its_tax(spent: str, payable: str) -> None:
    policy = replace(POLICY, basis="replacement_cost")
    loss = replace(FIRE, amount_spent=Decimal(spent))
    assert settle(policy, circumstances(loss, line("body", "body", "10000", "3000"))).payable == Decimal(payable)


def test_a_plain_trailer_with_its_tax_is_paid_with_no_more_than_the_trailer_costs() -> None:
    """A plain one of 4,000 and 340 of tax against what was built for 4,100, its tax included."""
    by_class = replace(POLICY, settles_as="registered_class")
    lines = (taxed("body", "4100"),)
    assert tax(by_class, *lines, verdict="mismatch", comparable_price="4000") == ("1176.47", "100.00")


@given(surroundings(), policies())
def test_tax_never_pays_more_than_replacing_the_trailer_with_its_tax(around: LossContext, policy: Policy) -> None:
    if policy.basis != "agreed_value" and around.verdict != "undetermined":
        policy = replace(policy, total_loss_fees=ZERO, settles_as="built_use", total_loss_tax_rate=RATE)
        _, account = Outcomes(policy, around).settle({})
        without = sum(each.untaxed for each in around.whole)
        whole = sum(each.replacement_cost for each in around.whole)
        assert account.running <= whole + without * RATE + Decimal("0.5")
