"""Policies that say what their basis needs."""

from collections.abc import Iterator

from hitchworth.model.fault import Fault
from hitchworth.model.policy import Policy


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
