"""Several policies on one loss: who pays first, or in which proportion, and what is left over.

The loss that a policy shares is what it comes to on the policy's own basis, before its terms (`insured_loss`); one that
does not cover the loss has no part in it. Primary and excess: each pays what it would pay alone, but no more than its
loss less what was paid before. Pro rata by limits: each owes the part of its loss that its limit has of all limits,
less its own deductible, and no more than it would pay alone.
"""

from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction

from hitchworth.model.policy import Coordination, Policy
from hitchworth.model.settlement import Combined, PolicyShare, Settlement
from hitchworth.money import Money

ZERO = Decimal(0)


def combined(
    settlements: Sequence[Settlement], policies: Sequence[Policy], coordination: Coordination, money: Money
) -> tuple[Combined, ...]:
    """For each loss, what the coordinated policies pay together. The settlements are those of each policy alone."""
    limits = {policy.name: policy.amount if policy.limit is None else policy.limit for policy in policies}
    alone = {(each.loss, each.policy): each for each in settlements}
    losses = dict.fromkeys(each.loss for each in settlements)
    return tuple(
        _together([alone[loss, name] for name in coordination.policies], coordination, limits, money) for loss in losses
    )


def _together(
    alone: Sequence[Settlement], coordination: Coordination, limits: dict[str, Decimal | None], money: Money
) -> Combined:
    due = [each.payable for each in alone]
    if coordination.method == "pro_rata":
        due = _pro_rata(alone, [limits[each.policy] for each in alone], money)
    shares: list[PolicyShare] = []
    paid = ZERO
    for each, owed in zip(alone, due, strict=True):
        pays = max(min(owed, max(each.insured_loss, each.payable) - paid), ZERO)
        paid += pays
        shares.append(PolicyShare(policy=each.policy, payable=pays))
    cost = max(each.replacement_cost for each in alone)
    return Combined(
        loss=alone[0].loss,
        method=coordination.method,
        shares=tuple(shares),
        payable=paid,
        replacement_cost=cost,
        gap=cost - paid,
    )


def _pro_rata(alone: Sequence[Settlement], limits: Sequence[Decimal | None], money: Money) -> list[Decimal]:
    """What each owes. A policy without a limit counts with what it would pay alone."""
    weights = [
        ZERO if not each.insured_loss else each.payable if limit is None else limit
        for each, limit in zip(alone, limits, strict=True)
    ]
    whole = Fraction(sum(weights, ZERO)) or Fraction(1)
    parts = [
        money.rounded(Fraction(each.insured_loss) * Fraction(weight) / whole)
        for each, weight in zip(alone, weights, strict=True)
    ]
    return [min(each.payable, max(part - _deductible(each), ZERO)) for each, part in zip(alone, parts, strict=True)]


def _deductible(settlement: Settlement) -> Decimal:
    return sum((-step.amount for step in settlement.steps if step.code == "deductible"), ZERO)
