"""What is covered at all: damage, the peril, the situation, and the time of construction."""

from datetime import date
from decimal import Decimal

import pytest
from msgspec.structs import replace

from hitchworth.coverage.claim import DAMAGE_TERMS
from hitchworth.coverage.outcomes import Outcomes
from hitchworth.model.loss import Expense, Loss, Situation
from hitchworth.model.policy import Allowance, Basis, Policy, PolicyKind
from hitchworth.model.settlement import Settlement
from valued_builds import DAY, circumstances, dollars, known_policy, line, settle

FIRE = Loss(name="fire", peril="fire", extent="total", occurred_on=DAY)
LINES = (line("frame", "chassis", "3000", "600"), line("panels", "body_panels", "8000", "800"))
"""11,000 to replace, 9,600 after depreciation."""

WORTH = 9600
POLICY = known_policy()


def settled(policy: Policy, loss: Loss = FIRE) -> Settlement:
    return settle(policy, circumstances(loss, *LINES))


def causes(settlement: Settlement) -> dict[str, Decimal]:
    return {part.cause: part.amount for part in settlement.gap_breakdown}


def assumed(settlement: Settlement) -> list[tuple[str, str]]:
    return [(note.code, note.parameters["value"]) for note in settlement.assumed]


def by_peril(peril: str) -> Loss:
    return replace(FIRE, name=peril, peril=peril)


def test_a_policy_for_liability_only_pays_nothing() -> None:
    found = settled(replace(POLICY, covers_damage=False))
    assert (found.payable, found.gap) == dollars(0, 11000)
    assert causes(found) == {"exclusion": 11000}
    assert [step.code for step in found.steps] == ["replacement_cost_new", "liability_only"]
    assert found.assumed == ()


def test_liability_only_goes_before_an_agreed_value() -> None:
    agreed = replace(POLICY, covers_damage=False, basis="agreed_value", amount=Decimal(20000))
    assert settled(agreed).payable == 0


def test_nothing_is_known_of_damage() -> None:
    # At worst the trailer is insured for liability only: 0. At best as everything else is known: 9,600.
    found = settled(Policy(name="p", without=POLICY.without))
    assert found.payable == 0
    assert assumed(found) == [("assumed_covers_damage", "false")]
    at_best = Outcomes(Policy(name="p", without=POLICY.without), circumstances(FIRE, *LINES)).best
    assert at_best["covers_damage"] is True


@pytest.mark.parametrize("term", DAMAGE_TERMS)
def test_a_policy_that_says_how_it_pays_covers_damage(term: str) -> None:
    known = replace(POLICY, amount=Decimal(1), limit=Decimal(1), custom_equipment_limit=Decimal(1))
    stated = {term: getattr(known, term)}
    found = settled(Policy(name="p", **stated))
    assert "assumed_covers_damage" not in {note.code for note in found.assumed}
    assert "damage_cover_implied" in {note.code for note in found.notes}


def test_what_implies_damage() -> None:
    # By hand: the terms by which damage is paid. A peril, a lender or a premium belong to liability as well.
    assert set(DAMAGE_TERMS) == {
        *("basis", "amount", "limit", "deductible", "coinsurance_rate", "sublimits", "settles_as"),
        *("depreciates_labor", "holdback", "total_loss_tax_rate", "values_by", "counts_own_labor"),
        *("custom_equipment_limit", "peril_deductibles"),
    }
    silent = Policy(name="p", lender="a bank", annual_premium=Decimal(100), kind="commercial")
    assert "assumed_covers_damage" in {note.code for note in settled(silent).assumed}


def test_that_damage_is_covered_is_no_note_where_the_policy_says_so() -> None:
    assert settled(POLICY).notes == ()


@pytest.mark.parametrize(("kind", "paid"), [("scheduled_property", WORTH), ("commercial", 0), (None, 0)])
def test_property_forms_cover_damage(kind: PolicyKind | None, paid: int) -> None:
    # A policy that says nothing, answered for the rest as the plainest one.
    silent = replace(POLICY, covers_damage=None, kind=kind, **dict.fromkeys(DAMAGE_TERMS))
    outcomes = Outcomes(silent, circumstances(FIRE, *LINES))
    assert (outcomes.settle(outcomes.worst)[1].covered, outcomes.stake("covers_damage") > 0) == (paid > 0, paid == 0)


def test_what_is_said_of_the_single_peril_goes_before_the_list() -> None:
    # theft is on the list of exclusions, and bought back; fire is not on it, and carved out
    policy = replace(POLICY, excluded_perils=("theft",), covers_perils={"theft": True, "fire": False})
    assert settled(policy, by_peril("theft")).payable == WORTH
    found = settled(policy)
    assert found.payable == 0
    assert causes(found) == {"exclusion": 11000}
    assert found.steps[-1].code == "exclusion"
    assert found.steps[-1].parameters == {"peril": "fire"}
    assert settled(policy, by_peril("hail")).payable == WORTH


