"""Questions: what raises them, the money at stake on them, and in which order they are asked."""

from datetime import date
from decimal import Decimal

import pytest
from msgspec.structs import replace

from hitchworth.coverage.loss import LossContext
from hitchworth.coverage.outcomes import Outcomes
from hitchworth.coverage.questions import ranked_questions
from hitchworth.coverage.situation import situation_of
from hitchworth.coverage.terms import recorded, with_recorded_answers
from hitchworth.model.answer import Answer
from hitchworth.model.assessment import MissingFact, Verdict
from hitchworth.model.build import Build, Measurement, Protection
from hitchworth.model.entry import Component, Labor
from hitchworth.model.gap import Question
from hitchworth.model.loss import Damage, Loss
from hitchworth.model.policy import Policy
from valued_builds import DAY, circumstances, known_policy, line, settle

THEFT = Loss(name="theft", peril="theft", extent="total", occurred_on=DAY)
LINES = (
    line("frame", "chassis", "3000", "600"),
    line("panels", "body_panels", "8000", "800"),
    line("build it", "labor", "9000", "900", "labor"),
)
AROUND = circumstances(THEFT, *LINES, comparable_price="2500")
ONE = Decimal(1)
POLICY = known_policy("auto", kind="recreational_vehicle", settles_as=None, depreciates_labor=None, deductible=None)
"""Three terms are open."""


def ranked(
    policies: tuple[Policy, ...], losses: tuple[LossContext, ...], missing: tuple[MissingFact, ...]
) -> tuple[Question, ...]:
    outcomes = [Outcomes(policy, context) for policy in policies for context in losses]
    situation = situation_of(losses[0].build, losses[0].verdict, policies, losses, ())
    return ranked_questions(situation, outcomes, missing)


def ask(policy: Policy, verdict: Verdict = "mismatch", *missing: MissingFact) -> tuple[Question, ...]:
    """The questions that settle a term or a fact and have money at stake."""
    asked = ranked((policy,), (replace(AROUND, verdict=verdict),), missing)
    settling = (question for question in asked if question.settles.term or question.settles.fact)
    return tuple(question for question in settling if question.money_at_stake.high)


def ask_all(
    *policies: Policy, build: Build = AROUND.build, loss: Loss = THEFT, verdict: Verdict = "match"
) -> dict[str, Question]:
    """Every question that applies, by its id, in the order in which they are asked."""
    context = replace(AROUND, build=build, loss=loss, verdict=verdict)
    return {question.id: question for question in ranked(policies, (context,), ())}


def test_the_dearest_question_comes_first() -> None:
    # By hand, on 20,000 replacement cost, wear of parts 1,400, wear of labor 900, class value 2,500 less 20 % = 2,000.
    # settles_as: with the others at their best (labor not depreciated, deductible 250) 18,350 as built, 1,750 by class:
    #   16,600; with them at their worst (2,500) 15,200 against 0: 15,200. The greater counts.
    # deductible: 250 to 2,500 as built, 2,250; by class 1,750 to 0, less.
    # depreciates_labor: 900 as built; by class there is no labor.
    questions = ask(POLICY)
    assert {question.topic: str(question.money_at_stake.high) for question in questions} == {
        "settles_as": "16600.00",
        "deductible": "2250.00",
        "depreciates_labor": "900.00",
    }
    assert [question.topic for question in questions] == ["settles_as", "deductible", "depreciates_labor"]


def test_an_answer_removes_its_question_and_settles_the_term() -> None:
    answer = Answer(policy="auto", term="settles_as", value="built_use", said_by="the agent", said_on=DAY)
    settled = with_recorded_answers(POLICY, [answer])
    assert settled.settles_as == "built_use"
    assert [question.topic for question in ask(settled)] == ["deductible", "depreciates_labor"]


def test_an_answer_to_another_policy_changes_nothing() -> None:
    assert with_recorded_answers(POLICY, [Answer(policy="other", term="deductible", value=250)]) == POLICY


def test_missing_facts_are_one_checklist_with_what_the_verdict_moves() -> None:
    known = replace(POLICY, settles_as="registered_class", deductible=Decimal(0), depreciates_labor=False)
    folds = MissingFact(fact="collapsible", question="Does it fold?", measure="look")
    weighs = MissingFact(fact="empty_weight_kg", question="How heavy?", measure="weigh it", decisive=True)
    (question,) = ask(known, "undetermined", folds, weighs)
    # 18,600 when the class matches the use, 2,000 when it does not.
    assert question.money_at_stake.high == 16600
    assert (question.to, question.parameters) == ("builder", {"count": "2"})
    assert [each.fact for each in question.checklist] == ["empty_weight_kg", "collapsible"]


def test_a_term_without_money_at_stake_is_not_asked() -> None:
    assert [question.topic for question in ask(POLICY, "match")] == ["deductible", "depreciates_labor"]


