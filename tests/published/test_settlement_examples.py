"""Settlements against published worked examples and rules. The source stands beside each check."""

from datetime import date
from decimal import Decimal

import pytest
from msgspec.structs import replace

from hitchworth.model.loss import Damage, Loss
from valued_builds import DAY, circumstances, dollars, known_policy, line, settle

FIRE = Loss(name="fire", peril="fire", extent="total", occurred_on=DAY)


def test_replacement_cost_against_actual_cash_value() -> None:
    # NAIC Consumer Insight 2021-07-22: damage 15,000, deductible 1,000, depreciation 10,000: 14,000 or 4,000.
    around = circumstances(FIRE, line("roof", "roof", "15000", "10000"))
    new = known_policy(
        "p",
        basis="replacement_cost",
        deductible=Decimal(1000),
        settles_as="built_use",
        depreciates_labor=False,
    )
    assert settle(new, around).payable == 14000
    worn = settle(replace(new, basis="actual_cash_value"), around)
    assert (worn.payable, worn.gap) == dollars(4000, 11000)


def test_household_article_at_actual_cash_value() -> None:
    # Consumer article: replacement cost 1,200, age 3 of life 10, so 30 % = 360 off: 840.
    around = circumstances(FIRE, line("television", "electronics", "1200", "360"))
    policy = known_policy("p", basis="actual_cash_value", settles_as="built_use", depreciates_labor=False)
    assert settle(policy, around).payable == 840


@pytest.mark.parametrize(
    ("order", "value", "rate", "carried", "loss", "deductible", "paid"),
    [
        # Q&A reprint of the standard property form's example 1: 19,750 [the last subtraction from memory].
        (("coinsurance", "deductible", "limit"), 250_000, "0.8", 100_000, 40_000, 250, "19750.00"),
        # Case study: value 300,000, 80 %, carried 200,000, loss 150,000: 125,000 before the deductible.
        (("coinsurance", "deductible", "limit"), 300_000, "0.8", 200_000, 150_000, 0, "125000.00"),
        # 80,000 carried of 96,000 required, loss 50,000, deductible 1,000: the order of the two steps matters.
        (("coinsurance", "deductible", "limit"), 120_000, "0.8", 80_000, 50_000, 1000, "40666.67"),
        (("deductible", "coinsurance", "limit"), 120_000, "0.8", 80_000, 50_000, 1000, "40833.33"),
    ],
)
def test_coinsurance(  # noqa: PLR0917 - one argument a column of the table
    order: tuple[str, ...], value: int, rate: str, carried: int, loss: int, deductible: int, paid: str
) -> None:
    partial = Loss(
        name="hail", peril="hail", extent="partial", occurred_on=DAY, damage=(Damage(id="hit", fraction=Decimal(1)),)
    )
    around = circumstances(partial, line("hit", "body", str(loss)), line("spared", "body", str(value - loss)))
    policy = known_policy(
        "p",
        basis="replacement_cost",
        limit=Decimal(carried),
        total_loss_threshold=Decimal(1),
        deductible=Decimal(deductible),
        coinsurance_rate=Decimal(rate),
        settles_as="built_use",
        depreciates_labor=False,
        order=order,
    )
    assert settle(policy, around).payable == Decimal(paid)


@pytest.mark.parametrize(("depreciates_labor", "paid"), [(False, 1200), (True, 960)])
def test_labor_depreciation(depreciates_labor: bool, paid: int) -> None:
    # 10 CCR 2695.9(f)(1) (California): labor is no part of physical depreciation. Material 1,000 at 40 %, labor 600:
    # 600 + 600 = 1,200; where labor is depreciated, 0.6 x 1,600 = 960.
    around = circumstances(
        FIRE, line("panel", "body", "1000", "400"), line("fit panel", "labor", "600", "240", "labor")
    )
    policy = known_policy("p", basis="actual_cash_value", settles_as="built_use", depreciates_labor=depreciates_labor)
    assert settle(policy, around).payable == paid


def test_sales_tax_on_a_total_loss() -> None:
    # 10 CCR 2695.8(b)(1) (California): value 10,000 with tax at 9.25 %, deductible 500: 10,425.
    around = circumstances(FIRE, line("trailer", "body", "12000", "2000"))
    policy = known_policy(
        "p",
        basis="actual_cash_value",
        deductible=Decimal(500),
        total_loss_tax_rate=Decimal("0.0925"),
        settles_as="built_use",
        depreciates_labor=False,
    )
    assert settle(policy, around).payable == 10425


def test_stated_amount_pays_the_least() -> None:
    # Rule of the stated-amount endorsement: the least of stated amount, cost to repair and actual cash value.
    around = circumstances(FIRE, line("trailer", "body", "30000", "12000"))
    policy = known_policy(
        "p",
        basis="stated_amount",
        amount=Decimal(25000),
        deductible=Decimal(500),
        settles_as="built_use",
        depreciates_labor=False,
    )
    assert settle(policy, around).payable == 17500


