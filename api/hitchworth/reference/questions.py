"""The bank of questions to settle in the life of a trailer, and when to ask each."""

from functools import cache
from typing import Annotated, Literal, TypeAlias

from msgspec import Meta, Struct

from hitchworth.model.assessment import Verdict
from hitchworth.model.entry import EvidenceGrade
from hitchworth.model.gap import Addressee, Phase, Urgency
from hitchworth.model.loss import Extent
from hitchworth.model.policy import PolicyKind
from hitchworth.model.provenance import Provenance
from hitchworth.reference.load import read

ProtectionRecord: TypeAlias = Literal["entered", "none", "not_entered"]
"""What is known about the measures against loss.

entered: some are entered
none: it is known that there are none
not_entered: nothing is entered, so they are not known
"""

BasisCondition: TypeAlias = Literal[
    "actual_cash_value", "replacement_cost", "agreed_value", "stated_amount", "market_value", "unknown"
]
"""The basis of settlement of a policy, as a condition of a question.

actual_cash_value: as in the policy
replacement_cost: as in the policy
agreed_value: as in the policy
stated_amount: as in the policy
market_value: as in the policy
unknown: the policy does not say on which basis it settles
"""


class AnswerSettles(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What an answer settles: a term of a policy, a fact, or neither."""

    term: Annotated[str | None, Meta(description="The term of a policy, by its field name. Null: no term.")] = None
    fact: Annotated[str | None, Meta(description="The fact, by its name in GET /v1/facts. Null: no fact.")] = None


class Applicability(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True, omit_defaults=True):
    """When a question is asked: every condition that is given must hold; without any, always."""

    bases: Annotated[
        tuple[BasisCondition, ...],
        Meta(description="The policy settles on one of these; unknown: its basis is not known."),
    ] = ()
    kinds: Annotated[tuple[PolicyKind, ...], Meta(description="The policy is known to be one of these kinds.")] = ()
    knows_built_use: Annotated[
        bool | None,
        Meta(
            description="The insurer of the policy is known to know what the trailer is built for, or not to know. "
            "Null: no condition."
        ),
    ] = None
    verdicts: Annotated[
        tuple[Verdict, ...], Meta(description="How the registered class compares with the built use.")
    ] = ()
    perils: Annotated[tuple[str, ...], Meta(description="One of the losses is by one of these perils.")] = ()
    extents: Annotated[tuple[Extent, ...], Meta(description="One of the losses is of one of these extents.")] = ()
    any_true: Annotated[tuple[str, ...], Meta(description="One of these uses or facts of the build is true.")] = ()
    evidence: Annotated[
        tuple[EvidenceGrade, ...], Meta(description="The cost of a component rests on one of these grades of evidence.")
    ] = ()
    unfinished: Annotated[
        bool | None, Meta(description="Whether a loss falls before the day of completion. Null: no condition.")
    ] = None
    has_vin: Annotated[
        bool | None, Meta(description="Whether an identification number is entered. Null: no condition.")
    ] = None
    has_labor: Annotated[bool | None, Meta(description="Whether labor is entered. Null: no condition.")] = None
    protections: Annotated[
        tuple[ProtectionRecord, ...], Meta(description="The measures against loss of the build are one of these.")
    ] = ()
    has_market_value: Annotated[
        bool | None, Meta(description="Whether a market value is entered. Null: no condition.")
    ] = None
    several_policies: Annotated[
        bool | None, Meta(description="Whether there is more than one policy. Null: no condition.")
    ] = None
    travels: Annotated[
        bool | None, Meta(description="Whether it travels to another jurisdiction, or abroad. Null: no condition.")
    ] = None


class BankQuestion(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A question, in our own words."""

    id: Annotated[str, Meta(description="Stable name of the question.")]
    topic: Annotated[str, Meta(description="What it is about, in a word, for grouping.")]
    phase: Annotated[Phase, Meta(description="When in the life of the trailer it is best asked.")]
    urgency: Annotated[Urgency, Meta(description="How soon to ask.")]
    text: Annotated[str, Meta(description="The question, to be read aloud.")]
    why: Annotated[str, Meta(description="Why it matters.")]
    clear_answer: Annotated[str, Meta(description="What a clear answer looks like.")]
    provenance: Annotated[Provenance, Meta(description="Where it comes from.")]
    to: Annotated[Addressee, Meta(description="Who answers it.")] = "insurer"
    settles: Annotated[AnswerSettles, Meta(description="What the answer settles.")] = AnswerSettles()
    applies: Annotated[Applicability, Meta(description="When it is asked.")] = Applicability()
    bring: Annotated[tuple[str, ...], Meta(description="What to have at hand.")] = ()
    to_see_money: Annotated[
        str, Meta(description="What to enter so that an amount can be computed for the answer; empty where none can.")
    ] = ""
    source: Annotated[str, Meta(description="Empty: common practice, or the source of the term's answers.")] = ""
    source_places: Annotated[
        tuple[str, ...], Meta(description="Where the source is law; it is cited there only. Empty: everywhere.")
    ] = ()


class QuestionBank(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Every question; apart from them the checklist of facts for the verdict, and the worth of the wreck of a loss."""

    facts_to_find: BankQuestion
    salvage_value: BankQuestion
    questions: tuple[BankQuestion, ...]


@cache
def question_bank() -> QuestionBank:
    """Return the bank as it is in the data file."""
    return read("questions.yaml", QuestionBank)


@cache
def bank_questions() -> dict[str, BankQuestion]:
    """Return every question by its id, the two outside the list included."""
    bank = question_bank()
    return {question.id: question for question in (*bank.questions, bank.facts_to_find, bank.salvage_value)}