@pytest.mark.parametrize(
    ("written", "named", "covered"),
    [
        ("windstorm", "wind", False),
        ("Tornado", "Wind Storm", True),  # two words are no other name of it
        ("hail", "wind", True),
        ("burglary", "THEFT", False),
        ("overturn", "collision", False),
    ],
)
def test_a_peril_by_another_name_is_the_same(written: str, named: str, *, covered: bool) -> None:
    paid = WORTH if covered else 0
    assert settled(replace(POLICY, excluded_perils=(named,)), by_peril(written)).payable == paid
    assert settled(replace(POLICY, covers_perils={named: False}), by_peril(written)).payable == paid


@pytest.mark.parametrize(
    "covers", [{"windstorm": False, "wind": None}, {"wind": None, "windstorm": False}, {"windstorm": False}]
)
def test_a_peril_that_is_written_twice_is_known_from_one_of_the_two(covers: dict[str, bool | None]) -> None:
    policy = replace(POLICY, covers_perils=covers, excluded_perils=None)
    assert settled(policy, by_peril("wind")).payable == 0
    assert settled(policy, by_peril("wind")).assumed == ()


def test_a_peril_that_is_written_twice_and_not_known() -> None:
    policy = replace(POLICY, covers_perils={"theft": None, "burglary": None}, excluded_perils=None)
    found = settled(policy, by_peril("Burglary"))
    assert (found.payable, found.payable_at_best) == dollars(0, WORTH)
    assert [(note.code, note.parameters) for note in found.assumed] == [
        ("assumed_covers_perils", {"value": "false", "key": "theft"})
    ]


@pytest.mark.parametrize(
    ("kind", "peril", "worst", "best"),
    [
        # A household form excludes flood and names no collision; theft of a trailer away from home is open.
        ("homeowners", "flood", 0, 0),
        ("homeowners", "collision", 0, 0),
        ("homeowners", "theft", 0, WORTH),
        ("homeowners", "vandalism", WORTH, WORTH),
        # Coverage other than collision has theft, hail, wind and flood; collision is a coverage of its own.
        ("tow_vehicle_extension", "theft", WORTH, WORTH),
        ("tow_vehicle_extension", "flood", WORTH, WORTH),
        ("tow_vehicle_extension", "deer", WORTH, WORTH),
        ("tow_vehicle_extension", "collision", 0, WORTH),
        # Fire is covered by all, an unheard-of peril may be covered by none.
        (None, "fire", WORTH, WORTH),
        (None, "meteor", 0, WORTH),
        (None, "flood", 0, WORTH),
    ],
)
def test_perils_that_are_not_known(kind: PolicyKind | None, peril: str, worst: int, best: int) -> None:
    found = settled(replace(POLICY, kind=kind, excluded_perils=None), by_peril(peril))
    assert (found.payable, found.payable_at_best) == dollars(worst, best)


def test_once_the_list_of_exclusions_is_known_the_others_are_covered() -> None:
    policy = replace(POLICY, kind="homeowners", excluded_perils=("flood",))
    assert settled(policy, by_peril("collision")).payable == WORTH
    assert settled(policy, by_peril("high water")).payable == 0


@pytest.mark.parametrize("peril", ["rot", "Dry rot", "mildew", "wear and tear", "rodents", "frost", "slow leak"])
def test_gradual_damage_is_excluded_by_custom(peril: str) -> None:
    found = settled(replace(POLICY, excluded_perils=()), by_peril(peril))
    assert found.payable == 0
    assert causes(found) == {"exclusion": 11000}
    assert [(note.code, note.about, note.parameters) for note in found.notes] == [
        ("excluded_by_custom", peril, {"peril": peril, "policy": "p"})
    ]
    assert settled(replace(POLICY, excluded_perils=None), by_peril(peril)).assumed == ()


def test_gradual_damage_that_the_policy_covers_is_paid() -> None:
    found = settled(replace(POLICY, covers_perils={"mildew": True}), by_peril("mold"))
    assert found.payable == WORTH
    assert found.notes == ()
    # A null says nothing, so custom excludes it.
    unsaid = settled(replace(POLICY, covers_perils={"mold": None}), by_peril("mold"))
    assert [note.code for note in unsaid.notes] == ["excluded_by_custom"]


