"""Questions: what raises them, what hangs on them, and in which order they are asked."""

from datetime import date
from decimal import Decimal

import pytest
from msgspec.structs import replace

from hitchworth.coverage.loss import LossContext
from hitchworth.coverage.outcomes import Outcomes
from hitchworth.coverage.questions import ranked_questions
from hitchworth.coverage.terms import answered, recorded
from hitchworth.model.assessment import MissingFact, Verdict
from hitchworth.model.build import Build, Component, Labor, Measurement, Protection
from hitchworth.model.gap import Question
from hitchworth.model.policy import Answer, Damage, Loss, Policy
from valued_builds import DAY, circumstances, line, settle

THEFT = Loss(name="theft", peril="theft", extent="total", occurred_on=DAY)
LINES = (
    line("frame", "chassis", "3000", "600"),
    line("panels", "body_panels", "8000", "800"),
    line("build it", "labor", "9000", "900", "labor"),
)
AROUND = circumstances(THEFT, *LINES, comparable_price="2500")
ONE = Decimal(1)
POLICY = Policy(name="auto", basis="actual_cash_value", deductible=None)


def ranked(
    policies: tuple[Policy, ...], losses: tuple[LossContext, ...], missing: tuple[MissingFact, ...]
) -> tuple[Question, ...]:
    outcomes = [Outcomes(policy, around) for policy in policies for around in losses]
    return ranked_questions(policies, losses, outcomes, missing)


def ask(policy: Policy, verdict: Verdict = "mismatch", *missing: MissingFact) -> tuple[Question, ...]:
    """The questions on which money hangs."""
    asked = ranked((policy,), (replace(AROUND, verdict=verdict),), missing)
    return tuple(question for question in asked if question.money_at_stake.high)


def ask_all(*policies: Policy, build: Build = AROUND.build, loss: Loss = THEFT) -> dict[str, Question]:
    """Every question that applies, by its id, in the order in which they are asked."""
    around = replace(AROUND, build=build, loss=loss)
    return {question.id: question for question in ranked(policies, (around,), ())}


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
    settled = answered(POLICY, [answer])
    assert settled.settles_as == "built_use"
    assert [question.topic for question in ask(settled)] == ["deductible", "depreciates_labor"]


def test_an_answer_to_another_policy_changes_nothing() -> None:
    assert answered(POLICY, [Answer(policy="other", term="deductible", value=250)]) == POLICY


def test_a_missing_fact_is_worth_what_the_verdict_moves() -> None:
    known = replace(POLICY, settles_as="registered_class", deductible=Decimal(0), depreciates_labor=False)
    missing = MissingFact(fact="collapsible", question="Does it fold?", measure="look")
    (question,) = ask(known, "undetermined", missing)
    # 18,600 when the class matches the use, 2,000 when it does not.
    assert question.settles.fact == "collapsible"
    assert question.money_at_stake.high == 16600


def test_nothing_is_asked_on_which_no_money_hangs() -> None:
    assert [question.topic for question in ask(POLICY, "match")] == ["deductible", "depreciates_labor"]


def test_coinsurance_swing_redone_by_hand() -> None:
    # Replacement cost 20,000, nothing worn off labor: value 20,000 - 1,400 = 18,600. Limit 12,000, no deductible.
    #   100 percent clause: 12,000 / 18,600 of 18,600 = 12,000.00, within the limit: 12,000.
    #    90 percent: required 16,740; 18,600 x 12,000 / 16,740 = 13,333.33, capped at 12,000.
    #    80 percent and none: capped at 12,000 too. So nothing hangs on the total loss, and it is not asked.
    # Half the panels lost: 4,000 - 400 worn = 3,600.
    #   100 percent: 3,600 x 12,000 / 18,600 = 2,322.58; none: 3,600. Swing 1,277.42.
    known = replace(POLICY, settles_as="built_use", depreciates_labor=False, deductible=Decimal(0))
    policy = replace(known, limit=Decimal(12000), coinsurance_rate=None)
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
    asked = ask_all(replace(POLICY, name="a"), replace(POLICY, name="b"))
    assert {"a.deductible", "b.deductible", "a.limit", "b.limit", "use", "other_insurance"} <= set(asked)
    assert "other_insurance" not in ask_all(POLICY)


