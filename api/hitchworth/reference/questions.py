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

    term: str | None = None
    fact: str | None = None


class Applies(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True, omit_defaults=True):
    """When a question is asked: if all of these conditions hold. Without conditions it is always asked."""

    bases: Annotated[tuple[Basis, ...], Meta(description="The policy settles on one of these.")] = ()
    without: Annotated[tuple[str, ...], Meta(description="The policy has no value for these terms.")] = ()
    verdicts: Annotated[tuple[Verdict, ...], Meta(description="The verdict is one of these.")] = ()
    perils: Annotated[tuple[str, ...], Meta(description="A loss is of one of these.")] = ()
    extents: Annotated[tuple[Extent, ...], Meta(description="A loss is of one of these.")] = ()
    any_true: Annotated[tuple[str, ...], Meta(description="One of these uses or facts of the build is true.")] = ()
    evidence: Annotated[tuple[EvidenceGrade, ...], Meta(description="A component has this grade of evidence.")] = ()
    unfinished: Annotated[bool | None, Meta(description="There is no completion date, or a loss is before it.")] = None
    has_vin: bool | None = None
    has_labor: bool | None = None
    has_protections: bool | None = None
    several_policies: bool | None = None


class BankQuestion(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A question, in our own words."""

    id: str
    topic: str
    phase: Annotated[Phase, Meta(description="When in the build to ask it.")]
    urgency: Annotated[Urgency, Meta(description="1: ask it first, 3: when there is time.")]
    text: str
    why: str
    clear_answer: Annotated[str, Meta(description="What a clear answer looks like.")]
    provenance: Provenance
    settles: AnswerSettles = AnswerSettles()
    applies: Applies = Applies()
    bring: tuple[str, ...] = ()
    source: Annotated[str, Meta(description="Empty: common practice, or the source of the term's answers.")] = ""


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
