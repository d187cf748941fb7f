"""Several policies on one loss: who pays first, or in which proportion, and what is left over.

Pro rata by limits: each policy owes the part of the loss that its limit has of all limits, but no more than it would
pay alone. Primary and excess: each pays what it would pay alone, as long as the loss is not yet paid.
"""

from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction

from hitchworth.cover.damage import Round
from hitchworth.model.policy import Coordination, Policy
from hitchworth.model.settlement import Combined, PolicyShare, Settlement


def combined(
    settlements: Sequence[Settlement], policies: Sequence[Policy], coordination: Coordination, rounded: Round
) -> tuple[Combined, ...]:
    """For each loss, what the coordinated policies pay together. The settlements are those of each policy alone."""
    limits = {policy.name: policy.limit if policy.limit is not None else policy.amount for policy in policies}
    losses = dict.fromkeys(settlement.loss for settlement in settlements)
    answers = []
    for loss in losses:
        alone = {settlement.policy: settlement for settlement in settlements if settlement.loss == loss}
        in_order = [alone[name] for name in coordination.policies]
        cost = in_order[0].replacement_cost
        share = _pro_rata(in_order, limits, cost, rounded) if coordination.method == "pro_rata" else in_order
        answers.append(_paid(loss, coordination, cost, [(each.policy, each.payable) for each in share]))
    return tuple(answers)


def _pro_rata(
    alone: Sequence[Settlement], limits: dict[str, Decimal | None], cost: Decimal, rounded: Round
) -> list[PolicyShare]:
    """A policy without a limit counts with what it would pay alone."""
    weights = [each.payable if (limit := limits[each.policy]) is None else limit for each in alone]
    whole = sum(weights, Decimal(0))
    owed = [rounded(Fraction(cost) * Fraction(weight) / Fraction(whole)) if whole else Decimal(0) for weight in weights]
    return [
        PolicyShare(policy=each.policy, payable=min(each.payable, part)) for each, part in zip(alone, owed, strict=True)
    ]


def _paid(loss: str, coordination: Coordination, cost: Decimal, due: list[tuple[str, Decimal]]) -> Combined:
    """Pay what is due in order until the loss is paid."""
    left, shares = cost, []
    for policy, payable in due:
        pays = min(payable, left)
        left -= pays
        shares.append(PolicyShare(policy=policy, payable=pays))
    return Combined(
        loss=loss,
        method=coordination.method,
        shares=tuple(shares),
        payable=cost - left,
        replacement_cost=cost,
        gap=left,
    )
