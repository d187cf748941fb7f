"""The money at stake over the losses: how far the answer to a question moves what is payable for each of them."""

from collections.abc import Mapping, Sequence
from decimal import Decimal

from hitchworth.coverage.claim import VERDICT
from hitchworth.coverage.outcomes import Outcomes
from hitchworth.model.gap import LossStake, MoneyAtStake

NO_MONEY = MoneyAtStake(low=Decimal(0), high=Decimal(0))
"""Of a question whose answer moves no figure."""


def term_stakes(outcomes: Sequence[Outcomes]) -> Mapping[tuple[str, str], MoneyAtStake]:
    """Return the money at stake on each open term of each policy, by the names of the two."""
    by_policy: dict[str, list[Outcomes]] = {}
    for each in outcomes:
        by_policy.setdefault(each.claim.policy.name, []).append(each)
    return {
        (policy, term): _at_stake([_stake(each, term) for each in of_policy])
        for policy, of_policy in by_policy.items()
        for term in dict.fromkeys(term for each in of_policy for term in each.terms)
    }


def verdict_stake(outcomes: Sequence[Outcomes]) -> MoneyAtStake:
    """Return what an undetermined verdict moves over all policies; it is at stake on every missing fact."""
    return _at_stake([_stake(each, VERDICT) for each in outcomes if VERDICT in each.terms])


def _stake(outcomes: Outcomes, term: str) -> LossStake:
    return LossStake(loss=outcomes.claim.loss.name, amount=outcomes.stake(term))


def _at_stake(found: Sequence[LossStake]) -> MoneyAtStake:
    """Return the money at stake; of several policies on one loss the greatest amount counts."""
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
