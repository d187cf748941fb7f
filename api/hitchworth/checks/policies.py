"""Policies that say what their terms need, no more of them than can be settled, and options to reckon with."""

from collections.abc import Iterator, Sequence
from decimal import Decimal

from hitchworth.model.fault import Fault
from hitchworth.model.options import Options
from hitchworth.model.policy import Loss, Policy

LEAST_CONFIDENCE, GREATEST_CONFIDENCE = Decimal("0.5"), Decimal("0.999")

MOST_SETTLEMENTS = 400
"""Of one request: every policy is tried against every loss, several times over for what is not known."""


def amounts_missing(policies: Sequence[Policy]) -> Iterator[Fault]:
    """Every policy has the amounts that its terms need."""
    for index, policy in enumerate(policies):
        yield from missing_amounts(policy, f"/policies/{index}")


def missing_amounts(policy: Policy, pointer: str) -> Iterator[Fault]:
    """An agreed value and a stated amount are amounts; a deductible that is a share of the limit needs one."""
    if policy.amount is not None:
        return
    if policy.basis in ("agreed_value", "stated_amount"):
        yield Fault(
            pointer=f"{pointer}/amount",
            detail=f"Basis {policy.basis} needs it",
            expected="the amount that was agreed or stated",
            found="nothing",
        )
    for place, deductible in enumerate(policy.deductibles):
        if policy.limit is None and deductible.of == "limit" and deductible.rate:
            yield Fault(
                pointer=f"{pointer}/deductibles/{place}/of",
                detail="The policy has no limit of which this is a share",
                expected="a policy with a limit or an amount, or a share of the loss or the value",
                found="limit",
            )


def settlements_too_many(policies: Sequence[Policy], losses: Sequence[Loss]) -> Iterator[Fault]:
    """Policies times losses is bounded."""
    count = len(policies) * len(losses)
    if count > MOST_SETTLEMENTS:
        yield Fault(
            pointer="/losses",
            detail="Too many settlements in one request",
            expected=f"policies x losses of at most {MOST_SETTLEMENTS}",
            found=f"{len(policies)} x {len(losses)} = {count:,}",
        )


def confidence_out_of_range(options: Options) -> Iterator[Fault]:
    """A band at less than even odds, or at certainty, means nothing."""
    if not LEAST_CONFIDENCE <= options.confidence <= GREATEST_CONFIDENCE:
        yield Fault(
            pointer="/options/confidence",
            detail="Number out of bounds",
            expected=f"a number from {LEAST_CONFIDENCE} to {GREATEST_CONFIDENCE}",
            found=str(options.confidence),
        )
