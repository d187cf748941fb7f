"""The lines that can be in a quote: each entry of the build at what it costs, with waste and shop rates."""

from collections.abc import Iterator, Mapping
from datetime import date
from decimal import ROUND_CEILING, Decimal

from msgspec import Struct
from msgspec.structs import replace

from hitchworth.model.build import Build, Component, Labor, PriceContent
from hitchworth.model.pricing import CostKind, QuotePricing, ShopRate, TaxedKind, WasteAllowance
from hitchworth.model.quote import QuoteLineKind
from hitchworth.money import Money
from hitchworth.valuation.cost import Pricing
from hitchworth.valuation.notes import NoteCollector
from hitchworth.valuation.trending import PriceIndexes

HOURS = "h"
ONE = Decimal(1)


class QuoteEntry(Struct, frozen=True):
    """What can be a line of a quote. Amounts are whole minor units."""

    id: str
    kind: QuoteLineKind
    description: str
    category: str
    cost_kind: CostKind
    direct: int
    includes: PriceContent
    taxed_as: TaxedKind | None
    """None: it is work, and of what kind is not known."""
    cost: int | None = None
    """What it costs the workshop; None where that is not known."""
    quantity: Decimal | None = None
    unit: str = ""
    priced_quantity: Decimal | None = None
    unit_price: Decimal | None = None
    """The price or rate of one unit, where direct is quantity x price and nothing else."""
    option: str = ""
    alternative: str = ""
    carries_tax: bool = False
    """Tax was paid on what was bought, and is in the cost."""


def quote_entries(
    build: Build, pricing: QuotePricing, as_of: date, money: Money, notes: NoteCollector
) -> tuple[QuoteEntry, ...]:
    """Return every line that may be in the quote, those of all alternatives too, in the order of the build.

    Days of purchase and of work do not matter: what is quoted is still to be bought and done. What was removed is out.
    """
    priced = _Entries(build, pricing, as_of, money, notes)
    lines = (*priced.components(), *priced.labor(), *priced.allowances(), *priced.handling(), *priced.alternatives())
    bought = {line.category for line in lines if line.kind == "component"}
    for category in sorted({each.category for each in pricing.waste} - bought):
        notes.add("waste_without_components", category)
    return lines


class _Entries:
    """Prices what a build and its pricing have in them."""

    def __init__(self, build: Build, pricing: QuotePricing, as_of: date, money: Money, notes: NoteCollector) -> None:
        self._build, self._pricing, self._as_of, self._money = build, pricing, as_of, money
        self._notes = notes
        self._cost = Pricing(build, as_of, money, PriceIndexes(build.price_indexes, as_of, notes), notes)
        self._waste: Mapping[str, WasteAllowance] = {each.category: each for each in pricing.waste}
        self._rates: Mapping[str | None, ShopRate] = {each.category: each for each in pricing.shop_rates}
        self._kinds = {each.id: each.kind for each in pricing.labor_kinds}
        self._options = {
            entry: (group.name, alternative.name)
            for group in pricing.option_groups
            for alternative in group.alternatives
            for entry in alternative.entries
        }

    def components(self) -> Iterator[QuoteEntry]:
        supplied = {each.id for each in self._pricing.customer_supplies}
        for part in self._build.components:
            if part.removed_on is None and part.id not in supplied:
                yield self._component(part)

    def labor(self) -> Iterator[QuoteEntry]:
        return map(self._labor, self._build.labor)

    def allowances(self) -> Iterator[QuoteEntry]:
        for each in self._pricing.allowances:
            amount = self._money.to_minor_units(each.amount)
            yield QuoteEntry(
                each.id,
                "allowance",
                each.description,
                each.category,
                "material",
                amount,
                each.includes,
                "materials",
                cost=amount if each.includes == "nothing" else None,
            )

    def handling(self) -> Iterator[QuoteEntry]:
        """What handling costs; it goes with the material, as the charge of a seller does."""
        parts = {part.id: part for part in self._build.components}
        for each in self._pricing.customer_supplies:
            if each.handling:
                part, amount = parts[each.id], self._money.to_minor_units(each.handling)
                yield QuoteEntry(
                    each.id,
                    "handling",
                    part.description,
                    part.category,
                    "material",
                    amount,
                    "overhead_and_profit",
                    "materials",
                )

    def alternatives(self) -> Iterator[QuoteEntry]:
        for group in self._pricing.option_groups:
            for each in group.alternatives:
                if each.price is not None:
                    yield QuoteEntry(
                        f"{group.name}: {each.name}",
                        "alternative",
                        f"{group.name}: {each.name}",
                        "option",
                        "material",
                        self._money.to_minor_units(each.price),
                        "overhead_and_profit",
                        each.taxed_as,
                        option=group.name,
                        alternative=each.name,
                    )

    def _component(self, part: Component) -> QuoteEntry:
        quantity = with_waste(part.quantity, self._waste.get(part.category))
        bought = replace(part, quantity=quantity)
        if part.price_index is not None and part.acquired_on > self._as_of:
            bought = replace(bought, price_index=None)  # a price of a later day needs no trend
        cost = self._cost.price_component(bought)
        if cost.carries_tax:
            self._notes.add("tax_paid_in_cost", part.id)
        option, alternative = self._options.get(part.id, ("", ""))
        plain = (
            cost.trend is None and not part.freight and not part.tax and cost.exchange == cost.quoted_exchange == ONE
        )
        return QuoteEntry(
            part.id,
            "component",
            part.description,
            part.category,
            "material",
            cost.direct,
            cost.includes,
            "materials",
            cost=cost.direct,
            quantity=part.quantity,
            unit=part.unit,
            priced_quantity=quantity,
            unit_price=(part.unit_cost if cost.quote is None else cost.quote) if plain else None,
            option=option,
            alternative=alternative,
            carries_tax=cost.carries_tax,
        )

    def _labor(self, labor: Labor) -> QuoteEntry:
        rate = self._rates.get(labor.category, self._rates.get(None))
        option, alternative = self._options.get(labor.id, ("", ""))
        if rate is None:
            priced = self._cost.price_labor(labor)
            direct, includes = priced.direct, priced.includes
            unit_price = None if priced.trend else (labor.rate if priced.market_rate is None else priced.market_rate)
        else:
            direct, includes = self._money.to_minor_units(labor.hours * rate.rate), rate.includes
            unit_price = rate.rate
        return QuoteEntry(
            labor.id,
            "labor",
            labor.task,
            labor.category,
            "hired_labor" if labor.hired else "labor",
            direct,
            includes,
            self._kinds.get(labor.id),
            cost=self._cost_of_labor(labor, rate, direct, includes),
            quantity=labor.hours,
            unit=HOURS,
            priced_quantity=labor.hours,
            unit_price=unit_price,
            option=option,
            alternative=alternative,
        )

    def _cost_of_labor(self, labor: Labor, rate: ShopRate | None, direct: int, includes: PriceContent) -> int | None:
        """Hours at what one costs the workshop; what is asked, where that includes nothing; else not known."""
        if rate is not None and rate.cost is not None:
            return self._money.to_minor_units(labor.hours * rate.cost)
        return direct if includes == "nothing" else None


def with_waste(quantity: Decimal, waste: WasteAllowance | None) -> Decimal:
    """Return the quantity that has to be bought: with its waste, in whole units where the allowance says so."""
    if waste is None:
        return quantity
    bought = quantity * (1 + waste.rate)
    return bought.to_integral_value(ROUND_CEILING) if waste.whole_units else bought
