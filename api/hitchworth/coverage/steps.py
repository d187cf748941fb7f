"""The steps of a settlement, each of which a person can redo by hand; `stages` has their order."""

from collections.abc import Iterable, Iterator, Mapping
from decimal import Decimal
from fractions import Fraction

from msgspec.structs import replace

from hitchworth.coverage.account import Account
from hitchworth.coverage.bases import BASES, basis_of, value_of_whole, value_on, worth_of
from hitchworth.coverage.claim import Claim, covers_damage, covers_peril, known, known_or_absent
from hitchworth.coverage.loss_lines import LossLines
from hitchworth.coverage.total_loss import is_total_loss
from hitchworth.model.policy import PerilDeductible, Sublimit
from hitchworth.model.settlement import Cause
from hitchworth.reference.category_groups import CONTENTS, CUSTOM_EQUIPMENT
from hitchworth.reference.perils import same_peril
from hitchworth.reference.total_loss_thresholds import total_loss_threshold


def open_account(claim: Claim) -> Account:
    """Return the account with the replacement cost of what the loss destroys."""
    cost = claim.lost.replacement_cost
    return Account(replacement_cost=cost, running=cost, total=claim.loss.extent == "total", lines=claim.lost)


def settle_exclusions(account: Account, claim: Claim) -> Account:
    """Pay nothing without coverage for damage, for the peril, for the situation, or during construction."""
    policy, context = claim.policy, claim.context
    if not covers_damage(policy):
        return _not_covered(account, "liability_only", "exclusion")
    if not covers_peril(policy, claim.loss.peril):
        return _not_covered(account, "exclusion", "exclusion", peril=claim.loss.peril)
    for situation in claim.loss.situations:
        covered = (policy.covers_situations or {}).get(situation)
        if not known(covered, f"covers_situations.{situation}"):
            return _not_covered(account, "situation", "exclusion", situation=situation)
    if context.under_construction and not known(policy.covers_under_construction, "covers_under_construction"):
        return _not_covered(account, "under_construction", "under_construction")
    return account


def settle_extent(account: Account, claim: Claim) -> Account:
    """Where the repair of a partial loss costs too much, settle it as a total loss of the whole trailer."""
    repair = 0 if account.total else _repair(claim)
    if not repair:
        return account
    account = replace(account, total_loss_tested=True)
    if not is_total_loss(repair, _value_before_loss(claim), claim):
        return account
    cost = claim.whole.replacement_cost
    return replace(account, replacement_cost=cost, running=cost, total=True, constructive=True, lines=claim.whole)


def settle_class(account: Account, claim: Claim) -> Account:
    """Where the policy settles by the registered class, pay no more than for a plain trailer of that class.

    Of a total loss only the plain trailer is owed, of a partial one only the damage to what such a trailer has. Where
    the plain trailer would be worth more than what was lost, what was lost is owed.
    """
    if not claim.is_by_class:
        return account
    plain, lost = claim.plain_trailer, account.lines
    owed = lost if account.total else lost.base
    basis = basis_of(claim, total=account.total)
    counted = claim.counted(owed)
    as_built = worth_of(basis, claim, counted, total=account.total).whole
    plain_value = worth_of(basis, claim, plain, total=account.total).whole
    if plain_value < as_built and plain.replacement_cost <= counted.replacement_cost:
        owed = plain
    return replace(account.cap("class_value", owed.replacement_cost, "class"), lines=owed)


def settle_own_labor(account: Account, claim: Claim) -> Account:
    """Where the policy does not count the builder's own hours, take them out. An agreed value is not taken apart."""
    if account.total and claim.policy.basis == "agreed_value":
        return account
    lines = claim.counted(account.lines)
    own = account.lines.replacement_cost - lines.replacement_cost
    return replace(account.take("own_labor", own, "own_labor"), lines=lines)


def settle_value(account: Account, claim: Claim) -> Account:
    """Go from the replacement cost of what is covered to its value on the policy's basis."""
    basis = basis_of(claim, total=account.total)
    if account.total:
        return basis.total_loss(account, claim, account.lines)
    return basis.partial_loss(account, claim, account.lines, claim.looks_at)


