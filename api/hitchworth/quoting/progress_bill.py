"""A progress bill by the schedule of values: gross in the columns, retainage taken once, then tax and deposit.

The tax of each line is billed as far as the line is complete, and is not held back from. What was done before is always
taken off what is reached to date, so that every rounding is made up for by the next bill.
"""

from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from decimal import Decimal, localcontext
from fractions import Fraction
from typing import NamedTuple

from hitchworth.model.build import Build
from hitchworth.model.change_order import ChangeOrder
from hitchworth.model.fault import Fault
from hitchworth.model.options import Options
from hitchworth.model.pricing import QuotePricing
from hitchworth.model.progress_bill import BilledLine, Progress, ProgressBill
from hitchworth.money import PRECISE, Money, round_ratio
from hitchworth.quoting.change_orders import standing_contract
from hitchworth.quoting.payments import deposit_of
from hitchworth.quoting.priced_quote import QuoteFaultsError

SHARE_PLACES = 4
AMOUNTS = ("scheduled", "earlier", "this_period", "stored", "completed", "balance", "retained", "tax")


class _Scheduled(NamedTuple):
    """A line of the schedule of values, in whole minor units: its price less discount, and its tax."""

    description: str = ""
    net: int = 0
    tax: int = 0


class EarlierBills(NamedTuple):
    """What earlier bills came to, and what they credited of the deposit; None: as the earlier work says."""

    certificates: Decimal | None = None
    tax: Decimal | None = None
    deposit_credit: Decimal | None = None


AS_THE_WORK_SAYS = EarlierBills()


