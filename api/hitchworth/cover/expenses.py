"""Towing, storage and loss of use: what a policy pays toward them, beside the trailer."""

from decimal import Decimal
from fractions import Fraction

from hitchworth.cover.damage import Round
from hitchworth.model.policy import Allowance, Expense, Loss, Policy
from hitchworth.model.settlement import ExpensePaid


def expenses_paid(policy: Policy, loss: Loss, rounded: Round) -> tuple[ExpensePaid, ...]:
    """Every expense of the loss with what the policy's allowance of its kind pays; it serves all of the kind."""
    left = {allowance.kind: rounded(Fraction(allowance.limit)) for allowance in policy.allowances}
    by_kind = {allowance.kind: allowance for allowance in policy.allowances}
    paid = []
    for expense in loss.expenses:
        incurred = rounded(Fraction(expense.amount))
        allowance = by_kind.get(expense.kind)
        excluded = loss.peril in policy.excluded_perils
        payable = Decimal(0) if allowance is None or excluded else _payable(allowance, expense, incurred, rounded)
        payable = min(payable, left.get(expense.kind, Decimal(0)))
        left[expense.kind] = left.get(expense.kind, Decimal(0)) - payable
        paid.append(ExpensePaid(kind=expense.kind, incurred=incurred, payable=payable))
    return tuple(paid)


def _payable(allowance: Allowance, expense: Expense, incurred: Decimal, rounded: Round) -> Decimal:
    """The expense; by the day, no more than the daily most for each day after the waiting days."""
    if expense.days is None:
        return incurred
    days = max(expense.days - allowance.waiting_days, 0)
    after_waiting = rounded(Fraction(incurred) * days / expense.days) if expense.days else incurred
    if allowance.per_day is None:
        return after_waiting
    return min(after_waiting, rounded(Fraction(allowance.per_day) * days))
