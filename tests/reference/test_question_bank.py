"""The bank of questions: every row is complete, is short enough to be spoken, and settles something that exists."""

import re
import string
from typing import get_args

import pytest
from msgspec.structs import fields

from hitchworth.coverage.claim import SALVAGE
from hitchworth.model.entry import EvidenceGrade
from hitchworth.model.gap import Phase
from hitchworth.model.policy import Policy
from hitchworth.reference.claims import claims
from hitchworth.reference.facts import vocabulary
from hitchworth.reference.jurisdictions import jurisdictions
from hitchworth.reference.perils import canonical_peril
from hitchworth.reference.plausible_terms import has_plausible_values, plausible_terms
from hitchworth.reference.questions import Applicability, BankQuestion, bank_questions, question_bank

POLICY_TERMS = {field.name for field in fields(Policy)}
NOT_ASKED = {"name", "without", "annual_premium", "loan_balance"}
"""The name, what is absent, and what the buyer knows; the balance belongs to the question of the lender."""

ASKED_BY_KEY = {"covers_perils": "key:peril", "covers_situations": "key:situation"}
MOST_WORDS = 30
PHASES: tuple[Phase, ...] = get_args(Phase)
COMPUTED_OTHERWISE = {"knows_built_use"}
"""Its money is what is paid at best: the whole claim."""

QUESTIONS = question_bank().questions
BUILD_AMOUNTS = {"comparable_price"}
"""An amount of the build that an answer settles like a fact."""
each = pytest.mark.parametrize("question", bank_questions().values(), ids=lambda question: question.id)


@each
def test_a_question_has_its_words(question: BankQuestion) -> None:
    assert question.why
    assert question.clear_answer
    assert question.bring or question is question_bank().facts_to_find
    assert all(question.bring)
    assert len(set(question.bring)) == len(question.bring)


@each
def test_a_question_says_where_it_comes_from(question: BankQuestion) -> None:
    assert question.provenance == "common_practice" or question.source or question.settles.term
    assert set(question.source_places) <= set(jurisdictions())
    assert question.source or not question.source_places


@each
def test_a_question_can_be_read_aloud_in_a_breath(question: BankQuestion) -> None:
    assert len(question.text.split()) <= MOST_WORDS
    assert question.text.endswith("?") or question is question_bank().facts_to_find
    assert not re.search(r"[;\[\]/]", question.text.replace("120/240-volt", ""))


@each
def test_the_rest_of_a_question_is_whole_sentences(question: BankQuestion) -> None:
    assert question.why.endswith((".", "?"))
    assert question.clear_answer.endswith(".")
    assert not question.to_see_money or question.to_see_money.endswith(".")


@each
def test_what_it_settles_and_its_conditions_exist(question: BankQuestion) -> None:
    settles, applies = question.settles, question.applies
    assert settles.term is None or settles.term in POLICY_TERMS - NOT_ASKED
    assert settles.fact is None or settles.fact in {*vocabulary(), *BUILD_AMOUNTS}
    assert settles.term is None or settles.fact is None
    assert all(canonical_peril(peril) == peril for peril in applies.perils)
    assert set(applies.evidence) <= set(get_args(EvidenceGrade))


USES = {"rented_out", "hired_out", "lent", "full_time", "business"}
"""Names of uses that the field `use` of a build gives as examples, and renting out."""


def test_what_must_be_true_is_a_fact_or_a_use() -> None:
    named = {name for question in QUESTIONS for name in question.applies.any_true}
    assert named - set(vocabulary()) <= USES | {"built_for_customer"}


@each
def test_a_parameter_is_one_that_the_computation_gives(question: BankQuestion) -> None:
    texts = question.text + question.why + question.clear_answer + question.to_see_money
    named = {
        f"{name}:{spec}" if spec else name for _, name, spec, _ in string.Formatter().parse(texts) if name is not None
    }
    term = question.settles.term
    apart = {question_bank().facts_to_find.id: {"count"}, question_bank().salvage_value.id: {"loss"}}
    expected = {"policy"} if term else apart.get(question.id, set())
    assert named == expected | ({ASKED_BY_KEY[term]} if term in ASKED_BY_KEY else set())