class ProgressBilling:
    """Bills the progress of a contract: a validated quote with its accepted change orders."""

    def __init__(
        self, build: Build, pricing: QuotePricing, changes: Sequence[ChangeOrder], as_of: date, options: Options
    ) -> None:
        self._pricing, self._currency = pricing, build.currency
        self._money = Money(build.currency, options.rounding)
        with localcontext(PRECISE):
            self._contract = standing_contract(build, pricing, changes, as_of, options)
        self._scheduled: dict[str, _Scheduled] = {}
        for line in self._contract.lines:
            # what the customer was to bring and a change order buys has its handling under the same id
            other = self._scheduled.get(line.entry.id, _Scheduled())
            self._scheduled[line.entry.id] = _Scheduled(
                line.entry.description, other.net + line.net, other.tax + (line.tax if line.net else 0)
            )
        first = deposit_of(self._contract.payments)
        is_paid = first is not None and first.paid_on is not None
        self._deposit = first.due if first is not None and is_paid else self._money.zero
        self._deposit_not_paid = first.due if first is not None and not is_paid else self._money.zero

    def bill(self, progress: Sequence[Progress], earlier: EarlierBills = AS_THE_WORK_SAYS) -> ProgressBill:
        """Return the bill.

        Raises QuoteFaultsError for a line that is unknown or billed beyond its price, and a credit beyond the deposit.
        """
        with localcontext(PRECISE):
            given = {each.id: each for each in progress}
            faults = [*self._faults(progress), *self._credit_faults(earlier)]
            if faults:
                raise QuoteFaultsError(faults)
            lines = tuple(self._line(name, given.get(name, Progress(id=name))) for name in self._scheduled)
            totals = self._totals(lines)
            earned = totals.completed - totals.retained
            before = self._stated(earlier.certificates, self._certified_before(given))
            taxed = self._stated(earlier.tax, self._taxed_before(given))
            credited = self._stated(earlier.deposit_credit, min(self._deposit, before + taxed))
            due, tax = earned - before, totals.tax - taxed
            credit = min(self._deposit, max(earned + totals.tax, self._money.zero)) - credited
            credit = min(credit, max(due + tax, self._money.zero))
            total = self._amount(self._contract.total)
            contingency = self._amount(self._contract.contingency)
            of_lines = totals.scheduled + self._amount(sum(each.tax for each in self._scheduled.values()))
            return ProgressBill(
                currency=self._currency,
                lines=lines,
                totals=totals,
                earned=earned,
                earlier_certificates=before,
                due=due,
                balance_to_finish=totals.scheduled - earned,
                earlier_tax=taxed,
                tax=tax,
                deposit=self._deposit,
                deposit_not_paid=self._deposit_not_paid,
                earlier_deposit_credit=credited,
                deposit_credit=credit,
                deposit_left=self._deposit - credited - credit,
                to_pay=due + tax - credit,
                contract_total=total,
                contingency_not_billed=contingency,
                other_not_billed=total - of_lines - contingency,
                open_tax=self._contract.open_tax,
            )

    def _stated(self, stated: Decimal | None, computed: Decimal) -> Decimal:
        """Return what is stated of earlier bills, in whole minor units; else what the earlier work says."""
        return computed if stated is None else self._amount(self._money.to_minor_units(stated))

    def _certified_before(self, given: Mapping[str, Progress]) -> Decimal:
        """Return what earlier periods came to, less what was held back of them; nothing was stored then."""
        amounts = (
            self._money.to_minor_units(each.earlier) - self._retained(each, each.earlier) for each in given.values()
        )
        return self._money.from_minor_units(sum(amounts))

    def _taxed_before(self, given: Mapping[str, Progress]) -> Decimal:
        """Return the tax on the work of earlier periods."""
        return self._amount(
            sum(self._tax(each.id, self._money.to_minor_units(each.earlier)) for each in given.values())
        )

    def _tax(self, name: str, completed: int) -> int:
        """Return the tax of a line as far as it is complete."""
        line = self._scheduled[name]
        return self._money.divide(line.tax * completed, line.net) if line.net else 0

    def _credit_faults(self, earlier: EarlierBills) -> Iterator[Fault]:
        if earlier.deposit_credit is not None and earlier.deposit_credit > self._deposit:
            yield Fault(
                pointer="/earlier_deposit_credit",
                detail="More is credited than was paid of the deposit",
                expected=f"at most {self._deposit}, the first of several payments where it has a paid_on",
                found=str(earlier.deposit_credit),
            )

    def _faults(self, progress: Sequence[Progress]) -> Iterator[Fault]:
        for index, each in enumerate(progress):
            if each.id not in self._scheduled:
                yield Fault(
                    pointer=f"/progress/{index}/id",
                    detail="The contract has no such line",
                    expected="the id of a line of the contract",
                    found=each.id,
                )
                continue
            scheduled, completed = self._scheduled[each.id].net, self._completed(each)
            billed = self._money.to_minor_units(each.earlier + each.stored)
            if completed > scheduled or completed < billed:
                yield Fault(
                    pointer=f"/progress/{index}",
                    detail="More is billed than the line comes to" if completed > scheduled else "Less than was billed",
                    expected=f"from {self._amount(billed)} to {self._amount(scheduled)} in all, before tax",
                    found=str(self._amount(completed)),
                )

    def _completed(self, progress: Progress) -> int:
        """Return what is complete and stored to date."""
        if progress.completed_share is not None:
            return self._money.multiply(self._scheduled[progress.id].net, Fraction(progress.completed_share))
        return self._money.to_minor_units(progress.earlier + (progress.this_period or 0) + progress.stored)

    def _retained(self, progress: Progress, amount: Decimal) -> int:
        rate = progress.retainage_rate
        if rate is None:
            rate = self._pricing.retainage.rate if self._pricing.retainage is not None else Decimal(0)
        return self._money.multiply(self._money.to_minor_units(amount), Fraction(rate))

    def _line(self, name: str, progress: Progress) -> BilledLine:
        description, scheduled, _ = self._scheduled[name]
        completed = self._completed(progress)
        earlier, stored = map(self._money.to_minor_units, (progress.earlier, progress.stored))
        return BilledLine(
            id=name,
            description=description,
            scheduled=self._amount(scheduled),
            earlier=self._amount(earlier),
            this_period=self._amount(completed - earlier - stored),
            stored=self._amount(stored),
            completed=self._amount(completed),
            share=round_ratio(completed, scheduled, SHARE_PLACES) if scheduled else None,
            balance=self._amount(scheduled - completed),
            retained=self._amount(self._retained(progress, self._amount(completed))),
            tax=self._amount(self._tax(name, completed)),
        )

    def _totals(self, lines: Sequence[BilledLine]) -> BilledLine:
        sums = {name: sum((getattr(line, name) for line in lines), self._money.zero) for name in AMOUNTS}
        completed, scheduled = map(self._money.to_minor_units, (sums["completed"], sums["scheduled"]))
        share = round_ratio(completed, scheduled, SHARE_PLACES) if scheduled else None
        return BilledLine(id="", description="", share=share, **sums)

    def _amount(self, minor_units: int) -> Decimal:
        return self._money.from_minor_units(minor_units)