def test_agreed_value_pays_the_agreed_figure() -> None:
    # Rule of agreed-value cover: the agreed figure at a total loss, no depreciation, less the deductible.
    around = circumstances(FIRE, line("trailer", "body", "30000", "12000"))
    policy = known_policy("p", basis="agreed_value", amount=Decimal(25000), deductible=Decimal(500))
    assert settle(policy, around).payable == 24500


def test_limit_caps_what_the_deductible_leaves() -> None:
    # The deductible comes off the loss, the limit caps the rest (valuation practice; common property wording).
    around = circumstances(FIRE, line("trailer", "body", "20000"))
    policy = known_policy(
        "p",
        basis="replacement_cost",
        limit=Decimal(15000),
        deductible=Decimal(1000),
        settles_as="built_use",
        depreciates_labor=False,
    )
    assert settle(policy, around).payable == 15000


def test_no_tax_on_salvage_that_is_kept() -> None:
    # 10 CCR 2695.8(b)(1)(A) (California): the tax is less by that on the salvage. Value 10,000 at 10 %, salvage 2,000
    # kept, deductible 500: 10,000 + 800 - 500 - 2,000 = 8,300.
    kept = replace(FIRE, salvage_value=Decimal(2000), salvage_kept=True)
    policy = known_policy(
        "p",
        basis="actual_cash_value",
        deductible=Decimal(500),
        total_loss_tax_rate=Decimal("0.1"),
        settles_as="built_use",
        depreciates_labor=False,
    )
    assert settle(policy, circumstances(kept, line("trailer", "body", "10000"))).payable == 8300


def test_replacement_cost_pays_no_more_than_was_spent() -> None:
    # General dictionary of finance, replacement cost: RCV 20,000, ACV 15,000, spent 17,000: 17,000 in all.
    policy = known_policy("p", basis="replacement_cost", settles_as="built_use", depreciates_labor=False)
    spent = replace(FIRE, amount_spent=Decimal(17000))
    settlement = settle(policy, circumstances(spent, line("trailer", "body", "20000", "5000")))
    assert (settlement.payable_now, settlement.recoverable_depreciation) == dollars(15000, 2000)


@pytest.mark.parametrize(("salvage", "extent"), [(500, "partial"), (2500, "total")])
def test_total_loss_formula(salvage: int, extent: str) -> None:
    # A claims consultancy's worked example: repair + salvage against the actual cash value. Value 10,000, repair 7,500:
    # with salvage of 500 it is 8,000 < 10,000, no total loss. With 2,500 it is one [computed from the same rule].
    hit = Loss(
        name="hit",
        peril="collision",
        extent="partial",
        occurred_on=DAY,
        damage=(Damage(id="crushed", fraction=Decimal(1)),),
        salvage_value=Decimal(salvage),
    )
    around = circumstances(hit, line("crushed", "body", "7500"), line("spared", "body", "2500"))
    policy = known_policy("p", basis="actual_cash_value", settles_as="built_use", depreciates_labor=False)
    assert settle(policy, around).extent == extent


def test_the_insured_who_keeps_the_salvage_is_paid_its_value_less() -> None:
    # 44 CFR part 61, appendix A(1) (standard flood policy), salvage clause: the insured may keep damaged property, and
    # the payment is reduced by its salvage value. [computed]: value 18,000, deductible 500, wreck 1,200: 16,300.
    kept = replace(FIRE, salvage_value=Decimal(1200), salvage_kept=True)
    policy = known_policy(
        "p",
        basis="actual_cash_value",
        deductible=Decimal(500),
        settles_as="built_use",
        depreciates_labor=False,
    )
    around = circumstances(kept, line("trailer", "body", "30000", "12000"))
    assert settle(policy, around).payable == 16300
    left = circumstances(replace(kept, salvage_kept=False), line("trailer", "body", "30000", "12000"))
    assert settle(policy, left).payable == 17500


def test_what_is_held_back_is_paid_once_replaced_within_the_days() -> None:
    # 44 CFR part 61, appendix A(1), loss settlement: actual cash value first, the rest within 180 days of the loss.
    # NAIC figures: 15,000 new, 10,000 of wear, 1,000 deductible: 4,000 now, 10,000 later.
    policy = known_policy(
        "p",
        basis="replacement_cost",
        deductible=Decimal(1000),
        holdback=True,
        holdback_days=180,
        settles_as="built_use",
        depreciates_labor=False,
    )
    found = settle(policy, circumstances(FIRE, line("roof", "roof", "15000", "10000")))
    assert (found.payable_now, found.recoverable_depreciation) == dollars(4000, 10000)
    assert found.recoverable_until == date(2027, 4, 30)
