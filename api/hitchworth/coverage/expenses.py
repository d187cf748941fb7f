"""Towing, storage and loss of use: what a policy pays toward them, beside the trailer."""

from decimal import Decimal
from fractions import Fraction

from hitchworth.coverage.case import Case
from hitchworth.coverage.damage import Round
from hitchworth.model.policy import Allowance, Expense
from hitchworth.model.settlement import ExpensePaid


def expenses_paid(case: Case) -> tuple[ExpensePaid, ...]:
    """Every expense of the loss with what the policy's allowance of its kind pays; it serves all of the kind.

    A loss that is not covered has no allowance.
    """
    covered = not (case.excluded or case.unfinished)
    by_kind = {allowance.kind: allowance for allowance in case.policy.allowances if covered}
    left = {kind: allowance.limit for kind, allowance in by_kind.items()}
    nothing, paid = case.rounded(Fraction(0)), []
    for expense in case.claim.loss.expenses:
        incurred = case.rounded(Fraction(expense.amount))
        allowance = by_kind.get(expense.kind)
        payable = nothing
        if allowance is not None:
            payable = min(_payable(allowance, expense, incurred, case.rounded), left[expense.kind])
            left[expense.kind] -= payable
        paid.append(ExpensePaid(kind=expense.kind, incurred=incurred, payable=payable))
    return tuple(paid)


def _payable(allowance: Allowance, expense: Expense, incurred: Decimal, rounded: Round) -> Decimal:
    """The expense; by the day, no more than the daily most for each day after the waiting days. No days are one day."""
    if allowance.per_day is None and not allowance.waiting_days:
        return incurred
    lasted = 1 if expense.days is None else expense.days
    days = max(lasted - allowance.waiting_days, 0)
    after_waiting = rounded(Fraction(incurred) * days / max(lasted, 1))
    if allowance.per_day is None:
        return after_waiting
    return min(after_waiting, rounded(Fraction(allowance.per_day) * days))