@each
def test_a_question_without_answers_says_what_to_enter_for_its_money(question: BankQuestion) -> None:
    term = question.settles.term
    if term is not None and not has_plausible_values(term) and term not in COMPUTED_OTHERWISE:
        assert question.to_see_money


def test_every_term_of_a_policy_has_one_question() -> None:
    to_disclose = bank_questions()["class_to_disclose"]
    asked = [question.settles.term for question in QUESTIONS if question.settles.term and question != to_disclose]
    assert len(asked) == len(set(asked))
    assert to_disclose.settles.term in asked, "the same term, where it is known that the insurer was not told"
    assert set(asked) == POLICY_TERMS - NOT_ASKED
    assert {entry.term.partition(".")[0] for entry in plausible_terms()} - {SALVAGE} <= set(asked)


def test_a_question_about_a_term_is_for_the_insurer() -> None:
    assert {question.to for question in QUESTIONS if question.settles.term} == {"insurer"}
    assert {question.to for question in QUESTIONS if question.settles.fact} == {"builder"}
    assert {question.to for question in QUESTIONS} == {"insurer", "authority", "builder"}


def test_nothing_is_asked_twice() -> None:
    assert len({question.id for question in QUESTIONS}) == len(QUESTIONS)
    assert len({question.text for question in QUESTIONS}) == len(QUESTIONS)
    assert len(bank_questions()) == len(QUESTIONS) + 2


def test_phases_follow_the_life_of_the_trailer_and_each_is_used() -> None:
    assert PHASES == ("buying", "building", "binding", "renewal", "claim")
    used = {phase: {question.topic for question in QUESTIONS if question.phase == phase} for phase in PHASES}
    assert "ownership" in used["buying"]
    assert {"under_construction", "inspection", "weight"} <= used["building"]
    assert {"coverage", "settles_as", "limit", "appraisal"} <= used["binding"]
    assert {"renewal", "change_notices"} <= used["renewal"]
    assert {"claim_documents", "claim_deadlines", "appraisal", "salvage"} <= used["claim"]


def test_each_urgency_and_each_condition_is_used() -> None:
    assert {question.urgency for question in QUESTIONS} == {1, 2, 3}
    unused = [
        field.name
        for field in fields(Applicability)
        if all(getattr(question.applies, field.name) == field.default for question in QUESTIONS)
    ]
    assert unused == []


@pytest.mark.parametrize(
    "topic",
    [
        *("coverage", "perils", "class", "basis", "amount", "evidence", "custom_equipment", "contents", "own_labor"),
        *("under_construction", "storage", "use", "towing", "drivers", "territory", "protections", "theft"),
        *("claim_documents", "claim_deadlines", "deductible", "coinsurance_rate", "holdback", "limit", "lender"),
        *("total_loss_tax_rate", "total_loss_threshold", "appraisal", "depreciates_labor", "salvage", "liability"),
        *("change_notices", "renewal", "ownership", "value"),
    ],
)
def test_no_topic_of_the_conversation_is_missing(topic: str) -> None:
    assert topic in {question.topic for question in QUESTIONS}


@pytest.mark.parametrize(
    "question",
    [
        *("appraisal_before_binding", "stated_or_agreed", "amount_review", "suit_period", "appraisal_demand"),
        *("identification", "ownership_of_base", "workshop_liability", "rented_out", "cross_border"),
    ],
)
def test_no_step_of_the_life_of_a_trailer_is_missing(question: str) -> None:
    assert question in bank_questions()


def test_perils_of_the_checklist_after_a_loss_have_the_names_by_which_they_are_compared() -> None:
    of_duties = (peril for duty in claims().checklist for peril in duty.perils)
    of_limits = (peril for limit in claims().time_limits for peril in limit.perils)
    assert all(canonical_peril(peril) == peril for peril in (*of_duties, *of_limits))
