"""The bases of settlement: what each owes for a total and for a partial loss. A new basis is one class here.

Actual cash value: replacement cost less depreciation, or for a total loss the market value, as the insurer finds it.
Replacement cost: new for old, but no more than was spent. Agreed value: the agreed figure for a total loss. Stated
amount: a cap on the actual cash value. Market value: a cap by what such trailers sell for.
"""

from collections.abc import Mapping
from decimal import Decimal
from fractions import Fraction
from types import MappingProxyType
from typing import Protocol

from msgspec.structs import replace

from hitchworth.coverage.account import Account
from hitchworth.coverage.claim import Claim, known, known_or_absent
from hitchworth.coverage.loss_lines import LossLine, LossLines, Worth
from hitchworth.model.policy import Basis, Policy


class SettlementBasis(Protocol):
    """What one basis of settlement owes. Amounts are whole minor units."""

    def total_loss(self, account: Account, claim: Claim, lines: LossLines) -> Account:
        """Enter what takes the replacement cost of the lines to what is owed when all of them are lost."""

    def partial_loss(self, account: Account, claim: Claim, lines: LossLines, whole: LossLines) -> Account:
        """Enter the same for a repair of the lines; `whole` is what the policy looks at before the loss."""

    def worth(self, line: LossLine, claim: Claim, *, total: bool) -> int:
        """Return what one covered line is worth on this basis."""

    def adds_tax_and_fees(self, claim: Claim) -> bool:
        """Return whether sales tax and fees of a total loss come on top."""

    def untaxed_value(self, value: int, claim: Claim, lines: LossLines) -> Fraction:
        """Return the part of the value of a total loss that bears sales tax and does not carry it yet."""

    def most_with_tax(self, claim: Claim, lines: LossLines, rate: Fraction) -> Fraction:
        """Return what replacing a total loss of the lines costs with sales tax at the rate: no more is paid."""


class ActualCashValue:
    """Replacement cost less depreciation, for total and partial losses alike."""

    def total_loss(self, account: Account, claim: Claim, lines: LossLines) -> Account:
        """Take the depreciation, then go to the market value where the insurer settles by it."""
        account = _depreciate(account, claim, lines)
        market = _market_value(claim, lines)
        if market is None:
            return account
        return account.take("market_value", max(account.running - market, -account.depreciation), "market")

    def partial_loss(self, account: Account, claim: Claim, lines: LossLines, whole: LossLines) -> Account:
        """Take the depreciation of what is repaired."""
        return _depreciate(account, claim, lines)

    def adds_tax_and_fees(self, claim: Claim) -> bool:
        """Tax and fees come on top of the value."""
        return True

    def untaxed_value(self, value: int, claim: Claim, lines: LossLines) -> Fraction:
        """Return all of a market value, else as much of the value as is of lines that carry none."""
        if _market_value(claim, lines) is not None:
            return Fraction(value)
        return _untaxed_part(self, value, claim, lines)

    def most_with_tax(self, claim: Claim, lines: LossLines, rate: Fraction) -> Fraction:
        """Return the replacement cost, and tax on what of it bears it and does not carry it yet."""
        return lines.replacement_cost + rate * lines.untaxed

    def worth(self, line: LossLine, claim: Claim, *, total: bool) -> int:
        """Return the line's actual cash value."""
        return actual_cash_value(line, claim.policy)


class ReplacementCost(ActualCashValue):
    """New for old: as much as was spent, but the actual cash value at least; a repair without betterment."""

    def total_loss(self, account: Account, claim: Claim, lines: LossLines) -> Account:
        """Cap by what was spent."""
        spent = claim.loss.amount_spent
        if spent is None:
            return account
        least = actual_cash_value(lines, claim.policy)
        return account.cap("amount_spent", max(claim.money.to_minor_units(spent), least), "amount")

    def partial_loss(self, account: Account, claim: Claim, lines: LossLines, whole: LossLines) -> Account:
        """Take the depreciation of parts whose repair betters the trailer, and cap by what was spent."""
        betterment = lines.replacement_cost - worth_of(BASES["replacement_cost"], claim, lines, total=False).whole
        return self.total_loss(account.take("betterment", betterment, "betterment"), claim, lines)

    def untaxed_value(self, value: int, claim: Claim, lines: LossLines) -> Fraction:
        """Return as much of the cost as is of lines that carry none."""
        return _untaxed_part(self, value, claim, lines)

    def most_with_tax(self, claim: Claim, lines: LossLines, rate: Fraction) -> Fraction:
        """Return the cost with its tax, or what was spent, which has it; at least actual cash value with its tax."""
        most, spent = super().most_with_tax(claim, lines, rate), claim.loss.amount_spent
        if spent is None:
            return most
        least = actual_cash_value(lines, claim.policy)
        least_with_tax = least + rate * _untaxed_part(BASES["actual_cash_value"], least, claim, lines)
        return min(most, max(Fraction(claim.money.to_minor_units(spent)), least_with_tax))

    def worth(self, line: LossLine, claim: Claim, *, total: bool) -> int:
        """Return the line's replacement cost, less betterment on a repair."""
        return line.replacement_cost - (0 if total else _betterment(line, claim.policy))


