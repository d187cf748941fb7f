"""Swings over the losses: how far the answer to a question moves what is payable, at least, at most and each time."""

from collections.abc import Mapping, Sequence
from decimal import Decimal

from hitchworth.coverage.outcomes import VERDICT, Outcomes
from hitchworth.model.gap import LossStake, MoneyAtStake

NO_MONEY = MoneyAtStake(low=Decimal(0), high=Decimal(0))
"""Of a question on whose answer no figure hangs."""


def term_stakes(outcomes: Sequence[Outcomes]) -> Mapping[tuple[str, str], MoneyAtStake]:
    """For each open term of each policy, by the names of the two, the swings over the losses."""
    swings: dict[tuple[str, str], list[LossStake]] = {}
    for each in outcomes:
        for term in each.terms:
            swings.setdefault((each.claim.policy.name, term), []).append(_stake(each, term))
    return {named: _at_stake(found) for named, found in swings.items()}


def verdict_stake(outcomes: Sequence[Outcomes]) -> MoneyAtStake:
    """What an undetermined verdict moves over all policies; every missing fact may turn it, so it hangs on each."""
    return _at_stake([_stake(each, VERDICT) for each in outcomes if VERDICT in each.terms])


def _stake(outcomes: Outcomes, term: str) -> LossStake:
    return LossStake(loss=outcomes.claim.loss.name, amount=outcomes.swing(term))


def _at_stake(found: Sequence[LossStake]) -> MoneyAtStake:
    """Of several policies on one loss the greatest counts."""
    if not found:
        return NO_MONEY
    by_loss: dict[str, Decimal] = {}
    for stake in found:
        by_loss[stake.loss] = max(stake.amount, by_loss.get(stake.loss, Decimal(0)))
    return MoneyAtStake(
        low=min(stake.amount for stake in found),
        high=max(stake.amount for stake in found),
        by_loss=tuple(LossStake(loss=loss, amount=amount) for loss, amount in by_loss.items()),
    )
