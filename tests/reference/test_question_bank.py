"""The bank of questions: every row is complete and settles something that exists."""

import string

import pytest
from msgspec.structs import fields

from hitchworth.localization.texts import texts
from hitchworth.model.policy import Policy
from hitchworth.reference.facts import vocabulary
from hitchworth.reference.plausible_terms import plausible_terms
from hitchworth.reference.questions import Applies, BankQuestion, bank_questions, question_bank, question_of_fact

POLICY_TERMS = {field.name for field in fields(Policy)}
SITUATION = {"policy", "question", "measure"}

each = pytest.mark.parametrize("question", bank_questions().values(), ids=lambda question: question.id)


@each
def test_a_question_has_its_words(question: BankQuestion) -> None:
    assert question.text
    assert question.why
    assert question.clear_answer
    assert question.bring or question.settles.fact or question is question_bank().missing_fact
    assert question.provenance == "common_practice" or question.source or question.settles.term


@each
def test_what_it_settles_and_its_conditions_exist(question: BankQuestion) -> None:
    settles, applies = question.settles, question.applies
    assert settles.term is None or settles.term in POLICY_TERMS
    assert settles.fact is None or settles.fact in vocabulary()
    assert set(applies.without) <= POLICY_TERMS
    assert set(applies.perils) <= set(texts().labels["peril"])


@each
def test_a_parameter_is_one_that_the_computation_gives(question: BankQuestion) -> None:
    texts = question.text + question.why + question.clear_answer
    named = {name for _, name, _, _ in string.Formatter().parse(texts) if name is not None}
    assert named <= SITUATION
    assert ("policy" in named) == (question.settles.term is not None), "a question about a term names its policy"


def test_every_plausible_term_has_its_question() -> None:
    asked = [question.settles.term for question in question_bank().questions if question.settles.term]
    assert {term.term for term in plausible_terms().values()} <= set(asked)
    assert len(asked) == len(set(asked))


def test_nothing_is_asked_twice() -> None:
    questions = question_bank().questions
    assert len({question.id for question in questions}) == len(questions)
    assert len({question.text for question in questions}) == len(questions)
    assert len(bank_questions()) == len(questions) + 1


def test_each_phase_and_each_condition_is_used() -> None:
    questions = question_bank().questions
    assert {question.phase for question in questions} == {"before", "during", "after"}
    assert {question.urgency for question in questions} == {1, 2, 3}
    unused = [
        field.name
        for field in fields(Applies)
        if all(getattr(question.applies, field.name) == field.default for question in questions)
    ]
    assert unused == []


@pytest.mark.parametrize(
    "topic",
    [
        *(
            "class",
            "basis",
            "valuation_evidence",
            "custom_equipment",
            "contents",
            "under_construction",
            "storage",
            "use",
        ),
        *("towing", "drivers", "territory", "protections", "theft", "claim_documents", "claim_deadlines", "deductible"),
        *("coinsurance_rate", "holdback", "limit", "total_loss_tax_rate", "total_loss_threshold", "appraisal"),
        *("agreed_value", "depreciates_labor", "salvage", "liability", "change_notices"),
    ],
)
def test_no_topic_of_the_conversation_is_missing(topic: str) -> None:
    assert topic in {question.topic for question in question_bank().questions}


def test_a_fact_has_a_question_of_its_own_or_the_general_one() -> None:
    assert question_of_fact("empty_weight_kg").id == "weight"
    assert question_of_fact("collapsible") is question_bank().missing_fact