def add_tax_and_fees(account: Account, claim: Claim) -> Account:
    """Add sales tax and title and transfer fees of a total loss, where they are owed.

    Replacing bears them too, so what the replacement cost does not include of them is kept beside it: no gap is smaller
    for it. No tax is owed on the salvage that the insured keeps (10 CCR 2695.8(b)(1)(A), California), except where the
    place has it computed before salvage is deducted.
    """
    value = account.running
    salvage = claim.salvage_value if account.total and claim.loss.salvage_kept else 0
    if account.total and value and basis_of(claim, total=True).adds_tax_and_fees(claim):
        rate = Fraction(known(claim.policy.total_loss_tax_rate, "total_loss_tax_rate"))
        taxed = _taxed_value(account, claim, rate, salvage) if rate else Fraction(0)
        tax = claim.money.multiply(1, taxed * rate)
        fees = claim.money.to_minor_units(claim.policy.total_loss_fees or Decimal(0))
        shown = str(claim.money.from_minor_units(claim.money.multiply(1, taxed)))
        beside = claim.money.multiply(1, rate * claim.whole.untaxed) + fees
        account = replace(account, beside_cost=beside)
        shown_rate = str(claim.policy.total_loss_tax_rate)
        account = account.take("total_loss_tax", -tax, "tax_and_fees", rate=shown_rate, taxed=shown)
        account = account.take("total_loss_fees", -fees, "tax_and_fees")
    insured_loss = max(account.running - salvage, 0)
    return replace(account, value=value, added=account.running - value, salvage=salvage, insured_loss=insured_loss)


def _taxed_value(account: Account, claim: Claim, rate: Fraction, salvage: int) -> Fraction:
    """Return the part of the value on which tax is owed, in most places in proportion without the salvage kept.

    It is the part that bears sales tax when it is replaced and does not carry it; all of a market value. But the tax
    brings the payment no higher than replacing costs with its tax: neither what is owed nor the trailer that was lost.
    """
    value, lines, basis = account.running, account.lines, basis_of(claim, total=True)
    untaxed = basis.untaxed_value(value, claim, lines)
    cost = account.replacement_cost + rate * claim.whole.untaxed
    room = min(basis.most_with_tax(claim, lines, rate), cost) - value
    taxable = min(untaxed, max(room, Fraction(0)) / rate)
    law = total_loss_threshold(claim.context.build.jurisdiction)
    if law is not None and law.tax_before_salvage:
        return taxable
    return taxable * Fraction(max(value - salvage, 0), value)


def apply_sublimits(account: Account, claim: Claim) -> Account:
    """Cap what each named category or group has of the amount; one capped before counts with what it has left.

    Each category has its share of the value, whatever capped the value. Tax and fees on top belong to no category.
    Where another step came first, each has its share of what is left. An agreed value of a total loss has no parts.
    """
    if claim.policy.basis == "agreed_value" and account.total:
        return account
    basis = basis_of(claim, total=account.total)
    worth = worth_of(basis, claim, account.lines, total=account.total)
    whole = worth.whole * (account.value + account.added)
    share = Fraction(account.value * account.running, whole) if whole else Fraction(0)
    left = _Left(worth.by_category, share)
    for sublimit in _sublimits(claim, account.lines, left):
        most = claim.money.to_minor_units(sublimit.amount)
        named = account.lines.named(sublimit.category)
        part = left.of(named)
        if part > most:
            over = min(claim.money.divide(part.numerator, part.denominator) - most, account.running)
            shown = str(claim.money.from_minor_units(most))
            account = account.take("sublimit", over, "sublimits", category=sublimit.category, most=shown)
            left.cap(named, most / part)
    return account


class _Left:
    """What is left of the value of each category: its worth times a share that is the same for all, and times caps."""

    def __init__(self, worth: Mapping[str, int], share: Fraction) -> None:
        self._worth = worth
        self._share = share
        self._kept: dict[str, Fraction] = {}
        """Of each category that was capped: the share of it that is left."""

    def of(self, named: Iterable[str]) -> Fraction:
        """Return what is left of some categories together."""
        whole, capped = 0, Fraction(0)
        for category in named:
            kept = self._kept.get(category)
            if kept is None:
                whole += self._worth[category]
            else:
                capped += self._worth[category] * kept
        return (whole + capped) * self._share

    def cap(self, named: Iterable[str], share: Fraction) -> None:
        """Leave a share of what is left of some categories."""
        for category in named:
            self._kept[category] = self._kept.get(category, 1) * share


