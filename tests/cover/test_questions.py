"""Questions: what raises them, what hangs on them, and in which order they are asked."""

from decimal import Decimal

from msgspec.structs import replace

from hitchworth.cover.questions import ranked_questions
from hitchworth.cover.settlement import settle
from hitchworth.cover.terms import answered
from hitchworth.model.assessment import MissingFact, Verdict
from hitchworth.model.gap import Question
from hitchworth.model.policy import Answer, Loss, Policy
from valued_builds import DAY, circumstances, line

THEFT = Loss(name="theft", peril="theft", extent="total", occurred_on=DAY)
AROUND = circumstances(
    THEFT,
    line("frame", "chassis", "3000", "600"),
    line("panels", "body_panels", "8000", "800"),
    line("build it", "labor", "9000", "900", "labor"),
    comparable_price="2500",
)
POLICY = Policy(name="auto", basis="actual_cash_value", deductible=None)


def ask(policy: Policy, verdict: Verdict = "mismatch", *missing: MissingFact) -> tuple[Question, ...]:
    return ranked_questions((policy,), (replace(AROUND, verdict=verdict),), missing)


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


def test_assumptions_are_said() -> None:
    assert [
        (note.code, note.particulars["value"]) for note in settle(POLICY, replace(AROUND, verdict="mismatch")).assumed
    ] == [
        ("assumed_settles_as", "registered_class"),
        ("assumed_depreciates_labor", "true"),
        ("assumed_deductible", "2500"),
        ("assumed_covers_under_construction", "false"),
    ]
