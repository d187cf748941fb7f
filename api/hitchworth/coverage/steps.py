"""The steps of a settlement, each of which a person can redo by hand.

First what is covered at all: the extent of the loss, exclusions, the registered class. Then the value on the policy's
basis, with tax and fees of a total loss added. Then the terms in the policy's order, by default sublimits, coinsurance,
deductible, limit: the coinsurance ratio comes before the deductible, the deductible comes off the loss, and the limit
caps what is left, as in the published examples. Last the salvage that the insured keeps.
"""

from collections.abc import Callable, Mapping
from decimal import Decimal
from fractions import Fraction
from types import MappingProxyType
from typing import NamedTuple

from msgspec.structs import replace

from hitchworth.coverage.account import Account
from hitchworth.coverage.bases import actual_cash_value, basis_of, value_of_whole
from hitchworth.coverage.claim import Claim, known
from hitchworth.coverage.loss import LossLine, total_replacement_cost
from hitchworth.model.policy import DEFAULT_ORDER, PerilDeductible, Policy, SettlementStep
from hitchworth.reference.category_groups import belongs
from hitchworth.reference.perils import same_peril
from hitchworth.reference.total_loss_thresholds import total_loss_threshold


class Stage(NamedTuple):
    """One step of a settlement."""

    run: Callable[[Account, Claim], Account]
    """From the account before it and the claim to the account after it. Raises OpenTermError for a term not known."""
    reads: tuple[str, ...]
    """The terms of the policy that it looks at."""


def open_account(claim: Claim) -> Account:
    """Return the account with the replacement cost of what is lost: of the whole in a constructive total loss."""
    is_constructive = claim.loss.extent == "partial" and _is_constructive_total_loss(claim)
    lost = claim.whole if is_constructive else claim.lost
    cost = total_replacement_cost(lost)
    total = is_constructive or claim.loss.extent == "total"
    return Account(replacement_cost=cost, running=cost, total=total, constructive=is_constructive, lines=lost)


def settle_exclusions(account: Account, claim: Claim) -> Account:
    """Pay nothing for an excluded peril, and nothing during construction without coverage for it."""
    if any(same_peril(claim.loss.peril, excluded) for excluded in claim.policy.excluded_perils):
        account = account.take("exclusion", account.running, "exclusion", peril=claim.loss.peril)
        return replace(account, covered=False)
    if claim.context.under_construction and not known(
        claim.policy.covers_under_construction, "covers_under_construction"
    ):
        account = account.take("under_construction", account.running, "under_construction")
        return replace(account, covered=False)
    return account


def settle_class(account: Account, claim: Claim) -> Account:
    """Where the policy settles by the registered class, pay no more than for a plain trailer of that class.

    Of a total loss only the plain trailer is owed, of a partial one only the damage to what such a trailer has. Where
    the plain trailer would be worth more than what was lost, what was lost is owed.
    """
    if not _is_by_class(claim):
        return account
    plain, lost = claim.plain_trailer, account.lines
    owed = lost if account.total else tuple(line for line in lost if line.is_base)
    basis = basis_of(claim, total=account.total)
    as_built = sum(basis.worth(line, claim, total=account.total) for line in owed)
    plain_value = basis.worth(plain, claim, total=account.total)
    if plain_value < as_built and plain.replacement_cost < total_replacement_cost(owed):
        owed = (plain,)
    return replace(account.cap("class_value", total_replacement_cost(owed), "class"), lines=owed)


def settle_value(account: Account, claim: Claim) -> Account:
    """Go from the replacement cost of what is covered to its value on the policy's basis."""
    basis = basis_of(claim, total=account.total)
    if account.total:
        return basis.total_loss(account, claim, account.lines)
    return basis.partial_loss(account, claim, account.lines, _whole(claim))


