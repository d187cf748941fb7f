"""One policy against one loss: the steps from replacement cost to payment, each of which a person can redo by hand.

Value first: replacement cost new, less exclusion, class and wear as the basis of settlement says. Then the terms in
the policy's order, by default sublimits, coinsurance, deductible, limit: the coinsurance ratio is taken before the
deductible, the deductible comes off the loss, and the limit caps what is left, as the published examples do it.
"""

from decimal import Decimal
from fractions import Fraction

from msgspec import Struct
from msgspec.structs import replace

from hitchworth.cover.damage import ClassTrailer, Destroyed, Round, Valued, class_trailer, destroyed
from hitchworth.cover.ledger import Ledger
from hitchworth.model.assessment import Verdict
from hitchworth.model.build import Base
from hitchworth.model.note import Note
from hitchworth.model.policy import Loss, Policy
from hitchworth.model.settlement import Settlement

ZERO = Decimal(0)


class Circumstances(Struct, frozen=True):
    """What a settlement needs beside the policy and the loss."""

    valued: Valued
    verdict: Verdict
    base: Base | None
    rounded: Round


class Case(Struct, frozen=True):
    """Everything that one settlement is made from. The policy's terms are all known or assumed."""

    policy: Policy
    loss: Loss
    lost: tuple[Destroyed, ...]
    whole: tuple[Destroyed, ...]
    trailer_of_class: ClassTrailer
    by_class: bool
    rounded: Round

    @property
    def total(self) -> bool:
        """The whole trailer is lost."""
        return self.loss.extent == "total"


def settle(policy: Policy, loss: Loss, around: Circumstances) -> Settlement:
    """What the policy, all of whose terms are known or assumed (see `terms`), pays for the loss."""
    case = Case(
        _in_minor_units(policy, around.rounded),
        loss,
        destroyed(loss, around.valued, around.rounded),
        destroyed(_total(loss), around.valued, around.rounded),
        class_trailer(around.base, around.valued, around.rounded),
        policy.settles_as != "built_use" and around.verdict != "match" and policy.basis != "agreed_value",
        around.rounded,
    )
    replaced = policy.basis == "replacement_cost" and loss.replaced
    account = _account(case, worn=not replaced)
    now = min(account.running, _account(case, worn=True).running) if replaced and policy.holdback else account.running
    return Settlement(
        policy=policy.name,
        loss=loss.name,
        basis=policy.basis,
        peril=loss.peril,
        extent=loss.extent,
        valued_on=loss.occurred_on,
        steps=tuple(account.steps),
        payable_now=now,
        recoverable_later=account.running - now,
        payable=account.running,
        replacement_cost=account.replacement_cost,
        gap=account.replacement_cost - account.running,
        waterfall=account.waterfall(),
        assumed=(),
        notes=tuple(_notes(case)),
    )


def _in_minor_units(policy: Policy, rounded: Round) -> Policy:
    """The policy with its amounts in the decimals of the currency, so that every step has them too."""

    def amount(given: Decimal | None) -> Decimal | None:
        return None if given is None else rounded(Fraction(given))

    return replace(
        policy,
        amount=amount(policy.amount),
        limit=amount(policy.limit),
        deductible=amount(policy.deductible),
        sublimits=tuple(replace(sublimit, amount=rounded(Fraction(sublimit.amount))) for sublimit in policy.sublimits),
    )


def _total(loss: Loss) -> Loss:
    return Loss(name=loss.name, peril=loss.peril, extent="total", occurred_on=loss.occurred_on)


def _account(case: Case, *, worn: bool) -> Ledger:
    account = Ledger(_replacement_cost(case.lost))
    if case.loss.peril in case.policy.excluded_perils:
        account.take("exclusion", account.running, "exclusion", peril=case.loss.peril)
        return account
    left = _value(account, case, case.lost, total=case.total, worn=worn)
    if case.total and case.policy.basis != "agreed_value" and case.policy.total_loss_tax_rate:
        rate = case.policy.total_loss_tax_rate
        account.take("total_loss_tax", -case.rounded(Fraction(rate) * Fraction(account.running)), "tax", rate=str(rate))
    for step in case.policy.order:
        _TERMS[step](account, case, left, worn)
    return account


