"""The terms of a policy that come after the value, each a step, taken in the policy's own order."""

from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction

from hitchworth.coverage.case import Case, carried
from hitchworth.coverage.damage import Destroyed
from hitchworth.coverage.ledger import Ledger
from hitchworth.coverage.value import value_of_whole, worth
from hitchworth.model.policy import DEFAULT_ORDER, PerilDeductible, SettlementStep
from hitchworth.reference.category_groups import belongs
from hitchworth.reference.perils import same_peril

ZERO = Decimal(0)


def enter_terms(account: Ledger, case: Case, covered: tuple[Destroyed, ...], *, worn: bool) -> None:
    """Enter sublimits, coinsurance, deductible and limit, as the policy orders them."""
    for step in _in_order(case):
        if step == "sublimits":
            _sublimits(account, case, covered, worn=worn)
        elif step == "coinsurance":
            _coinsurance(account, case, worn=worn)
        elif step == "deductible":
            taken = min(deductible(case, account.running, worn=worn), account.running)
            account.take("deductible", taken, "deductible", **_peril_of_deductible(case))
        elif case.policy.limit is not None:
            account.cap("limit", case.policy.limit, "limit", most=str(case.policy.limit))


def _peril_of_deductible(case: Case) -> dict[str, str]:
    """Return the peril as a parameter of the step, where the policy has a deductible of its own for it."""
    peril = case.claim.loss.peril
    return {"peril": peril} if any(same_peril(own.peril, peril) for own in case.policy.peril_deductibles) else {}


def deductible(case: Case, loss: Decimal, *, worn: bool) -> Decimal:
    """The deductible of the loss's peril: a flat amount and a share, not less than the least; else the policy's own."""
    for own in case.policy.peril_deductibles:
        if same_peril(own.peril, case.claim.loss.peril):
            share = Fraction(own.rate) * Fraction(_base_of(own, case, loss, worn=worn))
            return max(case.rounded(Fraction(own.amount) + share), own.minimum)
    return case.policy.deductible or ZERO


def _base_of(own: PerilDeductible, case: Case, loss: Decimal, *, worn: bool) -> Decimal:
    if own.applies_to == "loss":
        return loss
    return value_of_whole(case, worn=worn) if own.applies_to == "value" else carried(case.policy) or ZERO


def _in_order(case: Case) -> Iterator[SettlementStep]:
    """The policy's order; the steps that it does not name follow, as they do by default."""
    yield from case.policy.order
    yield from (step for step in DEFAULT_ORDER if step not in case.policy.order)


def _sublimits(account: Ledger, case: Case, covered: tuple[Destroyed, ...], *, worn: bool) -> None:
    """Cap what each named category or group has of what stands; a category capped before counts with what it has left.

    Tax and fees on top belong to no category. Where another step came first, each category has the part of what stands
    that it has of what is covered.
    """
    if not case.policy.sublimits or (case.policy.basis == "agreed_value" and case.total):
        return
    values = {line.category: Fraction(worth(line, case, worn=worn)) for line in covered}
    whole = sum(values.values()) + Fraction(account.added)
    left = {category: value * Fraction(account.running) / whole for category, value in values.items()} if whole else {}
    for sublimit in case.policy.sublimits:
        named = [category for category in left if belongs(category, sublimit.category)]
        part = sum((left[category] for category in named), Fraction(0))
        if part > sublimit.amount:
            overrides = min(case.rounded(part) - sublimit.amount, account.running)
            account.take("sublimit", overrides, "sublimits", category=sublimit.category, most=str(sublimit.amount))
            left |= {category: left[category] * Fraction(sublimit.amount) / part for category in named}


def _coinsurance(account: Ledger, case: Case, *, worn: bool) -> None:
    """Pay only carried / (value x rate) of the loss when less is carried; value: of the whole, on the day of loss."""
    insured = carried(case.policy)
    rate = Fraction(case.policy.coinsurance_rate or ZERO)
    required = case.rounded(Fraction(value_of_whole(case, worn=worn)) * rate) if rate else ZERO
    if insured is not None and insured < required:
        paid = case.rounded(Fraction(account.running) * Fraction(insured) / Fraction(required))
        account.take("coinsurance", account.running - paid, "coinsurance", carried=str(insured), required=str(required))
