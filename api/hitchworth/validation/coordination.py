"""Policies that share a loss are policies on the table, each named once."""

from collections.abc import Iterator

from hitchworth.model.fault import Fault
from hitchworth.model.policy import Coordination, Policy


def invalid_coordination(coordination: Coordination | None, policies: tuple[Policy, ...]) -> Iterator[Fault]:
    """Every name is that of a policy, and stands once."""
    names = [policy.name for policy in policies]
    named = coordination.policies if coordination is not None else ()
    for index, name in enumerate(named):
        at = f"/coordination/policies/{index}"
        if name not in names:
            yield Fault(pointer=at, detail="No policy has this name", expected=f"one of {', '.join(names)}", found=name)
        elif name in named[:index]:
            yield Fault(pointer=at, detail="Named twice", expected="each policy once", found=name)