def _value(
    account: Ledger, case: Case, lost: tuple[Destroyed, ...], *, total: bool, worn: bool
) -> tuple[Destroyed, ...]:
    """Enter what the basis of settlement leaves of the replacement cost; return the lines that are still covered."""
    policy = case.policy
    if policy.basis == "agreed_value":
        _agreed_value(account, policy.amount or ZERO, total=total)
        return lost
    if case.by_class:
        lost = _by_class(account, case, lost, total=total)
    if policy.basis == "market_value" and policy.amount is not None:
        account.cap("market_value", policy.amount, "market")
        return lost
    if policy.basis == "replacement_cost" and not worn:
        return lost
    account.take("depreciation", sum((line.depreciation for line in lost), ZERO), "depreciation")
    if policy.depreciates_labor is not False:
        labor = sum((line.labor_depreciation for line in lost), ZERO)
        account.take("labor_depreciation", labor, "labor_depreciation")
    if policy.basis == "stated_amount" and policy.amount is not None:
        account.cap("stated_amount", policy.amount, "amount")
    return lost


def _agreed_value(account: Ledger, agreed: Decimal, *, total: bool) -> None:
    """A total loss is paid the agreed figure, less or more than the cost; a partial one its cost, up to that figure."""
    if total:
        account.take("agreed_value", account.running - agreed, "amount")
    else:
        account.cap("agreed_value", agreed, "amount")


def _by_class(account: Ledger, case: Case, lost: tuple[Destroyed, ...], *, total: bool) -> tuple[Destroyed, ...]:
    """Of a total loss only a plain trailer of the class is owed, of a partial one only the damage to such a trailer."""
    if total:
        plain = case.trailer_of_class
        if plain.replacement_cost >= account.running:
            return lost
        owed: tuple[Destroyed, ...] = (
            Destroyed("class_trailer", "class_trailer", plain.replacement_cost, plain.depreciation, ZERO, of_base=True),
        )
    else:
        owed = tuple(line for line in lost if line.of_base)
    account.cap("class_value", _replacement_cost(owed), "class")
    return owed


def _sublimits(account: Ledger, case: Case, left: tuple[Destroyed, ...], worn: bool) -> None:
    """Cap each category at its sublimit; the category has the part of what stands that it has of what is covered."""
    if case.policy.basis == "agreed_value" and case.total:
        return
    whole = sum((_worth(line, case.policy, worn) for line in left), ZERO)
    stands = account.running
    for sublimit in case.policy.sublimits:
        worth = sum((_worth(line, case.policy, worn) for line in left if line.category == sublimit.category), ZERO)
        if whole:
            part = case.rounded(Fraction(worth) * Fraction(stands) / Fraction(whole))
            over = min(max(part - sublimit.amount, ZERO), account.running)
            account.take("sublimit", over, "sublimits", category=sublimit.category, most=str(sublimit.amount))


def _coinsurance(account: Ledger, case: Case, left: tuple[Destroyed, ...], worn: bool) -> None:
    """Pay only carried / (value x rate) of the loss when less is carried; value: of the whole, on the day of loss."""
    policy = case.policy
    carried = policy.limit if policy.limit is not None else policy.amount
    whole = Ledger(_replacement_cost(case.whole))
    _value(whole, case, case.whole, total=True, worn=worn)
    required = case.rounded(Fraction(whole.running) * Fraction(policy.coinsurance_rate or ZERO))
    if carried is None or carried >= required:
        return
    paid = case.rounded(Fraction(account.running) * Fraction(carried) / Fraction(required))
    account.take("coinsurance", account.running - paid, "coinsurance", carried=str(carried), required=str(required))


def _deductible(account: Ledger, case: Case, left: tuple[Destroyed, ...], worn: bool) -> None:
    account.take("deductible", min(case.policy.deductible or ZERO, account.running), "deductible")


def _limit(account: Ledger, case: Case, left: tuple[Destroyed, ...], worn: bool) -> None:
    if case.policy.limit is not None:
        account.cap("limit", case.policy.limit, "limit")


_TERMS = {"sublimits": _sublimits, "coinsurance": _coinsurance, "deductible": _deductible, "limit": _limit}


def _worth(line: Destroyed, policy: Policy, worn: bool) -> Decimal:
    if policy.basis == "replacement_cost" and not worn:
        return line.replacement_cost
    labor = line.labor_depreciation if policy.depreciates_labor is not False else ZERO
    return line.replacement_cost - line.depreciation - labor


def _replacement_cost(lines: tuple[Destroyed, ...]) -> Decimal:
    return sum((line.replacement_cost for line in lines), ZERO)


def _notes(case: Case) -> list[Note]:
    policy = case.policy
    notes = []
    if case.by_class and policy.settles_as == "registered_class":
        notes.append(Note(code="settled_by_registered_class"))
    if policy.basis == "market_value" and policy.amount is None:
        notes.append(Note(code="market_value_stands_for_actual_cash_value"))
    if policy.coinsurance_rate and policy.limit is None and policy.amount is None:
        notes.append(Note(code="coinsurance_without_limit"))
    return notes
