"""The terms of a policy that come after the value, each a step, taken in the policy's own order."""

from decimal import Decimal
from fractions import Fraction

from hitchworth.cover.case import Case
from hitchworth.cover.damage import Destroyed
from hitchworth.cover.ledger import Ledger
from hitchworth.cover.value import value_of_whole, worth
from hitchworth.reference.category_groups import belongs

ZERO = Decimal(0)


def enter_terms(account: Ledger, case: Case, covered: tuple[Destroyed, ...], *, worn: bool) -> None:
    """Enter sublimits, coinsurance, deductible and limit, as the policy orders them."""
    for step in case.policy.order:
        if step == "sublimits":
            _sublimits(account, case, covered, worn=worn)
        elif step == "coinsurance":
            _coinsurance(account, case, worn=worn)
        elif step == "deductible":
            account.take("deductible", min(deductible(case, account.running, worn=worn), account.running), "deductible")
        elif case.policy.limit is not None:
            account.cap("limit", case.policy.limit, "limit", most=str(case.policy.limit))


def deductible(case: Case, loss: Decimal, *, worn: bool) -> Decimal:
    """The deductible of the loss's peril: a flat amount and a share, not less than the least; else the policy's own."""
    for own in case.policy.deductibles:
        if own.peril == case.loss.peril:
            of = {"loss": loss, "limit": case.policy.limit or case.policy.amount or ZERO, "value": ZERO}[own.of]
            if own.of == "value":
                of = value_of_whole(case, worn=worn)
            return max(case.rounded(Fraction(own.amount) + Fraction(own.rate) * Fraction(of)), own.least)
    return case.policy.deductible or ZERO


def _sublimits(account: Ledger, case: Case, covered: tuple[Destroyed, ...], *, worn: bool) -> None:
    """Cap each category at its sublimit; the category has the part of what stands that it has of what is covered."""
    if case.policy.basis == "agreed_value" and case.total:
        return
    whole = sum((worth(line, case, worn=worn) for line in covered), ZERO)
    stands = account.running
    for sublimit in case.policy.sublimits if whole else ():
        named = (line for line in covered if belongs(line.category, sublimit.category))
        of_category = sum((worth(line, case, worn=worn) for line in named), ZERO)
        part = case.rounded(Fraction(of_category) * Fraction(stands) / Fraction(whole))
        over = min(max(part - sublimit.amount, ZERO), account.running)
        account.take("sublimit", over, "sublimits", category=sublimit.category, most=str(sublimit.amount))


def _coinsurance(account: Ledger, case: Case, *, worn: bool) -> None:
    """Pay only carried / (value x rate) of the loss when less is carried; value: of the whole, on the day of loss."""
    policy = case.policy
    carried = policy.limit if policy.limit is not None else policy.amount
    required = case.rounded(Fraction(value_of_whole(case, worn=worn)) * Fraction(policy.coinsurance_rate or ZERO))
    if carried is not None and carried < required:
        paid = case.rounded(Fraction(account.running) * Fraction(carried) / Fraction(required))
        account.take("coinsurance", account.running - paid, "coinsurance", carried=str(carried), required=str(required))
