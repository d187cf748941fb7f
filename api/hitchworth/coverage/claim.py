"""One policy and one loss brought together, and the terms of the policy as a settlement reads them."""

from decimal import Decimal
from typing import TypeVar

from msgspec import Struct

from hitchworth.coverage.loss import LossContext, LossLine, by_category, with_depreciation_cap
from hitchworth.model.assessment import Verdict
from hitchworth.model.policy import Loss, Policy
from hitchworth.money import Money

T = TypeVar("T")

VERDICT = "verdict"
"""The verdict of the classification counts as an open term while it is undetermined. Facts settle it."""


class OpenTermError(LookupError):
    """A term that a settlement needs is not known."""

    def __init__(self, term: str) -> None:
        super().__init__(term)
        self.term = term


class Claim(Struct, frozen=True):
    """A policy, a loss, and what the policy looks at: the lines by category."""

    policy: Policy
    context: LossContext
    lost: tuple[LossLine, ...]
    whole: tuple[LossLine, ...]
    plain_trailer: LossLine

    @property
    def loss(self) -> Loss:
        return self.context.loss

    @property
    def money(self) -> Money:
        return self.context.money

    @property
    def verdict(self) -> Verdict:
        """The verdict of the classification. Raises OpenTermError while it is undetermined."""
        if self.context.verdict == "undetermined":
            raise OpenTermError(VERDICT)
        return self.context.verdict

    @property
    def salvage_kept(self) -> int:
        """What the wreck of a total loss is worth that the insured keeps."""
        kept = self.loss.salvage_value if self.loss.salvage_kept else None
        return self.money.to_minor_units(kept or Decimal(0))

    @property
    def amount_of_insurance(self) -> int | None:
        """The limit; without one, the amount that was agreed or stated."""
        amount = amount_of_insurance(self.policy)
        return None if amount is None else self.money.to_minor_units(amount)


def claim_of(policy: Policy, context: LossContext) -> Claim:
    """Return the claim; the lines' depreciation is limited by the policy's cap before they are added up."""
    cap = policy.depreciation_cap

    def capped(*lines: LossLine) -> tuple[LossLine, ...]:
        return lines if cap is None else with_depreciation_cap(lines, cap, context.money)

    lost, whole = by_category(capped(*context.lost)), by_category(capped(*context.whole))
    (plain_trailer,) = capped(context.plain_trailer)
    return Claim(policy, context, lost, whole, plain_trailer)


def amount_of_insurance(policy: Policy) -> Decimal | None:
    """Return the limit of the policy; without one, the amount that was agreed or stated."""
    return policy.amount if policy.limit is None else policy.limit


def known(value: T | None, term: str) -> T:
    """Return the value of a term. Raises OpenTermError when it is not known."""
    if value is None:
        raise OpenTermError(term)
    return value
