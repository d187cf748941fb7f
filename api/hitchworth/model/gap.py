"""A gap statement: estimate, assessment, settlements, and the questions that decide most of the money."""

from datetime import date
from typing import Annotated, Literal, TypeAlias

from msgspec import Meta, Struct, field

from hitchworth.model.after_loss import AfterLoss
from hitchworth.model.answer import Answer
from hitchworth.model.assessment import Assessment
from hitchworth.model.estimate import Estimate
from hitchworth.model.note import Note
from hitchworth.model.numbers import RoundedAmount
from hitchworth.model.protection import ProtectionReport
from hitchworth.model.settlement import Combined, MatrixCell, PolicyComparison, Settlement

Phase: TypeAlias = Literal["buying", "building", "binding", "renewal", "claim"]
"""When in the life of a trailer a question is best asked.

buying: before the base is bought
building: while the trailer is built
binding: at application, before the policy begins
renewal: when the policy is renewed
claim: after a loss
"""

Addressee: TypeAlias = Literal["insurer", "authority", "builder"]
"""Who answers a question.

insurer: the insurer or its agent
authority: the authority that registers the trailer
builder: you, by looking or measuring
"""

Urgency: TypeAlias = Literal[1, 2, 3]
"""How soon to ask.

1: first
2: next
3: when there is time
"""


class Settles(Struct, frozen=True, kw_only=True):
    """What the answer to a question settles: a term of a policy, a fact, or what a loss does not say."""

    policy: Annotated[str | None, Meta(description="Name of the policy. Null: no term of a policy.")] = None
    term: Annotated[
        str | None,
        Meta(
            description="The term, as an answer names it: a field of the policy, covers_perils.NAME, "
            "covers_situations.NAME. Null: no term."
        ),
    ] = None
    fact: Annotated[str | None, Meta(description="Name of the fact. Null: no fact.")] = None
    loss: Annotated[
        str | None,
        Meta(
            description="Name of the loss; an answer names it and the term, or the loss has it as that field. Null: "
            "nothing about a loss."
        ),
    ] = None


class LossStake(Struct, frozen=True, kw_only=True, gc=False):
    """How far the answer moves what is payable for one loss."""

    loss: Annotated[str, Meta(description="Name of the loss.")]
    amount: Annotated[
        RoundedAmount, Meta(description="Greatest difference between two answers, whatever else is answered.")
    ]


class MoneyAtStake(Struct, frozen=True, kw_only=True):
    """How far the answer moves what is payable: over the losses given, the least and the greatest spread.

    Exact: every combination of plausible answers to all open terms is settled.
    """

    low: Annotated[RoundedAmount, Meta(description="The spread for the loss on which it is least.")]
    high: Annotated[RoundedAmount, Meta(description="The spread for the loss on which it is greatest.")]
    by_loss: Annotated[tuple[LossStake, ...], Meta(description="Loss by loss.")] = ()


class PayableRange(Struct, frozen=True, kw_only=True, gc=False):
    """What is payable, depending on the answers to the other open terms."""

    low: Annotated[RoundedAmount, Meta(description="The others at their least favorable.")]
    high: Annotated[RoundedAmount, Meta(description="The others at their most favorable.")]


class LossPayable(Struct, frozen=True, kw_only=True, gc=False):
    """What is payable for one loss."""

    loss: Annotated[str, Meta(description="Name of the loss.")]
    payable: Annotated[PayableRange, Meta(description="From the least to the most that is payable.")]


class PlausibleAnswer(Struct, frozen=True, kw_only=True):
    """One plausible answer to a question, and what it means in money."""

    value: Annotated[
        bool | str | tuple[str, ...],
        Meta(description="As an answer would give it; numbers as text. none: the policy does not have the term."),
    ]
    payable: Annotated[PayableRange, Meta(description="For the loss on which the answer moves the most.")]
    by_loss: Annotated[tuple[LossPayable, ...], Meta(description="Loss by loss.")] = ()
    text: Annotated[str, Meta(description="The answer in words.")] = ""