def test_each_plausible_answer_says_what_is_paid_under_it() -> None:
    # As above: 18,600 less the deductible as built with labor kept, 17,700 with labor depreciated; by class 2,000 less
    # it.
    by_term = {question.settles.term: question for question in ask(POLICY)}
    shown = {
        term: [(each.value, str(each.payable.low), str(each.payable.high)) for each in question.plausible]
        for term, question in by_term.items()
    }
    assert shown["settles_as"] == [("registered_class", "0.00", "1750.00"), ("built_use", "15200.00", "18350.00")]
    assert shown["depreciates_labor"] == [(True, "0.00", "17450.00"), (False, "0.00", "18350.00")]
    assert shown["deductible"] == [
        ("2500.00", "0.00", "16100.00"),
        ("1000.00", "1000.00", "17600.00"),
        ("500.00", "1500.00", "18100.00"),
        ("250.00", "1750.00", "18350.00"),
    ]


def test_coinsurance_stake_redone_by_hand() -> None:
    # Replacement cost 20,000, nothing worn off labor: value 20,000 - 1,400 = 18,600. Limit 12,000, no deductible.
    #   100 percent clause: 12,000 / 18,600 of 18,600 = 12,000.00, within the limit: 12,000.
    #    90 percent: required 16,740; 18,600 x 12,000 / 16,740 = 13,333.33, capped at 12,000.
    #    80 percent and none: capped at 12,000 too. So no money is at stake on the total loss.
    # Half the panels lost: 4,000 - 400 worn = 3,600.
    #   100 percent: 3,600 x 12,000 / 18,600 = 2,322.58; none: 3,600. Spread 1,277.42.
    known = replace(POLICY, settles_as="built_use", depreciates_labor=False, deductible=Decimal(0))
    policy = replace(known, limit=Decimal(12000), coinsurance_rate=None, kind="builders_risk")
    assert ask(policy) == ()
    hail = replace(
        THEFT, name="hail", extent="partial", damage=(Damage(category="body_panels", fraction=Decimal("0.5")),)
    )
    partial = circumstances(hail, *LINES, comparable_price="2500")
    question = ranked((policy,), (AROUND, partial), ())[0]
    assert question.id == "auto.coinsurance_rate"
    assert (str(question.money_at_stake.low), str(question.money_at_stake.high)) == ("0.00", "1277.42")


def test_dear_questions_come_first_then_the_urgent_ones() -> None:
    asked = list(ask_all(POLICY).values())
    ranks = [(-q.money_at_stake.high, -q.money_at_stake.low, q.urgency, q.id) for q in asked]
    assert ranks == sorted(ranks)
    assert asked[0].id == "auto.deductible"
    assert {question.urgency for question in asked} == {1, 2, 3}


def test_a_term_is_asked_of_every_policy_and_a_general_question_once() -> None:
    open_policy = replace(POLICY, sublimits=None)
    asked = ask_all(replace(open_policy, name="a"), replace(open_policy, name="b"))
    assert {"a.deductible", "b.deductible", "a.sublimits", "b.sublimits", "towing", "other_insurance"} <= set(asked)
    assert "other_insurance" not in ask_all(POLICY)


def test_a_question_names_the_policies_that_it_concerns_when_not_all_do() -> None:
    agreed = replace(POLICY, name="agreed", basis="agreed_value", amount=Decimal(9000))
    assert ask_all(POLICY, agreed)["stated_or_agreed"].parameters == {"policies": "agreed"}
    assert ask_all(agreed)["stated_or_agreed"].parameters == {}
    assert "stated_or_agreed" not in ask_all(POLICY)


def test_a_term_without_plausible_answers_is_asked_until_it_is_known() -> None:
    unsaid = replace(POLICY, sublimits=None)
    assert ask_all(unsaid)["auto.sublimits"].money_at_stake.high == 0
    assert "auto.sublimits" not in ask_all(replace(unsaid, sublimits=()))
    new = replace(POLICY, basis="replacement_cost", without=())
    assert {"auto.holdback_days", "auto.lender"} <= set(ask_all(new))
    assert "auto.holdback_days" not in ask_all(replace(POLICY, without=()))


def test_absent_and_unknown_are_two_things() -> None:
    # Nothing said of a limit: that of a plain trailer, 2,500, is plausible. Known to have none: no question.
    unsaid = replace(POLICY, settles_as="built_use", depreciates_labor=False, without=())
    question = ask_all(unsaid)["auto.limit"]
    assert [each.value for each in question.plausible] == ["2500.00", "none"]
    # At best 18,600 - 250 = 18,350 against 2,500, of which a deductible off the limit leaves 2,250.
    assert question.money_at_stake.high == 18350 - 2500
    assert "auto.limit" not in ask_all(replace(unsaid, without=("limit",)))


PART = Component(id="p", description="p", category="roof", quantity=ONE, unit_cost=ONE, acquired_on=DAY)
HOURS = Labor(id="l", task="l", hours=ONE, rate=ONE, performed_on=DAY)
DONE = date(2026, 6, 1)
PLAIN = replace(AROUND.build, vin="1", completed_on=DONE, labor=())