class CappedRepair(ActualCashValue):
    """A basis that pays a repair at its cost, up to a figure."""

    def worth(self, line: LossLine, claim: Claim, *, total: bool) -> int:
        """Return the line's actual cash value, or on a repair its replacement cost."""
        return super().worth(line, claim, total=total) if total else line.replacement_cost


class AgreedValue(CappedRepair):
    """The agreed figure for a total loss, less or more than the cost; a repair at its cost, up to that figure."""

    def adds_tax_and_fees(self, claim: Claim) -> bool:
        """The agreed figure is all that is paid."""
        return False

    def total_loss(self, account: Account, claim: Claim, lines: LossLines) -> Account:
        """Go to the agreed figure, up or down."""
        return account.take("agreed_value", account.running - _amount(claim), "amount")

    def partial_loss(self, account: Account, claim: Claim, lines: LossLines, whole: LossLines) -> Account:
        """Cap by the agreed figure."""
        return account.cap("agreed_value", _amount(claim), "amount")


class StatedAmount(CappedRepair):
    """The least of the stated amount, the actual cash value, and the cost to repair."""

    def total_loss(self, account: Account, claim: Claim, lines: LossLines) -> Account:
        """Take the depreciation, then cap by the stated amount."""
        return super().total_loss(account, claim, lines).cap("stated_amount", _amount(claim), "amount")

    def adds_tax_and_fees(self, claim: Claim) -> bool:
        """The stated amount is a cap: tax and fees come on top only where the wording says so."""
        return known(claim.policy.adds_tax_to_stated_amount, "adds_tax_to_stated_amount")

    def partial_loss(self, account: Account, claim: Claim, lines: LossLines, whole: LossLines) -> Account:
        """Cap the cost of repair by the actual cash value of the whole and by the stated amount."""
        return account.cap("stated_amount", min(actual_cash_value(whole, claim.policy), _amount(claim)), "amount")


class MarketValue(CappedRepair):
    """What such trailers sell for; where no market value is known, the actual cash value stands for it."""

    def total_loss(self, account: Account, claim: Claim, lines: LossLines) -> Account:
        """Cap by the market value."""
        amount = stated_market_value(claim)
        if amount is None:
            return _depreciate(account, claim, lines)
        return account.cap("market_value", claim.money.to_minor_units(amount), "market")

    def partial_loss(self, account: Account, claim: Claim, lines: LossLines, whole: LossLines) -> Account:
        """Cap the repair by the market value."""
        return self.total_loss(account, claim, lines)

    def untaxed_value(self, value: int, claim: Claim, lines: LossLines) -> Fraction:
        """Return the whole of a market value; where none is known, the same as of the actual cash value."""
        return super().untaxed_value(value, claim, lines) if stated_market_value(claim) is None else Fraction(value)

    def worth(self, line: LossLine, claim: Claim, *, total: bool) -> int:
        """Return the same where a market value is known, else the line's actual cash value."""
        return super().worth(line, claim, total=total or stated_market_value(claim) is None)


BASES: Mapping[Basis, SettlementBasis] = MappingProxyType(
    {
        "actual_cash_value": ActualCashValue(),
        "replacement_cost": ReplacementCost(),
        "agreed_value": AgreedValue(),
        "stated_amount": StatedAmount(),
        "market_value": MarketValue(),
    }
)


def basis_of(claim: Claim, *, total: bool) -> SettlementBasis:
    """Return the basis by which the claim is settled.

    Replacement cost pays the actual cash value where the trailer is not replaced, and for a total loss of one that is
    older than the policy allows.
    """
    basis: Basis = known(claim.policy.basis, "basis")
    if basis == "replacement_cost" and (not claim.loss.replaced or (total and is_too_old(claim))):
        return BASES["actual_cash_value"]
    return BASES[basis]


