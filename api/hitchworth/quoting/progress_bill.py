"""A progress bill by the schedule of values: gross in the columns, retainage taken once at the end."""

from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from decimal import Decimal, localcontext
from fractions import Fraction

from hitchworth.model.build import Build
from hitchworth.model.change_order import ChangeOrder
from hitchworth.model.fault import Fault
from hitchworth.model.options import Options
from hitchworth.model.pricing import QuotePricing
from hitchworth.model.progress_bill import BilledLine, Progress, ProgressBill
from hitchworth.money import PRECISE, Money, round_ratio
from hitchworth.quoting.change_orders import accepted_lines
from hitchworth.quoting.priced_quote import QuoteFaultsError

SHARE_PLACES = 4
AMOUNTS = ("scheduled", "earlier", "this_period", "stored", "completed", "balance", "retained")


class ProgressBilling:
    """Bills the progress of a contract: a validated quote with its accepted change orders."""

    def __init__(
        self, build: Build, pricing: QuotePricing, changes: Sequence[ChangeOrder], as_of: date, options: Options
    ) -> None:
        self._pricing, self._currency = pricing, build.currency
        self._money = Money(build.currency, options.rounding)
        with localcontext(PRECISE):
            lines = accepted_lines(build, pricing, changes, as_of, options)
        self._scheduled: dict[str, tuple[str, int]] = {}
        for line in lines:  # what the customer was to bring and a change order buys has its handling under the same id
            _, others = self._scheduled.get(line.entry.id, ("", 0))
            self._scheduled[line.entry.id] = line.entry.description, others + line.net

    def bill(self, progress: Sequence[Progress], earlier_certificates: Decimal | None) -> ProgressBill:
        """Return the bill. Raises QuoteFaultsError for a line that is unknown or billed beyond its price."""
        with localcontext(PRECISE):
            given = {each.id: each for each in progress}
            faults = list(self._faults(progress))
            if faults:
                raise QuoteFaultsError(faults)
            lines = tuple(self._line(name, given.get(name, Progress(id=name))) for name in self._scheduled)
            totals = self._totals(lines)
            earned = totals.completed - totals.retained
            before = self._certified_before(given)
            if earlier_certificates is not None:
                before = self._amount(self._money.to_minor_units(earlier_certificates))
            return ProgressBill(
                currency=self._currency,
                lines=lines,
                totals=totals,
                earned=earned,
                earlier_certificates=before,
                due=earned - before,
                balance_to_finish=totals.scheduled - earned,
            )

    def _certified_before(self, given: Mapping[str, Progress]) -> Decimal:
        """Return what earlier periods came to, less what was held back of them; nothing was stored then."""
        amounts = (
            self._money.to_minor_units(each.earlier) - self._retained(each, each.earlier) for each in given.values()
        )
        return self._money.from_minor_units(sum(amounts))

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
            scheduled, completed = self._scheduled[each.id][1], self._completed(each)
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
            return self._money.multiply(self._scheduled[progress.id][1], Fraction(progress.completed_share))
        return self._money.to_minor_units(progress.earlier + (progress.this_period or 0) + progress.stored)

    def _retained(self, progress: Progress, amount: Decimal) -> int:
        rate = progress.retainage_rate
        if rate is None:
            rate = self._pricing.retainage.rate if self._pricing.retainage is not None else Decimal(0)
        return self._money.multiply(self._money.to_minor_units(amount), Fraction(rate))

    def _line(self, name: str, progress: Progress) -> BilledLine:
        description, scheduled = self._scheduled[name]
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
        )

    def _totals(self, lines: Sequence[BilledLine]) -> BilledLine:
        sums = {name: sum((getattr(line, name) for line in lines), self._money.zero) for name in AMOUNTS}
        completed, scheduled = map(self._money.to_minor_units, (sums["completed"], sums["scheduled"]))
        share = round_ratio(completed, scheduled, SHARE_PLACES) if scheduled else None
        return BilledLine(id="", description="", share=share, **sums)

    def _amount(self, minor_units: int) -> Decimal:
        return self._money.from_minor_units(minor_units)