def add_tax_and_fees(account: Account, claim: Claim) -> Account:
    """Add sales tax on the value of a total loss, and title and transfer fees, where the policy owes them.

    No tax is owed on the salvage that the insured keeps (10 CCR 2695.8(b)(1)(A), California).
    """
    value = account.running
    if account.total and value and basis_of(claim, total=True).adds_tax_and_fees:
        rate = known(claim.policy.total_loss_tax_rate, "total_loss_tax_rate")
        tax = claim.money.multiply(max(value - claim.salvage_kept, 0), Fraction(rate))
        account = account.take("total_loss_tax", -tax, "tax_and_fees", rate=str(rate))
        account = account.take(
            "total_loss_fees", -claim.money.to_minor_units(claim.policy.total_loss_fees), "tax_and_fees"
        )
    salvage = claim.salvage_kept if account.total else 0
    return replace(account, added=account.running - value, insured_loss=max(account.running - salvage, 0))


def apply_sublimits(account: Account, claim: Claim) -> Account:
    """Cap what each named category or group has of the amount; one capped before counts with what it has left.

    Tax and fees on top belong to no category. Where another step came first, each category has its share of what is
    left. An agreed value of a total loss has no parts.
    """
    if not claim.policy.sublimits or (claim.policy.basis == "agreed_value" and account.total):
        return account
    basis = basis_of(claim, total=account.total)
    values = {line.category: Fraction(basis.worth(line, claim, total=account.total)) for line in account.lines}
    whole = sum(values.values()) + account.added
    left = {category: value * account.running / whole for category, value in values.items()} if whole else {}
    for sublimit in claim.policy.sublimits:
        most = claim.money.to_minor_units(sublimit.amount)
        named = [category for category in left if belongs(category, sublimit.category)]
        part = sum((left[category] for category in named), Fraction(0))
        if part > most:
            over = min(claim.money.divide(part.numerator, part.denominator) - most, account.running)
            shown = str(claim.money.from_minor_units(most))
            account = account.take("sublimit", over, "sublimits", category=sublimit.category, most=shown)
            left |= {category: left[category] * most / part for category in named}
    return account


def apply_coinsurance(account: Account, claim: Claim) -> Account:
    """Where less than value x rate is insured, pay that ratio of the loss; the value is that of the whole before it."""
    rate = known(claim.policy.coinsurance_rate, "coinsurance_rate")
    insured = claim.amount_of_insurance
    if not rate or insured is None:
        return account
    required = claim.money.multiply(value_of_whole(claim, _whole(claim), total=account.total), Fraction(rate))
    if insured >= required:
        return account
    paid = claim.money.divide(account.running * insured, required)
    amounts = {
        "carried": str(claim.money.from_minor_units(insured)),
        "required": str(claim.money.from_minor_units(required)),
    }
    return account.take("coinsurance", account.running - paid, "coinsurance", **amounts)


def apply_deductible(account: Account, claim: Claim) -> Account:
    """Take off the deductible of the loss's peril, or else the policy's own."""
    own = _peril_deductible(claim)
    if own is None:
        amount = claim.money.to_minor_units(known(claim.policy.deductible, "deductible"))
        return account.take("deductible", min(amount, account.running), "deductible")
    amount = _amount_of_peril_deductible(own, account, claim)
    return account.take("deductible", min(amount, account.running), "deductible", peril=own.peril)


def apply_limit(account: Account, claim: Claim) -> Account:
    """Pay no more than the limit."""
    if claim.policy.limit is None:
        return account
    most = claim.money.to_minor_units(claim.policy.limit)
    return account.cap("limit", most, "limit", most=str(claim.money.from_minor_units(most)))


def take_salvage(account: Account, claim: Claim) -> Account:
    """Take off what the wreck of a total loss is worth that the insured keeps."""
    if not account.total:
        return account
    return account.take("salvage_kept", min(claim.salvage_kept, account.running), "salvage")