def is_too_old(claim: Claim) -> bool:
    """Return whether the trailer is past the age up to which the policy pays replacement cost."""
    if claim.context.age_years <= 0:
        return False
    years = known_or_absent(claim.policy.replacement_years, "replacement_years", claim.policy)
    return years is not None and claim.context.age_years > years


def stated_market_value(claim: Claim) -> Decimal | None:
    """Return the market value that the policy names, or else the one that is entered with the build."""
    return claim.context.build.market_value if claim.policy.amount is None else claim.policy.amount


def value_of_whole(claim: Claim, whole: LossLines, *, total: bool) -> int:
    """Return what the whole is worth on the policy's basis on the day of the loss, whatever was spent after it.

    `total` says whether the loss is settled as a total one, which decides the basis of an old trailer.
    """
    before = claim
    if claim.loss.amount_spent is not None:
        before = replace(claim, context=replace(claim.context, loss=replace(claim.loss, amount_spent=None)))
    return value_on(basis_of(claim, total=total), before, whole)


def value_on(basis: SettlementBasis, claim: Claim, whole: LossLines) -> int:
    """Return what the whole is worth on a basis."""
    cost = whole.replacement_cost
    return basis.total_loss(Account(replacement_cost=cost, running=cost, total=True), claim, whole).running


def worth_of(basis: SettlementBasis, claim: Claim, lines: LossLines, *, total: bool) -> Worth:
    """Return what the lines are worth one by one on a basis."""
    policy = claim.policy
    rule = (
        basis,
        total,
        policy.depreciates_labor,
        policy.deducts_obsolescence,
        policy.betterment_categories,
        stated_market_value(claim) is None,
    )
    return lines.worth(rule, lambda line: basis.worth(line, claim, total=total))


def actual_cash_value(lines: LossLines | LossLine, policy: Policy) -> int:
    """Return replacement cost less depreciation, that of labor only where the policy takes it."""
    parts = lines.replacement_cost - lines.depreciation
    return parts - _labor_depreciation(lines, policy) - _obsolescence(lines, policy)


def _untaxed_part(basis: SettlementBasis, value: int, claim: Claim, lines: LossLines) -> Fraction:
    """Return the value in proportion to what the untaxed parts of the lines are worth of the whole."""
    worth = worth_of(basis, claim, lines, total=True)
    return Fraction(value * worth.untaxed, worth.whole) if worth.whole else Fraction(0)


def _labor_depreciation(lines: LossLines | LossLine, policy: Policy) -> int:
    labor = lines.labor_depreciation
    return labor if labor and known(policy.depreciates_labor, "depreciates_labor") else 0


def _obsolescence(lines: LossLines | LossLine, policy: Policy) -> int:
    """Return what obsolescence takes after wear, where the policy deducts it."""
    if not (lines.obsolescence or lines.obsolescence_after_labor):
        return 0
    if not known(policy.deducts_obsolescence, "deducts_obsolescence"):
        return 0
    if lines.labor_depreciation and known(policy.depreciates_labor, "depreciates_labor"):
        return lines.obsolescence_after_labor
    return lines.obsolescence


def _depreciate(account: Account, claim: Claim, lines: LossLines) -> Account:
    """Take the depreciation of parts, that of labor and obsolescence where the policy takes them."""
    account = account.take("depreciation", lines.depreciation, "depreciation")
    account = account.take("labor_depreciation", _labor_depreciation(lines, claim.policy), "labor_depreciation")
    return account.take("obsolescence", _obsolescence(lines, claim.policy), "obsolescence")


def _market_value(claim: Claim, lines: LossLines) -> int | None:
    """Return the market value by which the insurer finds actual cash value; None where it goes by depreciation.

    No market value stands for a plain trailer of the class. An insurer that weighs all evidence may come to either
    figure, so that term stays open.
    """
    market = claim.context.build.market_value
    if market is None or lines.is_plain_trailer:
        return None
    values_by = None if claim.policy.values_by == "broad_evidence" else claim.policy.values_by
    return claim.money.to_minor_units(market) if known(values_by, "values_by") == "market_value" else None


def _betterment(line: LossLine, policy: Policy) -> int:
    if not line.depreciation:
        return 0
    return line.depreciation if line.category in known(policy.betterment_categories, "betterment_categories") else 0


def _amount(claim: Claim) -> int:
    return claim.money.to_minor_units(known(claim.policy.amount, "amount"))