@pytest.mark.parametrize(
    ("question", "build"),
    [
        ("rented_out", replace(PLAIN, use={"rented_out": True})),
        ("business", replace(PLAIN, facts={"commercial_use": True})),
        ("full_time", replace(PLAIN, facts={"used_as_residence": Measurement(value=True, planned=True)})),
        ("identification", replace(PLAIN, vin=None)),
        ("auto.depreciates_labor", replace(PLAIN, labor=(HOURS,))),
        ("unproven_parts", replace(PLAIN, components=(PART,))),
        ("protection_discount", replace(PLAIN, protections=(Protection(name="coupler_lock"),))),
        ("stage_value", replace(PLAIN, completed_on=date(2027, 1, 1))),
        ("fact.installations_certified", replace(PLAIN, facts={"has_gas": True})),
    ],
)
def test_a_question_is_asked_where_it_applies_and_nowhere_else(question: str, build: Build) -> None:
    assert question in ask_all(POLICY, build=build)
    assert question not in ask_all(POLICY, build=PLAIN)


def test_a_fact_that_is_known_is_not_asked() -> None:
    gas = replace(PLAIN, facts={"has_gas": True, "installations_certified": False})
    assert "fact.installations_certified" not in ask_all(POLICY, build=gas)


def test_perils_and_extents_choose_questions() -> None:
    hail = replace(THEFT, peril="hail", extent="partial", damage=(Damage(category="roof", fraction=ONE),))
    assert {"theft", "salvage"} <= set(ask_all(POLICY))
    assert {"theft", "salvage"}.isdisjoint(ask_all(POLICY, loss=hail))
    assert "water" in ask_all(POLICY, loss=hail)


def test_a_fact_on_the_checklist_is_not_asked_again() -> None:
    missing = MissingFact(fact="empty_weight_kg", question="How heavy?", measure="weigh it", decisive=True)
    asked = ranked((POLICY,), (replace(AROUND, verdict="undetermined"),), (missing,))
    assert [question.id for question in asked if question.settles.fact == "empty_weight_kg"] == ["facts_to_find"]


def test_an_insurer_that_was_not_told_has_everything_at_stake() -> None:
    # At best 18,350 is paid, as above; if the policy is avoided, nothing.
    untold = replace(POLICY, knows_built_use=None)
    question = ask_all(untold, verdict="mismatch")["auto.knows_built_use"]
    assert (question.entry, question.money_at_stake.high) == ("class_disclosed", Decimal(18350))
    assert "auto.knows_built_use" not in ask_all(POLICY, verdict="mismatch")
    assert "auto.knows_built_use" not in ask_all(untold)


def test_an_answer_of_null_leaves_its_term_open_and_is_not_on_record() -> None:
    said = Answer(policy="auto", term="deductible", value=250, said_by="the agent", said_on=DAY)
    (note,) = recorded(POLICY, [said])
    assert note.code == "answered_deductible"
    assert note.parameters == {"value": "250", "said_by": "the agent", "said_on": "2026-11-01"}
    assert recorded(POLICY, [said, replace(said, value=None)]) == ()


def test_assumptions_on_which_money_hangs_are_said() -> None:
    # Settled by class there is no labor, so nothing is assumed about its depreciation; the trailer is finished.
    assert [
        (note.code, note.parameters["value"]) for note in settle(POLICY, replace(AROUND, verdict="mismatch")).assumed
    ] == [
        ("assumed_settles_as", "registered_class"),
        ("assumed_deductible", "2500.00"),
    ]


def test_the_newest_answer_stands_wherever_it_is_in_the_list() -> None:
    new = Answer(policy="auto", term="deductible", value=250, said_on=DAY)
    old = replace(new, value=500, said_on=DAY.replace(year=2025))
    undated = replace(new, value=1000, said_on=None)
    for answers in ([new, old, undated], [undated, old, new]):
        assert with_recorded_answers(POLICY, answers).deductible == 250
        assert [note.parameters["value"] for note in recorded(POLICY, answers)] == ["250"]


def test_of_answers_of_one_day_and_of_undated_ones_the_later_in_the_list_stands() -> None:
    for day in (DAY, None):
        first, second = (Answer(policy="auto", term="deductible", value=value, said_on=day) for value in (500, 250))
        assert with_recorded_answers(POLICY, [first, second]).deductible == 250


# 10 CCR 2695.9(f)(1) (California)
def test_a_question_names_the_rule_that_is_published_where_the_trailer_is_registered() -> None:
    in_california = replace(AROUND.build, jurisdiction="US-CA", labor=(HOURS,))
    worked = replace(AROUND, verdict="mismatch", build=in_california)
    found = {question.id: question for question in ranked((POLICY,), (worked,), ())}
    assert "2695.9(f)(1)" in found["auto.depreciates_labor"].parameters["citation"]
    assert "rule" not in found["auto.settles_as"].parameters
