"""What a question shows: its plausible answers, and what is paid under each, loss by loss."""

import re
from decimal import Decimal

import pytest
from msgspec.structs import replace

from hitchworth.coverage.loss import LossContext
from hitchworth.coverage.outcomes import Outcomes
from hitchworth.coverage.questions import ranked_questions
from hitchworth.coverage.sensitivity import stakes_of_terms
from hitchworth.coverage.situation import situation_of
from hitchworth.model.build import Build
from hitchworth.model.gap import Question
from hitchworth.model.loss import Damage, Loss
from hitchworth.model.policy import Policy
from valued_builds import DAY, circumstances, known_policy, line

FIRE = Loss(name="fire", peril="fire", extent="total", occurred_on=DAY)
THEFT = replace(
    FIRE, name="theft", peril="theft", extent="partial", damage=(Damage(id="bedding", fraction=Decimal(1)),)
)
LINES = (
    line("frame", "chassis", "3000", "600"),
    line("panels", "body_panels", "8000", "800"),
    line("bedding", "bedding", "500", "200"),
    line("build it", "labor", "9000", "900", "labor"),
)
"""20,500 to replace. Worth 2,400 + 7,200 + 300 + 9,000 = 18,900 with labor kept."""


def contexts(**fields: object) -> tuple[LossContext, ...]:
    given = {"own_labor": True, "comparable_price": "2500", **fields}
    return tuple(circumstances(loss, *LINES, **given) for loss in (FIRE, THEFT))  # type: ignore[arg-type]


def ask(*policies: Policy, **fields: object) -> dict[str, Question]:
    losses = contexts(**fields)
    outcomes = [Outcomes(policy, context) for policy in policies for context in losses]
    situation = situation_of(losses[0].build, losses[0].verdict, policies, losses, ())
    return {question.id: question for question in ranked_questions(situation, outcomes, ())}


def shown(question: Question) -> list[tuple[object, dict[str, tuple[str, str]]]]:
    return [
        (each.value, {loss.loss: (str(loss.payable.low), str(loss.payable.high)) for loss in each.by_loss})
        for each in question.plausible
    ]


AUTO = known_policy(
    "auto",
    kind="recreational_vehicle",
    counts_own_labor=None,
    contents_limit=None,
    deductible=None,
    without=("limit", "custom_equipment_limit", "total_loss_threshold"),
)
"""Three terms are open: own labor, contents, the deductible."""


def test_what_is_paid_under_each_answer_on_each_loss() -> None:
    # Fire: 18,900 with own hours, 9,900 without; contents of 300 in or out (the limit of 1,000 is as good as none);
    # less the deductible of 2,500 at worst, 250 at best. Theft of the bedding: 300 at most.
    asked = ask(AUTO)
    assert shown(asked["auto.counts_own_labor"]) == [
        (False, {"fire": ("7100.00", "9650.00"), "theft": ("0.00", "50.00")}),  # 9,600 - 2,500 and 9,900 - 250
        (True, {"fire": ("16100.00", "18650.00"), "theft": ("0.00", "50.00")}),
    ]
    assert shown(asked["auto.contents_limit"]) == [
        ("0.00", {"fire": ("7100.00", "18350.00"), "theft": ("0.00", "0.00")}),
        ("1000.00", {"fire": ("7400.00", "18650.00"), "theft": ("0.00", "50.00")}),
        ("none", {"fire": ("7400.00", "18650.00"), "theft": ("0.00", "50.00")}),
    ]
    assert shown(asked["auto.deductible"]) == [
        ("2500.00", {"fire": ("7100.00", "16400.00"), "theft": ("0.00", "0.00")}),
        ("1000.00", {"fire": ("8600.00", "17900.00"), "theft": ("0.00", "0.00")}),
        ("500.00", {"fire": ("9100.00", "18400.00"), "theft": ("0.00", "0.00")}),
        ("250.00", {"fire": ("9350.00", "18650.00"), "theft": ("0.00", "50.00")}),
    ]