def test_a_peril_that_the_policy_itself_excludes_is_not_custom() -> None:
    found = settled(replace(POLICY, covers_perils={"rot": False}), by_peril("rot"))
    assert found.payable == 0
    assert found.notes == ()


@pytest.mark.parametrize("situation", ["stored", "towed", "lived_in", "rented_out", "abroad"])
def test_a_situation_that_is_not_covered_pays_nothing(situation: Situation) -> None:
    loss = replace(FIRE, situations=(situation,))
    assert settled(replace(POLICY, covers_situations={situation: True}), loss).payable == WORTH
    found = settled(replace(POLICY, covers_situations={situation: False}), loss)
    assert found.payable == 0
    assert causes(found) == {"exclusion": 11000}
    assert found.steps[-1].code == "situation"
    assert found.steps[-1].parameters == {"situation": situation}
    # Only what a loss names matters.
    assert settled(replace(POLICY, covers_situations={situation: False})).payable == WORTH


@pytest.mark.parametrize(
    ("kind", "situation", "worst"),
    [
        # A trailer is covered where it is kept; vehicle forms cover it while it is towed, household forms may not.
        (None, "stored", WORTH),
        ("commercial", "towed", WORTH),
        ("homeowners", "towed", 0),
        (None, "towed", 0),
        ("recreational_vehicle", "lived_in", 0),
        ("recreational_vehicle", "rented_out", 0),
        ("recreational_vehicle", "abroad", 0),
    ],
)
def test_situations_that_are_not_known(kind: PolicyKind | None, situation: Situation, worst: int) -> None:
    for covers in ({}, {situation: None}):
        policy = replace(POLICY, kind=kind, covers_situations=covers)
        found = settled(policy, replace(FIRE, situations=(situation,)))
        assert (found.payable, found.payable_at_best) == dollars(worst, WORTH)
        assert [note.parameters["key"] for note in found.assumed] == ([] if worst else [situation])


def test_each_situation_of_a_loss_must_be_covered() -> None:
    loss = replace(FIRE, situations=("towed", "abroad"))
    policy = replace(POLICY, covers_situations={"towed": True})
    assert [note.parameters["key"] for note in settled(policy, loss).assumed] == ["abroad"]
    assert settled(replace(policy, covers_situations={"towed": True, "abroad": True}), loss).payable == WORTH
    assert settled(replace(policy, covers_situations={"towed": True, "abroad": False}), loss).payable == 0


@pytest.mark.parametrize(
    ("completed", "unfinished"), [(date(2026, 11, 2), True), (DAY, False), (None, False), (date(2026, 10, 31), False)]
)
def test_construction_ends_on_the_day_of_completion(completed: date | None, *, unfinished: bool) -> None:
    around = circumstances(FIRE, *LINES, completed_on=completed)
    found = settle(replace(POLICY, covers_under_construction=None), around)
    assert (found.payable, found.payable_at_best) == dollars(0 if unfinished else WORTH, WORTH)
    assert assumed(found) == ([("assumed_covers_under_construction", "false")] if unfinished else [])
    built = settle(replace(POLICY, covers_under_construction=None, kind="builders_risk"), around)
    assert built.payable == WORTH
    assert built.assumed == ()


@pytest.mark.parametrize("basis", ["actual_cash_value", "replacement_cost"])
def test_a_loss_that_is_not_covered_pays_no_expense_and_needs_no_basis(basis: Basis) -> None:
    towed = replace(FIRE, expenses=(Expense(kind="towing", amount=Decimal(200)),))
    allowance = (Allowance(kind="towing", limit=Decimal(300)),)
    policy = replace(POLICY, basis=basis, allowances=allowance, covers_damage=False)
    found = settled(policy, towed)
    assert [str(each.payable) for each in found.expenses] == ["0.00"]
    assert found.insured_loss == 0
    assert found.if_avoided is None
    assert [str(each.payable) for each in settled(replace(policy, covers_damage=True), towed).expenses] == ["200.00"]
    nowhere = Policy(name="p", covers_damage=False)
    assert settled(nowhere).basis is None
    assert settled(nowhere).assumed == ()


def test_a_peril_that_is_only_assumed_excluded_is_not_called_excluded() -> None:
    theft = circumstances(Loss(name="theft", peril="theft", extent="total", occurred_on=DAY), *LINES)
    found = settle(replace(POLICY, excluded_perils=None), theft)
    assert found.payable == 0
    assert [step.code for step in found.steps] == ["replacement_cost_new", "assumed_not_covered"]
    assert causes(found) == {"exclusion": 11000}
    known = settle(replace(POLICY, excluded_perils=("theft",)), theft)
    assert [step.code for step in known.steps] == ["replacement_cost_new", "exclusion"]
