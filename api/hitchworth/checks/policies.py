"""Policies that say what their basis needs, and options that can be reckoned with."""

from collections.abc import Iterator
from decimal import Decimal

from hitchworth.model.fault import Fault
from hitchworth.model.options import Options
from hitchworth.model.policy import Policy

LEAST_CONFIDENCE, GREATEST_CONFIDENCE = Decimal("0.5"), Decimal("0.999")


def amounts_missing(policies: tuple[Policy, ...]) -> Iterator[Fault]:
    """An agreed value and a stated amount are amounts."""
    for index, policy in enumerate(policies):
        if policy.basis in ("agreed_value", "stated_amount") and policy.amount is None:
            yield Fault(
                pointer=f"/policies/{index}/amount",
                detail=f"Basis {policy.basis} needs it",
                expected="the amount that was agreed or stated",
                found="nothing",
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
