"""Two policies side by side: the yearly chance of a loss above which the one with the higher premium is worth it.

No loss rate is assumed. The break-even probability is the extra premium over the extra payment; where the user gave a
yearly probability for every loss, the expected yearly cost (premium and the gaps, each times its probability) is added.
What the allowances pay toward expenses counts as payment, and the rest of the expenses as gap.
"""

from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction
from itertools import combinations

from hitchworth.model.loss import Loss
from hitchworth.model.policy import Policy
from hitchworth.model.settlement import BreakEven, ExpectedCost, Settlement
from hitchworth.money import Money

_PLACES = Decimal("0.0001")


def break_evens(settlements: Sequence[Settlement], policies: Sequence[Policy], money: Money) -> tuple[BreakEven, ...]:
    """Return each pair of policies with known premiums, for each loss.

    The probability is null where the policy with the higher premium never pays off.
    """
    paid = {(each.policy, each.loss): _paid(each) for each in settlements}
    losses = dict.fromkeys(each.loss for each in settlements)
    known = ((policy.name, _premium(policy, money)) for policy in policies)
    priced = sorted(((premium, name) for name, premium in known if premium is not None))
    return tuple(
        _break_even(loss, cheaper, dearer, more - less, paid[dearer, loss] - paid[cheaper, loss])
        for (less, cheaper), (more, dearer) in combinations(priced, 2)
        for loss in losses
    )


def expected_costs(
    settlements: Sequence[Settlement], policies: Sequence[Policy], losses: Sequence[Loss], money: Money
) -> tuple[ExpectedCost, ...]:
    """The expected yearly cost of each policy; empty unless every loss has a probability of the user's own."""
    chances = {loss.name: loss.annual_probability for loss in losses}
    if any(chance is None for chance in chances.values()):
        return ()
    costs = []
    for policy in policies:
        own = (each for each in settlements if each.policy == policy.name)
        exact = sum((Fraction(_unpaid(each)) * Fraction(chances[each.loss] or 0) for each in own), Fraction(0))
        gaps = money.rounded(abs(exact)).copy_sign(-1 if exact < 0 else 1)
        premium = _premium(policy, money)
        total = None if premium is None else premium + gaps
        costs.append(ExpectedCost(policy=policy.name, annual_premium=premium, expected_gap=gaps, expected_cost=total))
    return tuple(costs)


def _paid(settlement: Settlement) -> Decimal:
    return settlement.payable + sum((expense.payable for expense in settlement.expenses), Decimal(0))


def _unpaid(settlement: Settlement) -> Decimal:
    return settlement.gap + sum((expense.incurred - expense.payable for expense in settlement.expenses), Decimal(0))


def _premium(policy: Policy, money: Money) -> Decimal | None:
    return None if policy.annual_premium is None else money.rounded(Fraction(policy.annual_premium))


def _break_even(loss: str, cheaper: str, dearer: str, premium: Decimal, extra: Decimal) -> BreakEven:
    worth_it = extra > 0 and premium <= extra
    return BreakEven(
        lower_premium_policy=cheaper,
        higher_premium_policy=dearer,
        loss=loss,
        extra_premium=premium,
        extra_payable=extra,
        probability=(premium / extra).quantize(_PLACES) if worth_it else None,
    )