_VALUE_TERMS = ("basis", "amount", "depreciates_labor", "replacement_years", "betterment_categories")
_CLASS_TERMS = (*_VALUE_TERMS, "settles_as")
_ORDERED_STAGES: Mapping[SettlementStep, Stage] = MappingProxyType(
    {
        "sublimits": Stage(apply_sublimits, (*_VALUE_TERMS, "sublimits")),
        "coinsurance": Stage(apply_coinsurance, (*_CLASS_TERMS, "coinsurance_rate", "limit")),
        "deductible": Stage(apply_deductible, (*_CLASS_TERMS, "deductible", "peril_deductibles", "limit")),
        "limit": Stage(apply_limit, ("limit",)),
    }
)


def stages_of(policy: Policy) -> tuple[Stage, ...]:
    """Return the stages after the account was opened. Steps that the order does not name follow as by default."""
    order = (*policy.order, *(step for step in DEFAULT_ORDER if step not in policy.order))
    return (
        Stage(settle_exclusions, ("excluded_perils", "covers_under_construction")),
        Stage(settle_class, _CLASS_TERMS),
        Stage(settle_value, _CLASS_TERMS),
        Stage(add_tax_and_fees, ("basis", "replacement_years", "total_loss_tax_rate", "total_loss_fees")),
        *(_ORDERED_STAGES[step] for step in order),
        Stage(take_salvage, ()),
    )


def settle_claim(claim: Claim) -> Account:
    """Return the account of a claim whose terms are known as far as they are needed. Raises OpenTermError otherwise."""
    account = open_account(claim)
    for stage in stages_of(claim.policy):
        if account.covered:
            account = stage.run(account, claim)
    return account


def _is_by_class(claim: Claim) -> bool:
    """Return whether the policy owes no more than for a plain trailer of the registered class."""
    if claim.policy.basis == "agreed_value" or claim.verdict == "match":
        return False
    return known(claim.policy.settles_as, "settles_as") == "registered_class"


def _whole(claim: Claim) -> tuple[LossLine, ...]:
    """Return what the policy looks at before the loss: the plain trailer of the class, or all that was built."""
    return (claim.plain_trailer,) if _is_by_class(claim) else claim.whole


def _is_constructive_total_loss(claim: Claim) -> bool:
    """Return whether the repair reaches the threshold, a share of the value, or repair plus salvage the value."""
    by_class = _is_by_class(claim)
    lost = tuple(line for line in claim.lost if line.is_base) if by_class else claim.lost
    repair = total_replacement_cost(lost)
    if not repair:
        return False
    value = _value_before_loss(claim)
    threshold = claim.policy.total_loss_threshold
    if threshold is None:
        threshold = total_loss_threshold(claim.context.build.jurisdiction).share
    if threshold is None:
        return repair + claim.money.to_minor_units(claim.loss.salvage_value or Decimal(0)) >= value
    return repair >= claim.money.multiply(value, Fraction(threshold))


def _value_before_loss(claim: Claim) -> int:
    """Return the agreed value, or the actual cash value of what the policy looks at."""
    if claim.policy.basis == "agreed_value":
        return claim.money.to_minor_units(claim.policy.amount or Decimal(0))
    return actual_cash_value(_whole(claim), claim.policy)


def _peril_deductible(claim: Claim) -> PerilDeductible | None:
    matching = (own for own in claim.policy.peril_deductibles if same_peril(own.peril, claim.loss.peril))
    return next(matching, None)


def _amount_of_peril_deductible(own: PerilDeductible, account: Account, claim: Claim) -> int:
    """Return the flat amount plus the share, but not less than the minimum."""
    match own.applies_to:
        case "loss":
            base = account.running
        case "value":
            base = value_of_whole(claim, _whole(claim), total=account.total)
        case "limit":
            base = claim.amount_of_insurance or 0
    amount = Fraction(own.amount) * 10**claim.money.exponent + Fraction(own.rate) * base
    return max(claim.money.divide(amount.numerator, amount.denominator), claim.money.to_minor_units(own.minimum))
