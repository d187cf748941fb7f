"""The bank of questions to settle before, during and after the build, and when each is asked."""

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
    """When a question is asked: every condition that is given must hold; without any, always."""

    bases: Annotated[tuple[Basis, ...], Meta(description="The policy settles on one of these.")] = ()
    without: Annotated[tuple[str, ...], Meta(description="The policy has nothing entered for these terms.")] = ()
    verdicts: Annotated[tuple[Verdict, ...], Meta(description="Registered class against built use.")] = ()
    perils: Annotated[tuple[str, ...], Meta(description="One of the losses is of one of these.")] = ()
    extents: Annotated[tuple[Extent, ...], Meta(description="One of the losses is of one of these.")] = ()
    any_true: Annotated[tuple[str, ...], Meta(description="One of these uses or facts of the build is true.")] = ()
    evidence: Annotated[tuple[EvidenceGrade, ...], Meta(description="A component rests on one of these.")] = ()
    unfinished: Annotated[bool | None, Meta(description="No day of completion, or a loss before it.")] = None
    has_vin: bool | None = None
    has_labor: bool | None = None
    has_protections: bool | None = None
    several_policies: bool | None = None


class BankQuestion(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """One question, in our own words."""

    id: str
    topic: str
    phase: Annotated[Phase, Meta(description="When in the build it is best asked.")]
    urgency: Annotated[Urgency, Meta(description="1 first, 3 when there is time.")]
    text: str
    why: str
    clear_answer: Annotated[str, Meta(description="What a clear answer looks like.")]
    provenance: Provenance
    settles: AnswerSettles = AnswerSettles()
    applies: Applies = Applies()
    bring: tuple[str, ...] = ()
    source: Annotated[str, Meta(description="Empty: common practice, or the source of the term's answers.")] = ""


class QuestionBank(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Every question, and the one that is asked of a fact without a question of its own."""

    missing_fact: BankQuestion
    questions: tuple[BankQuestion, ...]


@cache
def question_bank() -> QuestionBank:
    """The bank as it lies in the data."""
    return read("questions.yaml", QuestionBank)


@cache
def bank_questions() -> dict[str, BankQuestion]:
    """Every question by its id, that of a missing fact included."""
    bank = question_bank()
    return {question.id: question for question in (*bank.questions, bank.missing_fact)}


@cache
def question_of_fact(fact: str) -> BankQuestion:
    """The question that settles the fact; without one of its own, the general one."""
    bank = question_bank()
    return next((question for question in bank.questions if question.settles.fact == fact), bank.missing_fact)
