"""Swings over the losses: how far the answer to a question moves what is payable, at least and at most."""

from collections.abc import Iterable, Mapping, Sequence
from decimal import Decimal

from msgspec.structs import replace

from hitchworth.cover.circumstances import Circumstances
from hitchworth.cover.outcomes import Outcomes
from hitchworth.model.gap import MoneyAtStake
from hitchworth.model.policy import Policy

NO_MONEY = MoneyAtStake(low=Decimal(0), high=Decimal(0))
"""Of a question on whose answer no figure hangs."""


def term_swings(outcomes: Sequence[Outcomes]) -> Mapping[tuple[str, str], MoneyAtStake]:
    """For each open term of each policy, by the names of the two, the least and the greatest swing over the losses."""
    swings: dict[tuple[str, str], list[Decimal]] = {}
    for each in outcomes:
        for term in each.terms:
            swings.setdefault((each.claim.policy.name, term), []).append(each.swing(term))
    return {named: _at_stake(found) for named, found in swings.items()}


def verdict_swing(policies: Sequence[Policy], losses: Sequence[Circumstances]) -> MoneyAtStake:
    """What the verdict moves: every missing fact may turn it, so as much hangs on each."""
    return _at_stake(_moved_by_verdict(policy, around) for policy in policies for around in losses)


def _moved_by_verdict(policy: Policy, around: Circumstances) -> Decimal:
    match = Outcomes(policy, replace(around, verdict="match"))
    mismatch = Outcomes(policy, replace(around, verdict="mismatch"))
    answers = {*match.neighbours(), *mismatch.neighbours()}
    return max(abs(match.payable(each) - mismatch.payable(each)) for each in answers)


def _at_stake(swings: Iterable[Decimal]) -> MoneyAtStake:
    found = tuple(swings)
    return MoneyAtStake(low=min(found), high=max(found))
