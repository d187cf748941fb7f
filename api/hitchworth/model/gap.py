"""A gap statement: estimate, assessment, settlements, and the questions that decide most of the money."""

from datetime import date
from typing import Annotated, Literal, TypeAlias

from msgspec import Meta, Struct, field

from hitchworth.model.after_loss import AfterLoss
from hitchworth.model.assessment import Assessment
from hitchworth.model.estimate import Estimate
from hitchworth.model.numbers import RoundedAmount
from hitchworth.model.policy import Answer
from hitchworth.model.protection import ProtectionReport
from hitchworth.model.settlement import Combined, MatrixCell, PolicyComparison, Settlement

Phase: TypeAlias = Literal["before", "during", "after"]
"""When in the build a question is best asked.

before: before the build
during: during the build
after: after the build
"""

Urgency: TypeAlias = Literal[1, 2, 3]
"""How soon to ask.

1: first
2: next
3: when there is time
"""


class Settles(Struct, frozen=True, kw_only=True):
    """What the answer to a question settles: a term of a policy, a fact, or neither."""

    policy: Annotated[str | None, Meta(description="Name of the policy whose term it settles. Null: no term.")] = None
    term: Annotated[str | None, Meta(description="The term, by its field name in Policy. Null: no term.")] = None
    fact: Annotated[str | None, Meta(description="The fact, by its name in GET /v1/facts. Null: no fact.")] = None


class LossStake(Struct, frozen=True, kw_only=True, gc=False):
    """How far the answer moves what is payable for one loss."""

    loss: Annotated[str, Meta(description="Name of the loss.")]
    amount: Annotated[
        RoundedAmount, Meta(description="Greatest difference between what two plausible answers make payable.")
    ]


class MoneyAtStake(Struct, frozen=True, kw_only=True):
    """How far the answer moves what is payable: the difference over the plausible answers, for the losses given."""

    low: Annotated[RoundedAmount, Meta(description="The difference for the loss with the least.")]
    high: Annotated[
        RoundedAmount, Meta(description="The difference for the loss with the most; questions are ranked by it.")
    ]
    by_loss: Annotated[
        tuple[LossStake, ...], Meta(description="Loss by loss; of several policies the greatest difference.")
    ] = ()


class Question(Struct, frozen=True, kw_only=True):
    """A question to the insurer or to yourself."""

    id: Annotated[
        str, Meta(description="Unique in the answer: POLICY.TERM, fact.FACT, or the id of the bank's question.")
    ]
    entry: Annotated[str, Meta(description="Id of the question of GET /v1/questions that it is.")]
    topic: Annotated[str, Meta(description="What it is about, in a word, for grouping.")]
    phase: Annotated[Phase, Meta(description="When in the build it is best asked.")]
    urgency: Annotated[Urgency, Meta(description="How soon to ask.")]
    settles: Annotated[Settles, Meta(description="What its answer settles.")]
    money_at_stake: Annotated[
        MoneyAtStake, Meta(description="How far the answer moves what is payable; 0 where no figure depends on it.")
    ]
    parameters: Annotated[
        dict[str, str], Meta(description="The values in the texts, by name, as unformatted text.")
    ] = field(default_factory=dict)
    text: Annotated[str, Meta(description="The question, in the language of the request's locale.")] = ""
    why: Annotated[str, Meta(description="Why it matters.")] = ""
    clear_answer: Annotated[str, Meta(description="What a clear answer looks like.")] = ""
    bring: Annotated[tuple[str, ...], Meta(description="What to have at hand when you ask.")] = ()
    source: Annotated[str, Meta(description="Where the question, or the plausible answers to it, come from.")] = ""


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
    statement: Annotated[
        str, Meta(description="Cost, value, verdict, largest gap, assumptions and first question in a paragraph.")
    ] = ""
    cautions: Annotated[tuple[str, ...], Meta(description="What to keep in mind before relying on it.")] = ()
