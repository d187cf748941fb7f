"""A build priced by a workshop: the chosen lines with overhead, profit, contingency, discount and tax."""

from collections.abc import Sequence
from datetime import date
from fractions import Fraction
from typing import NamedTuple

from hitchworth.model.build import Build
from hitchworth.model.fault import Fault
from hitchworth.model.options import Options
from hitchworth.model.pricing import QuotePricing
from hitchworth.money import Money, split
from hitchworth.quoting.contingency import contingency_amount
from hitchworth.quoting.entries import QuoteEntry, quote_entries
from hitchworth.quoting.markup import MarkupAmounts, line_names, markup_amounts
from hitchworth.quoting.tax import TaxedLine, Taxes, Treatments, taxed_line, taxes, treatments_of
from hitchworth.valuation.notes import NoteCollector

CONTINGENCY = "contingency"


class QuoteFaultsError(ValueError):
    """What cannot be seen before the quote is computed: payments that do not add up, a contingency overdrawn."""

    def __init__(self, faults: Sequence[Fault]) -> None:
        super().__init__(faults[0].detail)
        self.faults = tuple(faults)


class PricedQuote(NamedTuple):
    """The chosen lines with everything computed for them, in whole minor units."""

    entries: tuple[QuoteEntry, ...]
    amounts: MarkupAmounts
    prices: list[int]
    discounts: list[int]
    contingency: int
    taxes: Taxes

    @property
    def price(self) -> int:
        """Price of all lines before discount and tax."""
        return sum(self.prices)

    @property
    def discount(self) -> int:
        return sum(self.discounts)

    @property
    def tax(self) -> int:
        return sum(self.taxes.amounts)

    @property
    def total(self) -> int:
        """What is paid, with the tax that is known to be due."""
        return self.price - self.discount + self.contingency + self.tax


class Quoting:
    """Prices one build by one pricing on the day of the quote, whatever is chosen of its options."""

    def __init__(self, build: Build, pricing: QuotePricing, as_of: date, options: Options) -> None:
        self.build, self.pricing = build, pricing
        self.quoted_on = pricing.quoted_on or as_of
        self.money = Money(build.currency, options.rounding)
        self.notes = NoteCollector()
        self.treatments: Treatments = treatments_of(build, pricing)
        self.entries = quote_entries(build, pricing, self.quoted_on, self.money, self.notes)
        self.chosen = tuple(group.chosen or "" for group in pricing.option_groups)
        self._totals: dict[tuple[str, ...], int] = {}

    def priced(self, chosen: Sequence[str]) -> PricedQuote:
        """Price the lines of the base and of the chosen alternatives, one name for each group, empty for none."""
        taken = dict(zip((group.name for group in self.pricing.option_groups), chosen, strict=True))
        entries = tuple(each for each in self.entries if not each.option or taken[each.option] == each.alternative)
        return self.price_entries(entries)

    def total(self, chosen: tuple[str, ...]) -> int:
        """Return the total with the chosen alternatives, computed once for each choice."""
        if chosen not in self._totals:
            self._totals[chosen] = self.priced(chosen).total
        return self._totals[chosen]

    def price_entries(self, entries: tuple[QuoteEntry, ...]) -> PricedQuote:
        """Price these lines as a whole. Raises QuoteFaultsError where more is taken off than there is."""
        money = self.money
        amounts = markup_amounts(entries, self.pricing, money)
        prices = [entry.direct + overhead + profit for entry, overhead, profit in zip(entries, *amounts, strict=True)]
        discounts = split(self._discount(sum(prices)), prices, line_names(entries))
        contingency = contingency_amount(self.pricing.contingency, sum(prices), money)
        taxed = [
            taxed_line(entry, price - discount, self.treatments)
            for entry, price, discount in zip(entries, prices, discounts, strict=True)
        ]
        kept = TaxedLine(CONTINGENCY, None, contingency, self.treatments["contingency"])
        return PricedQuote(entries, amounts, prices, discounts, contingency, taxes([*taxed, kept], self.pricing, money))

    def _discount(self, price: int) -> int:
        discount = self.pricing.discount
        if discount is None:
            return 0
        if discount.amount is None:
            return self.money.multiply(price, Fraction(discount.rate or 0))
        amount = self.money.to_minor_units(discount.amount)
        if amount > price:
            fault = Fault(
                pointer="/pricing/discount/amount",
                detail="The discount is more than the price",
                expected=f"at most {self.money.from_minor_units(price)}",
                found=str(discount.amount),
            )
            raise QuoteFaultsError([fault])
        return amount
