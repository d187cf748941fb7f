"""Settlements: what each basis pays, step by step, and properties that hold for every policy and loss."""

from decimal import Decimal
from typing import Any

from hypothesis import given
from msgspec.structs import replace

from coverage_strategies import money, policies, surroundings
from hitchworth.coverage.loss import LossContext
from hitchworth.model.loss import Damage, Loss
from hitchworth.model.policy import Policy, Sublimit
from valued_builds import DAY, circumstances, dollars, known_policy, line, settle

ZERO = Decimal(0)
THEFT = Loss(name="theft", peril="theft", extent="total", occurred_on=DAY)
CHASSIS = line("frame", "chassis", "3000", "600")
BODY = line("panels", "body_panels", "8000", "800")
WORK = line("build it", "labor", "9000", "900", "labor")


def test_class_value_of_a_total_loss() -> None:
    # 20,000 to replace; a plain trailer of the class is 2,500, worn like the frame (600 of 3,000), deductible 500.
    around = circumstances(THEFT, CHASSIS, BODY, WORK, verdict="mismatch", comparable_price="2500")
    policy = known_policy("auto", basis="actual_cash_value", settles_as="registered_class", deductible=Decimal(500))
    settlement = settle(policy, around)
    assert [(step.code, str(step.amount), str(step.running)) for step in settlement.steps] == [
        ("replacement_cost_new", "20000.00", "20000.00"),
        ("class_value", "-17500.00", "2500.00"),
        ("depreciation", "-500.00", "2000.00"),
        ("deductible", "-500.00", "1500.00"),
    ]
    assert {part.cause: part.amount for part in settlement.gap_breakdown} == {
        "class": 17500,
        "depreciation": 500,
        "deductible": 500,
    }


def test_a_plain_trailer_that_costs_as_much_but_is_worth_less_is_what_is_owed() -> None:
    # Built for 5,000: a frame of 4,000, a fifth worn, and a new panel of 1,000: 4,200. A plain trailer of 5,000, worn
    # like the frame: 4,000. One of 5,001 costs more than what was lost, so that is owed.
    lines = (line("frame", "chassis", "4000", "800"), line("panel", "body_panels", "1000"))
    policy = known_policy("auto", settles_as="registered_class")
    for price, paid in (("5000", 4000), ("5001", 4200), ("4999", 3999)):
        around = circumstances(THEFT, *lines, verdict="mismatch", comparable_price=price)
        assert round(settle(policy, around).payable) == paid


def test_class_means_nothing_where_class_and_use_match() -> None:
    policy = known_policy("auto", basis="replacement_cost", settles_as="registered_class", depreciates_labor=False)
    assert settle(policy, circumstances(THEFT, CHASSIS, BODY, WORK, verdict="match")).payable == 20000


def test_partial_loss_by_class_pays_only_what_the_plain_trailer_has() -> None:
    hail = Loss(
        name="hail",
        peril="hail",
        extent="partial",
        occurred_on=DAY,
        damage=(Damage(category="body_panels", fraction=Decimal("0.5")), Damage(id="frame", fraction=Decimal("0.1"))),
    )
    policy = known_policy("auto", basis="replacement_cost", settles_as="registered_class", depreciates_labor=False)
    settlement = settle(policy, circumstances(hail, CHASSIS, BODY, WORK, verdict="mismatch"))
    assert (settlement.replacement_cost, settlement.payable) == dollars(4300, 300)


def test_held_back_depreciation_comes_with_replacement() -> None:
    policy = known_policy(
        "rv", basis="replacement_cost", settles_as="built_use", depreciates_labor=False, holdback=True
    )
    around = circumstances(THEFT, CHASSIS, BODY)
    settlement = settle(policy, around)
    assert (settlement.payable_now, settlement.recoverable_depreciation, settlement.payable) == dollars(
        9600, 1400, 11000
    )
    not_replaced = settle(policy, circumstances(replace(THEFT, replaced=False), CHASSIS, BODY))
    assert (not_replaced.payable_now, not_replaced.recoverable_depreciation, not_replaced.gap) == dollars(9600, 0, 1400)


def test_sublimit_caps_its_category() -> None:
    policy = known_policy(
        "rv",
        basis="actual_cash_value",
        settles_as="built_use",
        depreciates_labor=True,
        sublimits=(Sublimit(category="body_panels", amount=Decimal(5000)),),
    )
    settlement = settle(policy, circumstances(THEFT, CHASSIS, BODY, WORK))
    # 20,000 - 1,400 - 900 = 17,700; the panels' 7,200 are capped at 5,000.
    assert settlement.payable == 15500
    assert settlement.steps[-1].parameters == {"category": "body_panels", "most": "5000.00"}