def test_a_question_names_the_policies_that_it_concerns_when_not_all_do() -> None:
    agreed = replace(POLICY, name="agreed", basis="agreed_value", amount=Decimal(9000))
    assert ask_all(POLICY, agreed)["agreed_value_review"].parameters == {"policies": "agreed"}
    assert ask_all(agreed)["agreed_value_review"].parameters == {}
    assert "agreed_value_review" not in ask_all(POLICY)


def test_a_term_without_plausible_answers_is_asked_until_it_is_known() -> None:
    assert ask_all(POLICY)["auto.limit"].money_at_stake.high == 0
    assert "auto.limit" not in ask_all(replace(POLICY, limit=Decimal(9000)))
    new = replace(POLICY, basis="replacement_cost")
    assert {"auto.holdback_days", "auto.replacement_years"} <= set(ask_all(new))
    assert {"auto.holdback_days", "auto.replacement_years"}.isdisjoint(ask_all(POLICY))


PART = Component(id="p", description="p", category="roof", quantity=ONE, unit_cost=ONE, acquired_on=DAY)
HOURS = Labor(id="l", task="l", hours=ONE, rate=ONE, performed_on=DAY)
DONE = date(2026, 6, 1)
PLAIN = replace(AROUND.build, vin="1", completed_on=DONE)


@pytest.mark.parametrize(
    ("question", "build"),
    [
        ("hired_out", replace(PLAIN, use={"hired_out": True})),
        ("business", replace(PLAIN, facts={"commercial_use": True})),
        ("full_time", replace(PLAIN, facts={"used_as_residence": Measurement(value=True, planned=True)})),
        ("identification", replace(PLAIN, vin=None)),
        ("own_labor", replace(PLAIN, labor=(HOURS,))),
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
    assert {"water", "auto.total_loss_threshold"} <= set(ask_all(POLICY, loss=hail))


def test_a_missing_fact_with_a_question_of_its_own_is_asked_once_in_its_words() -> None:
    known = replace(POLICY, settles_as="registered_class", deductible=Decimal(0), depreciates_labor=False)
    missing = MissingFact(fact="empty_weight_kg", question="How heavy?", measure="weigh it", settles=True)
    around = replace(AROUND, verdict="undetermined")
    asked = [q for q in ranked((known,), (around,), (missing,)) if q.settles.fact == "empty_weight_kg"]
    assert [(q.entry, q.money_at_stake.high, q.urgency) for q in asked] == [("weight", Decimal(16600), 1)]


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
        assert answered(POLICY, answers).deductible == 250
        assert [note.parameters["value"] for note in recorded(POLICY, answers)] == ["250"]


def test_of_answers_of_one_day_and_of_undated_ones_the_later_in_the_list_stands() -> None:
    for day in (DAY, None):
        first, second = (Answer(policy="auto", term="deductible", value=value, said_on=day) for value in (500, 250))
        assert answered(POLICY, [first, second]).deductible == 250


# 10 CCR 2695.9(f)(1) (California)
def test_a_question_names_the_rule_that_is_published_where_the_trailer_is_registered() -> None:
    in_california = replace(AROUND.build, jurisdiction="US-CA", labor=(HOURS,))
    worked = replace(AROUND, verdict="mismatch", build=in_california)
    found = {question.id: question for question in ranked((POLICY,), (worked,), ())}
    assert "2695.9(f)(1)" in found["auto.depreciates_labor"].parameters["citation"]
    assert "rule" not in found["auto.settles_as"].parameters