def apply_coinsurance(account: Account, claim: Claim) -> Account:
    """Where less than value x rate is insured, pay that ratio of the loss; the value is that of the whole before it."""
    rate = known(claim.policy.coinsurance_rate, "coinsurance_rate") if account.running else None
    insured = claim.amount_of_insurance if rate else None
    if not rate or insured is None:
        return account
    required = claim.money.multiply(value_of_whole(claim, claim.looks_at, total=account.total), Fraction(rate))
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
    if not account.running:
        return account
    own = _peril_deductible(claim)
    if own is None:
        amount = claim.money.to_minor_units(known(claim.policy.deductible, "deductible"))
        return account.take("deductible", min(amount, account.running), "deductible")
    amount = _amount_of_peril_deductible(own, account, claim)
    return account.take("peril_deductible", min(amount, account.running), "deductible", peril=own.peril)


def apply_limit(account: Account, claim: Claim) -> Account:
    """Pay no more than the limit."""
    limit = known_or_absent(claim.policy.limit, "limit", claim.policy) if account.running else None
    if limit is None:
        return account
    most = claim.money.to_minor_units(limit)
    return account.cap("limit", most, "limit", most=str(claim.money.from_minor_units(most)))


def take_salvage(account: Account, claim: Claim) -> Account:
    """Take off what the wreck is worth that the insured keeps, of what was insured."""
    if not account.salvage:
        return account
    most = min(account.salvage, account.running)
    if claim.salvage_is_in_part:
        return account.take("salvage_in_proportion", most, "salvage")
    return account.take("salvage_kept", most, "salvage")


def _not_covered(account: Account, code: str, cause: Cause, **parameters: str) -> Account:
    return replace(account.take(code, account.running, cause, **parameters), covered=False)


def _sublimits(claim: Claim, lines: LossLines, left: _Left) -> Iterator[Sublimit]:
    """Yield the limits of single categories, then those of contents and of custom equipment where there is any."""
    policy = claim.policy
    yield from policy.sublimits or ()
    if any(left.of((category,)) for category in lines.named(CONTENTS)):
        contents = known_or_absent(policy.contents_limit, "contents_limit", policy)
        if contents is not None:
            yield Sublimit(category=CONTENTS, amount=contents)
    if any(left.of((category,)) for category in lines.named(CUSTOM_EQUIPMENT)):
        custom = known_or_absent(policy.custom_equipment_limit, "custom_equipment_limit", policy)
        if custom is not None:
            yield Sublimit(category=CUSTOM_EQUIPMENT, amount=custom)


def _repair(claim: Claim) -> int:
    """Return what the repair costs of what the policy looks at."""
    lost = claim.lost.base if claim.is_by_class else claim.counted(claim.lost)
    return lost.replacement_cost


def _value_before_loss(claim: Claim) -> int:
    """Return the agreed value, or the market value or actual cash value of what the policy looks at."""
    if claim.policy.basis == "agreed_value":
        return claim.money.to_minor_units(known(claim.policy.amount, "amount"))
    basis = BASES["market_value" if claim.policy.basis == "market_value" else "actual_cash_value"]
    return value_on(basis, claim, claim.looks_at)


def _peril_deductible(claim: Claim) -> PerilDeductible | None:
    matching = (own for own in claim.policy.peril_deductibles or () if same_peril(own.peril, claim.loss.peril))
    return next(matching, None)


def _amount_of_peril_deductible(own: PerilDeductible, account: Account, claim: Claim) -> int:
    """Return the flat amount plus the share, at least the minimum. Without a limit its share is of the value."""
    match own.applies_to:
        case "loss":
            base = account.running
        case "value":
            base = value_of_whole(claim, claim.looks_at, total=account.total)
        case "limit":
            insured = claim.amount_of_insurance
            base = value_of_whole(claim, claim.looks_at, total=account.total) if insured is None else insured
    amount = Fraction(own.amount) * 10**claim.money.exponent + Fraction(own.rate) * base
    return max(claim.money.divide(amount.numerator, amount.denominator), claim.money.to_minor_units(own.minimum))
