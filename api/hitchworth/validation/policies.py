"""Policies that say what their terms need, and no more of them than can be settled."""

from collections.abc import Iterator, Sequence

from hitchworth.model.fault import Fault
from hitchworth.model.policy import Loss, Policy

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
    for place, deductible in enumerate(policy.peril_deductibles or ()):
        if policy.limit is None and deductible.applies_to == "limit" and deductible.rate:
            yield Fault(
                pointer=f"{pointer}/peril_deductibles/{place}/applies_to",
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