def test_the_payment_shown_first_is_that_of_the_loss_on_which_most_hangs() -> None:
    asked = ask(AUTO)
    for question in (asked["auto.contents_limit"], asked["auto.deductible"]):
        assert all(each.payable == each.by_loss[0].payable for each in question.plausible)
        assert [each.by_loss[0].loss for each in question.plausible] == ["fire"] * len(question.plausible)


def test_the_money_is_the_greatest_spread_on_each_loss() -> None:
    # Fire: 9,000 of own hours; 300 of contents; 2,250 of deductible. Theft: 50 are left of 300 under the lowest; own
    # hours are in the value that the repair is compared with, and move nothing.
    found = {
        name: (str(each.money_at_stake.low), str(each.money_at_stake.high), len(each.money_at_stake.by_loss))
        for name, each in ask(AUTO).items()
        if each.money_at_stake.high
    }
    assert found == {
        "auto.counts_own_labor": ("0.00", "9000.00", 2),
        "auto.deductible": ("50.00", "2250.00", 2),
        "auto.contents_limit": ("50.00", "300.00", 2),
    }
    assert list(ask(AUTO))[:3] == list(found)


def test_lists_and_words_are_shown_as_an_answer_gives_them() -> None:
    policy = known_policy("auto", kind="commercial", order=None, limit=Decimal(5000), deductible=Decimal(500))
    question = ask(policy)["auto.order"]
    # Off the limit 4,500 of the fire, off the loss 5,000.
    assert [(each.value, each.payable.low) for each in question.plausible] == [
        (("sublimits", "coinsurance", "limit", "deductible"), Decimal(4500)),
        (("sublimits", "coinsurance", "deductible", "limit"), Decimal(5000)),
    ]


def test_without_money_there_are_no_answers_to_show() -> None:
    policy = replace(AUTO, holdback=None, basis="replacement_cost")
    assert ask(policy)["auto.holdback"].plausible == ()
    untold = replace(AUTO, knows_built_use=None)
    question = ask(untold, verdict="mismatch")["auto.knows_built_use"]
    assert question.plausible == ()
    # All that is paid at best: 18,650 of the fire, 50 of the theft.
    assert [(each.loss, each.amount) for each in question.money_at_stake.by_loss] == [
        ("fire", Decimal(18650)),
        ("theft", Decimal(50)),
    ]


def test_each_policy_has_money_of_its_own() -> None:
    # The second policy has own hours settled, and a deductible that moves as much.
    second = replace(AUTO, name="second", counts_own_labor=True)
    asked = ask(AUTO, second)
    assert "second.counts_own_labor" not in asked
    assert asked["second.deductible"].plausible[0].by_loss[0].payable.low == 16100
    assert asked["auto.deductible"].plausible[0].by_loss[0].payable.low == 7100


def test_a_change_of_class_carries_what_settling_by_the_class_moves() -> None:
    # As built 18,900; by class 2,500 less a fifth: 2,000.
    policy = known_policy("auto", settles_as=None)
    question = ask(policy, verdict="mismatch")["class_change"]
    assert question.money_at_stake.high == 16900
    assert ask(known_policy(), verdict="mismatch")["class_change"].money_at_stake.high == 0
    assert "class_change" not in ask(policy)


def test_a_change_of_class_carries_what_an_undetermined_verdict_moves() -> None:
    by_class = known_policy("auto", settles_as="registered_class")
    assert ask(by_class, verdict="undetermined")["class_change"].money_at_stake.high == 16900


def test_one_question_for_each_peril_and_situation_that_a_loss_needs() -> None:
    policy = replace(AUTO, kind="homeowners", excluded_perils=None, covers_perils={"fire": True})
    asked = [each for name, each in ask(policy).items() if name.startswith("auto.covers_perils")]
    assert [(each.id, each.settles.term, each.parameters["key"]) for each in asked] == [
        ("auto.covers_perils.theft", "covers_perils.theft", "theft")
    ]
    assert [each.value for each in asked[0].plausible] == [False, True]


