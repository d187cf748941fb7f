"""Towing, storage and loss of use: what a policy pays toward them, beside the trailer."""

from fractions import Fraction

from hitchworth.coverage.claim import Claim
from hitchworth.model.loss import Expense
from hitchworth.model.policy import Allowance
from hitchworth.model.settlement import ExpensePaid
from hitchworth.money import Money


def expenses_paid(claim: Claim, *, covered: bool) -> tuple[ExpensePaid, ...]:
    """Return every expense of the loss with what the policy's allowance of its kind pays toward it.

    A loss that is not covered has no allowance.
    """
    money = claim.money
    by_kind = {allowance.kind: allowance for allowance in claim.policy.allowances or () if covered}
    left = {kind: money.to_minor_units(allowance.limit) for kind, allowance in by_kind.items()}
    paid = []
    for expense in claim.loss.expenses:
        incurred, payable = money.to_minor_units(expense.amount), 0
        if expense.kind in by_kind:
            payable = min(_payable(by_kind[expense.kind], expense, incurred, money), left[expense.kind])
            left[expense.kind] -= payable
        paid.append(
            ExpensePaid(
                kind=expense.kind, incurred=money.from_minor_units(incurred), payable=money.from_minor_units(payable)
            )
        )
    return tuple(paid)


def _payable(allowance: Allowance, expense: Expense, incurred: int, money: Money) -> int:
    """Return the expense, or by the day no more than the daily limit for each day after the waiting days.

    An expense without a number of days counts as one day.
    """
    if allowance.per_day is None and not allowance.waiting_days:
        return incurred
    lasted = 1 if expense.days is None else expense.days
    days = max(lasted - allowance.waiting_days, 0)
    after_waiting = money.divide(incurred * days, max(lasted, 1))
    if allowance.per_day is None:
        return after_waiting
    return min(after_waiting, money.to_minor_units(money.rounded(Fraction(allowance.per_day) * days)))
