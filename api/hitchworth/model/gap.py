"""A gap statement: estimate, assessment, settlements, and the questions that decide most of the money."""

from datetime import date
from decimal import Decimal
from typing import Annotated, Literal, TypeAlias

from msgspec import Meta, Struct, field

from hitchworth.model.after_loss import AfterLoss
from hitchworth.model.assessment import Assessment
from hitchworth.model.estimate import Estimate
from hitchworth.model.policy import Answer
from hitchworth.model.protection import ProtectionReport
from hitchworth.model.settlement import Combined, MatrixCell, PolicyComparison, Settlement

Phase: TypeAlias = Literal["before", "during", "after"]
"""When in the build a question is best asked: before it, while it goes on, after it."""

Urgency: TypeAlias = Literal[1, 2, 3]
"""1 first, 3 when there is time."""


class Settles(Struct, frozen=True, kw_only=True):
    """What the answer to a question settles: a term of a policy, or a fact."""

    policy: str | None = None
    term: str | None = None
    fact: str | None = None


class LossStake(Struct, frozen=True, kw_only=True, gc=False):
    """How far the answer moves what is payable for one loss."""

    loss: str
    amount: Decimal


class MoneyAtStake(Struct, frozen=True, kw_only=True):
    """How far the answer moves what is payable: over the losses given, the least and the greatest spread."""

    low: Decimal
    high: Decimal
    by_loss: Annotated[tuple[LossStake, ...], Meta(description="Loss by loss.")] = ()


class Question(Struct, frozen=True, kw_only=True):
    """A question to the insurer or to the builder, ranked by the money that hangs on its answer, then by urgency."""

    id: str
    entry: Annotated[str, Meta(description="The question of GET /v1/questions that it is.")]
    topic: str
    phase: Phase
    urgency: Urgency
    settles: Settles
    money_at_stake: Annotated[MoneyAtStake, Meta(description="0 where no figure hangs on the answer.")]
    parameters: dict[str, str] = field(default_factory=dict)
    text: str = ""
    why: str = ""
    clear_answer: Annotated[str, Meta(description="What a clear answer looks like.")] = ""
    bring: tuple[str, ...] = ()
    source: str = ""


class GapStatement(Struct, frozen=True, kw_only=True):
    """What replacing the trailer costs beyond what would be paid, taken apart by cause, in words and money."""

    as_of: date
    locale: str
    estimate: Estimate
    assessment: Assessment
    settlements: tuple[Settlement, ...]
    matrix: Annotated[tuple[MatrixCell, ...], Meta(description="Policy by loss in short.")]
    combined: Annotated[tuple[Combined, ...], Meta(description="With coordination: what the policies pay together.")]
    comparison: PolicyComparison
    questions: tuple[Question, ...]
    answers: Annotated[tuple[Answer, ...], Meta(description="The recorded answers on which figures rest.")]
    protection: Annotated[ProtectionReport, Meta(description="What slows a loss, and what is not protected.")]
    after_loss: Annotated[AfterLoss, Meta(description="What to do after a loss by one of the perils given.")]
    digest: Annotated[
        str, Meta(description="Short digest of what was asked, in whatever language: the same data, the same digits.")
    ]
    statement: str = ""
    cautions: tuple[str, ...] = ()