def test_excluded_peril_pays_nothing() -> None:
    policy = known_policy("rv", basis="agreed_value", amount=Decimal(9000), excluded_perils=("theft",))
    settlement = settle(policy, circumstances(THEFT, CHASSIS, BODY))
    assert (settlement.payable, settlement.gap) == dollars(0, 11000)
    assert [part.cause for part in settlement.gap_breakdown] == ["exclusion"]


def test_agreed_value_above_the_cost_is_paid_and_shown() -> None:
    policy = known_policy("agreed", basis="agreed_value", amount=Decimal(12000))
    settlement = settle(policy, circumstances(THEFT, CHASSIS, BODY))
    assert (settlement.payable, settlement.gap) == dollars(12000, -1000)
    assert sum(part.amount for part in settlement.gap_breakdown) == -1000


def test_amounts_finer_than_the_currency_are_rounded() -> None:
    policy = known_policy(
        "p", basis="replacement_cost", settles_as="built_use", depreciates_labor=False, deductible=Decimal("0.005")
    )
    assert settle(policy, circumstances(THEFT, CHASSIS)).payable == Decimal("2999.99")


@given(surroundings(), policies())
def test_waterfall_closes_and_steps_add_up(around: LossContext, policy: Policy) -> None:
    settlement = settle(policy, around)
    assert sum((part.amount for part in settlement.gap_breakdown), ZERO) == settlement.gap
    assert sum((step.amount for step in settlement.steps), ZERO) == settlement.payable
    assert settlement.payable_now + settlement.recoverable_depreciation == settlement.payable
    assert settlement.payable_now >= 0
    assert settlement.recoverable_depreciation >= 0


@given(surroundings(), policies(), money)
def test_a_bigger_deductible_never_pays_more(around: LossContext, policy: Policy, more: Decimal) -> None:
    bigger = replace(policy, deductible=(policy.deductible or ZERO) + more)
    assert settle(bigger, around).payable <= settle(policy, around).payable


@given(surroundings(), policies(), money)
def test_more_limit_never_pays_less(around: LossContext, policy: Policy, more: Decimal) -> None:
    less = replace(policy, limit=ZERO if policy.limit is None else policy.limit)
    greater = replace(less, limit=(less.limit or ZERO) + more)
    assert settle(greater, around).payable >= settle(less, around).payable


@given(surroundings(), policies())
def test_no_more_is_paid_than_was_lost(around: LossContext, policy: Policy) -> None:
    """But for an agreed value, which is paid as agreed. Replacing a total loss bears tax and fees too."""
    if policy.basis != "agreed_value":
        settlement = settle(policy, around)
        assert settlement.payable <= settlement.replacement_cost
        assert settlement.gap >= 0


@given(surroundings(), policies())
def test_a_partial_loss_by_class_pays_no_more_than_a_total_one(around: LossContext, policy: Policy) -> None:
    by_class = replace(policy, settles_as="registered_class", basis="actual_cash_value", total_loss_tax_rate=ZERO)
    every = replace(by_class, deductible=ZERO, coinsurance_rate=ZERO, sublimits=())
    # Salvage comes off a total loss alone, so none is kept here.
    loss = replace(around.loss, extent="total", damage=(), salvage_kept=False)
    total = replace(around, loss=loss, lost=around.whole)
    assert settle(every, around).payable <= settle(every, total).payable


def peril_notes(peril: str, **terms: Any) -> list[tuple[str, str, dict[str, str]]]:
    loss = Loss(name="the loss", peril=peril, extent="total")
    notes = settle(known_policy(**terms), circumstances(loss, line("body", "body_panels", "1000"))).notes
    return [
        (note.about, note.parameters["peril"], note.parameters) for note in notes if note.code == "peril_not_listed"
    ]


def test_a_misspelled_peril_is_noted_with_near_names() -> None:
    ((about, peril, parameters),) = peril_notes("thetf")
    assert (about, peril, parameters["similar"]) == ("the loss", "thetf", "theft")


def test_a_peril_that_is_listed_or_that_the_policy_names_is_not_noted() -> None:
    assert peril_notes("Theft") == peril_notes("meteorite") == []
    assert peril_notes("thetf", covers_perils={"Thetf": True}) == peril_notes("thetf", excluded_perils=("thetf",)) == []
