"""Several policies on one loss: who pays first, or in which proportion, and what is left over.

Pro rata by limits: each policy owes the part of the loss that its limit has of all limits, but no more than it would
pay alone. Primary and excess: each pays what it would pay alone, as long as the loss is not yet paid. The loss is the
greatest replacement cost that a policy looks at (one may count a total loss where another repairs), or an agreed value
that is more.
"""

from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction

from hitchworth.cover.case import carried
from hitchworth.cover.damage import Round
from hitchworth.model.policy import Coordination, Policy
from hitchworth.model.settlement import Combined, PolicyShare, Settlement


def combined(
    settlements: Sequence[Settlement], policies: Sequence[Policy], coordination: Coordination, rounded: Round
) -> tuple[Combined, ...]:
    """For each loss, what the coordinated policies pay together. The settlements are those of each policy alone."""
    limits = {policy.name: carried(policy) for policy in policies}
    alone = {(each.loss, each.policy): each for each in settlements}
    losses = dict.fromkeys(each.loss for each in settlements)
    return tuple(
        _together([alone[loss, name] for name in coordination.policies], coordination, limits, rounded)
        for loss in losses
    )


def _together(
    alone: Sequence[Settlement], coordination: Coordination, limits: dict[str, Decimal | None], rounded: Round
) -> Combined:
    cost = max(each.replacement_cost for each in alone)
    loss_amount = max(cost, *(each.payable for each in alone))
    due = [PolicyShare(policy=each.policy, payable=each.payable) for each in alone]
    if coordination.method == "pro_rata":
        due = _pro_rata(due, limits, loss_amount, rounded)
    shares = _paid(loss_amount, due)
    payable = sum((share.payable for share in shares), Decimal(0))
    return Combined(
        loss=alone[0].loss,
        method=coordination.method,
        shares=shares,
        payable=payable,
        replacement_cost=cost,
        gap=cost - payable,
    )


def _pro_rata(
    alone: Sequence[PolicyShare], limits: dict[str, Decimal | None], loss_amount: Decimal, rounded: Round
) -> list[PolicyShare]:
    """A policy without a limit counts with what it would pay alone."""
    weights = [each.payable if (limit := limits[each.policy]) is None else limit for each in alone]
    whole = Fraction(sum(weights, Decimal(0)))
    owed = [rounded(Fraction(loss_amount) * Fraction(weight) / whole) if whole else Decimal(0) for weight in weights]
    return [
        PolicyShare(policy=each.policy, payable=min(each.payable, part)) for each, part in zip(alone, owed, strict=True)
    ]


def _paid(loss_amount: Decimal, due: Sequence[PolicyShare]) -> tuple[PolicyShare, ...]:
    """Pay what is due in order until the loss is paid."""
    left, shares = loss_amount, []
    for share in due:
        pays = min(share.payable, left)
        left -= pays
        shares.append(PolicyShare(policy=share.policy, payable=pays))
    return tuple(shares)
