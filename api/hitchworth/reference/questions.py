"""The bank of questions to settle before, during and after the build, and when to ask each."""

from functools import cache
from typing import Annotated

from msgspec import Meta, Struct

from hitchworth.model.assessment import Provenance, Verdict
from hitchworth.model.build import EvidenceGrade
from hitchworth.model.gap import Phase, Urgency
from hitchworth.model.policy import Basis, Extent
from hitchworth.reference.load import read


class AnswerSettles(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What an answer settles: a term of a policy, a fact, or neither."""

    term: Annotated[str | None, Meta(description="The term of a policy, by its field name. Null: no term.")] = None
    fact: Annotated[str | None, Meta(description="The fact, by its name in GET /v1/facts. Null: no fact.")] = None


class Applies(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True, omit_defaults=True):
    """When a question is asked: every condition that is given must hold. Without a condition it is always asked."""

    bases: Annotated[tuple[Basis, ...], Meta(description="The policy has one of these bases of settlement.")] = ()
    without: Annotated[tuple[str, ...], Meta(description="None of these terms of the policy is given.")] = ()
    verdicts: Annotated[
        tuple[Verdict, ...], Meta(description="The verdict on registered class and built use is one of these.")
    ] = ()
    perils: Annotated[tuple[str, ...], Meta(description="One of the losses has one of these perils.")] = ()
    extents: Annotated[tuple[Extent, ...], Meta(description="One of the losses has one of these extents.")] = ()
    any_true: Annotated[tuple[str, ...], Meta(description="One of these uses or facts of the build is true.")] = ()
    evidence: Annotated[tuple[EvidenceGrade, ...], Meta(description="A component rests on one of these.")] = ()
    unfinished: Annotated[
        bool | None, Meta(description="Whether a loss comes before the build is completed. Null: either.")
    ] = None
    has_vin: Annotated[bool | None, Meta(description="Whether the build has a VIN. Null: either.")] = None
    has_labor: Annotated[bool | None, Meta(description="Whether the build has labor. Null: either.")] = None
    has_protections: Annotated[
        bool | None, Meta(description="Whether the build has measures against loss. Null: either.")
    ] = None
    several_policies: Annotated[
        bool | None, Meta(description="Whether there is more than one policy. Null: either.")
    ] = None


class BankQuestion(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A question, in our own words."""

    id: Annotated[str, Meta(description="Stable name of the question.")]
    topic: Annotated[str, Meta(description="What it is about, in a word, for grouping.")]
    phase: Annotated[Phase, Meta(description="When in the build it is best asked.")]
    urgency: Annotated[Urgency, Meta(description="How soon to ask.")]
    text: Annotated[str, Meta(description="The question; {policy} is the name of the policy.")]
    why: Annotated[str, Meta(description="Why it matters.")]
    clear_answer: Annotated[str, Meta(description="What a clear answer looks like.")]
    provenance: Annotated[Provenance, Meta(description="Where the question comes from.")]
    settles: Annotated[AnswerSettles, Meta(description="What its answer settles.")] = AnswerSettles()
    applies: Annotated[Applies, Meta(description="When it is asked.")] = Applies()
    bring: Annotated[tuple[str, ...], Meta(description="What to have at hand when you ask.")] = ()
    source: Annotated[
        str, Meta(description="The publication; empty: common practice, or the source of the term's plausible answers.")
    ] = ""


class QuestionBank(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Every question, and the general one for a fact that has none of its own."""

    missing_fact: BankQuestion
    questions: tuple[BankQuestion, ...]


@cache
def question_bank() -> QuestionBank:
    """Return the bank of questions."""
    return read("questions.yaml", QuestionBank)


@cache
def bank_questions() -> dict[str, BankQuestion]:
    """Return every question by its id, including the general one for a missing fact."""
    bank = question_bank()
    return {question.id: question for question in (*bank.questions, bank.missing_fact)}


@cache
def question_of_fact(fact: str) -> BankQuestion:
    """Return the question that settles the fact, or the general one when it has none of its own."""
    bank = question_bank()
    return next((question for question in bank.questions if question.settles.fact == fact), bank.missing_fact)
