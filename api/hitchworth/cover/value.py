"""The value step of a settlement: what the basis of settlement leaves of the replacement cost."""

from decimal import Decimal
from fractions import Fraction

from hitchworth.cover.case import Case
from hitchworth.cover.damage import ClassTrailer, Destroyed, replacement_cost
from hitchworth.cover.ledger import Ledger

ZERO = Decimal(0)


def enter_value(account: Ledger, case: Case, *, worn: bool) -> tuple[Destroyed, ...]:
    """Enter class and basis of settlement into the account of the loss; return the lines that are still covered.

    `worn`: whether a replacement-cost policy pays the actual cash value only, be it for now or for good.
    """
    lost = case.lost
    if case.by_class:
        lost = _by_class(account, case, worn=worn)
    _basis(account, case, lost, total=case.total, worn=worn)
    return lost


def value_of_whole(case: Case, *, worn: bool) -> Decimal:
    """What the whole trailer, as built, is worth on the policy's basis on the day of the loss."""
    account = Ledger(replacement_cost(case.claim.whole))
    _basis(account, case, case.claim.whole, total=True, worn=worn)
    return account.running


def worth(line: Destroyed, case: Case, *, worn: bool) -> Decimal:
    """What one covered line is worth on the policy's basis."""
    if case.policy.basis == "replacement_cost" and not worn:
        return line.replacement_cost
    labor = line.labor_depreciation if case.policy.depreciates_labor is not False else ZERO
    return line.replacement_cost - line.depreciation - labor


def enter_tax_and_fees(account: Ledger, case: Case) -> None:
    """Add sales tax on the value of a total loss, and title and transfer fees, where the policy owes them."""
    rate = case.policy.total_loss_tax_rate
    if case.total and case.policy.basis != "agreed_value":
        if rate:
            tax = case.rounded(Fraction(rate) * Fraction(account.running))
            account.take("total_loss_tax", -tax, "tax_and_fees", rate=str(rate))
        account.take("total_loss_fees", -case.policy.total_loss_fees, "tax_and_fees")


def _basis(account: Ledger, case: Case, lost: tuple[Destroyed, ...], *, total: bool, worn: bool) -> None:
    policy = case.policy
    if policy.basis == "agreed_value":
        _agreed_value(account, policy.amount or ZERO, total=total)
    elif policy.basis == "market_value" and policy.amount is not None:
        account.cap("market_value", policy.amount, "market")
    elif policy.basis == "replacement_cost" and not worn:
        _betterment(account, case, lost, total=total)
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


def _by_class(account: Ledger, case: Case, *, worn: bool) -> tuple[Destroyed, ...]:
    """Of a total loss only a plain trailer of the class is owed, of a partial one only the damage to such a trailer.

    A plain trailer is owed at most, and where it would be worth more than what was lost, what was lost.
    """
    plain = (_as_line(case.claim.around.plain_trailer),)
    hit = case.lost if case.total else tuple(line for line in case.lost if line.of_base)
    as_class, as_built = _worth(plain, case, worn=worn), _worth(hit, case, worn=worn)
    owed = hit if as_class >= as_built or replacement_cost(plain) >= replacement_cost(hit) else plain
    account.cap("class_value", replacement_cost(owed), "class")
    return owed


def _as_line(plain: ClassTrailer) -> Destroyed:
    return Destroyed("class_trailer", plain.replacement_cost, plain.depreciation, ZERO, of_base=True)


def _worth(lines: tuple[Destroyed, ...], case: Case, *, worn: bool) -> Decimal:
    return sum((worth(line, case, worn=worn) for line in lines), ZERO)


def _wear(account: Ledger, case: Case, lost: tuple[Destroyed, ...]) -> None:
    account.take("depreciation", sum((line.depreciation for line in lost), ZERO), "depreciation")
    if case.policy.depreciates_labor is not False:
        labor = sum((line.labor_depreciation for line in lost), ZERO)
        account.take("labor_depreciation", labor, "labor_depreciation")


def _betterment(account: Ledger, case: Case, lost: tuple[Destroyed, ...], *, total: bool) -> None:
    """New for old: wear parts whose repair makes the trailer better than it was."""
    if not total:
        wear = sum((line.depreciation for line in lost if line.category in case.policy.betterment_categories), ZERO)
        account.take("betterment", wear, "betterment")
