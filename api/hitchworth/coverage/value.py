"""The value step of a settlement: what the basis of settlement leaves of the replacement cost."""

from decimal import Decimal
from fractions import Fraction

from hitchworth.coverage.case import Case, actual_cash_value
from hitchworth.coverage.damage import Destroyed, replacement_cost
from hitchworth.coverage.ledger import Ledger

ZERO = Decimal(0)


def enter_value(account: Ledger, case: Case, *, worn: bool) -> tuple[Destroyed, ...]:
    """Enter class and basis of settlement into the account of the loss; return the lines that are still covered.

    `worn`: whether a replacement-cost policy pays the actual cash value only, be it for now or for good.
    """
    lost = _by_class(account, case, worn=worn) if case.by_class else case.lost
    _basis(account, case, lost, total=case.total, worn=worn)
    return lost


def value_of_whole(case: Case, *, worn: bool) -> Decimal:
    """What the whole that the policy looks at is worth on its basis on the day of the loss."""
    whole = (case.claim.plain,) if case.by_class else case.claim.whole
    account = Ledger(replacement_cost(whole))
    _basis(account, case, whole, total=True, worn=worn)
    return account.running


def worth(line: Destroyed, case: Case, *, worn: bool) -> Decimal:
    """What one covered line is worth on the policy's basis."""
    if case.policy.basis == "replacement_cost" and not worn:
        return line.replacement_cost - _betterment(line, case)
    if case.policy.basis == "stated_amount" and not case.total:
        return line.replacement_cost
    return actual_cash_value(line, case.policy)


def enter_tax_and_fees(account: Ledger, case: Case) -> None:
    """Add sales tax on the value of a total loss, and title and transfer fees, where the policy owes them.

    No tax is owed on the salvage that the insured keeps (10 CCR 2695.8(b)(1)(A), California).
    """
    rate = case.policy.total_loss_tax_rate
    if case.total and account.running and case.policy.basis != "agreed_value":
        if rate:
            taxed = max(account.running - case.salvage_kept, ZERO)
            tax = case.rounded(Fraction(rate) * Fraction(taxed))
            account.take("total_loss_tax", -tax, "tax_and_fees", rate=str(rate))
        account.take("total_loss_fees", -case.policy.total_loss_fees, "tax_and_fees")


def _basis(account: Ledger, case: Case, lost: tuple[Destroyed, ...], *, total: bool, worn: bool) -> None:
    policy = case.policy
    if policy.basis == "agreed_value":
        _agreed_value(account, policy.amount or ZERO, total=total)
    elif policy.basis == "market_value" and policy.amount is not None:
        account.cap("market_value", policy.amount, "market")
    elif policy.basis == "stated_amount" and not total:
        _stated_amount_of_a_repair(account, case)
    elif policy.basis == "replacement_cost" and not worn:
        _new(account, case, lost, total=total)
    else:
        _wear(account, case, lost)
        if policy.basis == "stated_amount" and policy.amount is not None:
            account.cap("stated_amount", policy.amount, "amount")


def _agreed_value(account: Ledger, agreed: Decimal, *, total: bool) -> None:
    """A total loss is paid the agreed figure, less or more than the cost; a partial one its cost, up to that figure."""
    if total:
        account.take("agreed_value", account.running - agreed, "amount")
    else:
        account.cap("agreed_value", agreed, "amount")


def _stated_amount_of_a_repair(account: Ledger, case: Case) -> None:
    """The least of the stated amount, the actual cash value of the trailer, and the cost to repair."""
    whole = _sum_of_actual_cash_values((case.claim.plain,) if case.by_class else case.claim.whole, case)
    stated = case.policy.amount
    account.cap("stated_amount", whole if stated is None else min(stated, whole), "amount")


def _new(account: Ledger, case: Case, lost: tuple[Destroyed, ...], *, total: bool) -> None:
    """New for old: no wear but the betterment of a repair; as much as was spent, but the actual cash value at least."""
    if not total:
        account.take("betterment", sum((_betterment(line, case) for line in lost), ZERO), "betterment")
    spent = case.claim.loss.amount_spent
    if spent is not None:
        account.cap("amount_spent", max(spent, _sum_of_actual_cash_values(lost, case)), "amount")


def _betterment(line: Destroyed, case: Case) -> Decimal:
    """The wear of a part whose repair makes the trailer better than it was."""
    return line.depreciation if not case.total and line.category in case.policy.betterment_categories else ZERO


def _by_class(account: Ledger, case: Case, *, worn: bool) -> tuple[Destroyed, ...]:
    """Of a total loss only a plain trailer of the class is owed, of a partial one only the damage to such a trailer.

    A plain trailer is owed at most, and where it would be worth more than what was lost, what was lost.
    """
    plain = case.claim.plain
    hit = case.lost if case.total else tuple(line for line in case.lost if line.of_base)
    as_built = sum((worth(line, case, worn=worn) for line in hit), ZERO)
    more = worth(plain, case, worn=worn) >= as_built or plain.replacement_cost >= replacement_cost(hit)
    owed = hit if more else (plain,)
    account.cap("class_value", replacement_cost(owed), "class")
    return owed


def _wear(account: Ledger, case: Case, lost: tuple[Destroyed, ...]) -> None:
    account.take("depreciation", sum((line.depreciation for line in lost), ZERO), "depreciation")
    if case.policy.depreciates_labor is not False:
        labor = sum((line.labor_depreciation for line in lost), ZERO)
        account.take("labor_depreciation", labor, "labor_depreciation")


def _sum_of_actual_cash_values(lines: tuple[Destroyed, ...], case: Case) -> Decimal:
    return sum((actual_cash_value(line, case.policy) for line in lines), ZERO)