@pytest.mark.parametrize(("place", "asked"), [("US-CA", True), ("US-WA", False)])
def test_a_term_that_a_rule_settles_is_asked_without_money(place: str, *, asked: bool) -> None:
    # 10 CCR 2695.9(f)(1) (California): no money is at stake, but the insurer should confirm it.
    policy = replace(AUTO, counts_own_labor=False, depreciates_labor=None)
    found = ask(policy, jurisdiction=place)
    assert ("auto.depreciates_labor" in found) is asked
    if asked:
        question = found["auto.depreciates_labor"]
        assert (question.money_at_stake.high, question.plausible) == (Decimal(0), ())


@pytest.mark.parametrize(("place", "cited"), [("US-WA", True), ("DE", False), (None, True)])
def test_a_source_is_cited_in_its_own_place(place: str | None, *, cited: bool) -> None:
    # A count of US states; without a place the dollar says which country it is.
    asked = ask(AUTO, jurisdiction=place)
    assert ("federal court" in asked["auto.counts_own_labor"].source) is cited
    evidence = asked["valuation_evidence"].source
    assert ("McAnarney" in evidence) is (place == "US-WA")


AMERICAN_LAW = re.compile(r"CCR|RCW|U\.S\.|Stat\.|IAC|Act 58|states weigh|federal court|No sales tax")


@pytest.mark.parametrize("place", ["DE", "GB", "CA-QC", "CA-ON", "AU", "NZ", "FR", "IE"])
def test_a_place_abroad_gets_no_law_of_the_united_states_as_source(place: str) -> None:
    policy = replace(AUTO, values_by=None, depreciates_labor=None, total_loss_tax_rate=None)
    for question in ask(policy, jurisdiction=place).values():
        assert AMERICAN_LAW.search(question.source) is None, question.id
        assert "citation" not in question.parameters


@pytest.mark.parametrize(
    ("place", "law"),
    [
        # The duty to pay the tax on a total loss, as found for each state; none was for Texas, and Oregon has no tax.
        ("US-IA", "191 IAC 15.43"),
        ("US-WV", "W. Va. Code 33-6-33"),
        ("US-AR", "Act 58 of 2003"),
        ("US-CA", "10 CCR 2695.8(b)(1)"),
        ("US-TX", ""),
    ],
)
def test_the_tax_on_a_total_loss_is_cited_by_place(place: str, law: str) -> None:
    question = ask(replace(AUTO, total_loss_tax_rate=None), jurisdiction=place)["auto.total_loss_tax_rate"]
    assert law in question.source
    assert bool(question.source) is bool(law)


def test_the_stakes_of_terms_that_no_loss_needs_are_not_there() -> None:
    policy = replace(AUTO, values_by=None, covers_under_construction=None)
    stakes = stakes_of_terms([Outcomes(policy, context) for context in contexts()])
    assert {term for _, term in stakes} == {"counts_own_labor", "contents_limit", "deductible", "salvage_value"}


def test_a_figure_that_is_missing_is_asked_for() -> None:
    # Without a market value nobody can say what the way of valuing moves, so it is asked and says what to enter.
    policy = replace(AUTO, values_by=None)
    assert ask(policy)["auto.values_by"].money_at_stake.high == 0
    moved = ask(policy, market_value=Decimal(10000))["auto.values_by"]
    # The market's 10,000 against 18,900 with own hours; the theft is a repair.
    assert moved.money_at_stake.high == 8900
    assert moved.money_at_stake.by_loss[0].loss == "fire"


def test_labor_questions_need_labor() -> None:
    without = Build(name="trailer", currency="USD")
    losses = contexts()
    situation = situation_of(without, "match", (AUTO,), losses, ())
    asked = ranked_questions(situation, [Outcomes(AUTO, context) for context in losses], ())
    assert "counts_own_labor" not in {each.settles.term for each in asked}