class ChecklistFact(Struct, frozen=True, kw_only=True):
    """A fact to look at or to measure."""

    fact: Annotated[str, Meta(description="Name of the fact.")]
    question: Annotated[str, Meta(description="What to find out.")]
    measure: Annotated[str, Meta(description="Where to look, or how to measure.")]
    decisive: Annotated[bool, Meta(description="Of the fewest facts whose answers can settle the verdict.")]


class Question(Struct, frozen=True, kw_only=True):
    """A question to the insurer, the authority or the builder, ranked by the money at stake, then by urgency."""

    id: Annotated[str, Meta(description="Unique within the statement.")]
    entry: Annotated[str, Meta(description="The question of GET /v1/questions that it is.")]
    topic: Annotated[str, Meta(description="What it is about.")]
    phase: Annotated[Phase, Meta(description="When it is best asked.")]
    to: Annotated[Addressee, Meta(description="Who answers it.")]
    urgency: Annotated[Urgency, Meta(description="1 first, 3 when there is time.")]
    settles: Annotated[Settles, Meta(description="What the answer settles.")]
    money_at_stake: Annotated[MoneyAtStake, Meta(description="0 where no figure depends on the answer.")]
    plausible: Annotated[
        tuple[PlausibleAnswer, ...], Meta(description="The plausible answers, and what is payable under each.")
    ] = ()
    checklist: Annotated[
        tuple[ChecklistFact, ...],
        Meta(description="Of the question to the builder that asks for several facts at once."),
    ] = ()
    parameters: Annotated[dict[str, str], Meta(description="What the texts are filled with.")] = field(
        default_factory=dict
    )
    text: Annotated[str, Meta(description="The question, to be read aloud.")] = ""
    why: Annotated[str, Meta(description="Why it matters.")] = ""
    clear_answer: Annotated[str, Meta(description="What a clear answer looks like.")] = ""
    to_see_money: Annotated[
        str, Meta(description="Where money_at_stake is 0: what to enter so that it can be computed.")
    ] = ""
    bring: Annotated[tuple[str, ...], Meta(description="What to have at hand.")] = ()
    source: Annotated[str, Meta(description="Where the question or its answers come from.")] = ""


class GapStatement(Struct, frozen=True, kw_only=True):
    """What replacing the trailer costs beyond what would be paid, by cause, in words and money."""

    as_of: Annotated[date, Meta(description="Valuation date of the estimate and the assessment.")]
    locale: Annotated[str, Meta(description="Locale of the texts: the one requested, or the nearest available.")]
    estimate: Annotated[Estimate, Meta(description="What the trailer costs to replace, and what it is worth.")]
    assessment: Annotated[Assessment, Meta(description="How the registered class compares with the built use.")]
    settlements: Annotated[
        tuple[Settlement, ...], Meta(description="One settlement for each policy and loss, policy by policy.")
    ]
    matrix: Annotated[tuple[MatrixCell, ...], Meta(description="The same settlements in short.")]
    combined: Annotated[
        tuple[Combined, ...],
        Meta(description="With coordination: what the policies pay together, one entry a loss. Otherwise empty."),
    ]
    comparison: Annotated[PolicyComparison, Meta(description="The policies compared with one another.")]
    questions: Annotated[
        tuple[Question, ...],
        Meta(description="The open questions, those with the most money at stake first, then by urgency."),
    ]
    answers: Annotated[tuple[Answer, ...], Meta(description="The recorded answers of the request.")]
    protection: Annotated[
        ProtectionReport, Meta(description="What protects the trailer against loss, and what is missing.")
    ]
    after_loss: Annotated[AfterLoss, Meta(description="What to do after a loss by one of the perils given.")]
    digest: Annotated[
        str,
        Meta(
            description="12 hexadecimal digits of a digest of the request, whatever its locale: equal data, equal "
            "digits."
        ),
    ]
    notes: Annotated[tuple[Note, ...], Meta(description="What is missing before anything can be settled.")] = ()
    statement: Annotated[
        str, Meta(description="Cost, value, verdict, largest gap, assumptions and first question in a paragraph.")
    ] = ""
    cautions: Annotated[tuple[str, ...], Meta(description="What to keep in mind before relying on it.")] = ()
