"""The lines that can be in a quote: each entry of the build at what it costs, with waste and shop rates."""

from collections.abc import Iterator, Mapping
from datetime import date
from decimal import ROUND_CEILING, Decimal

from msgspec import Struct
from msgspec.structs import replace

from hitchworth.model.build import Build
from hitchworth.model.entry import Component, Labor, PriceContent
from hitchworth.model.pricing import CostKind, QuotePricing, ShopRate, TaxedKind, WasteAllowance
from hitchworth.model.quote import QuoteLineKind
from hitchworth.money import Money
from hitchworth.valuation.cost import EntryCost, Pricing, add_freight
from hitchworth.valuation.notes import NoteCollector
from hitchworth.valuation.trending import PriceIndexes
from hitchworth.valuation.workings import direct_cost_formula

HOURS = "h"


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
    freight: int = 0
    """The part of direct that is freight for the whole line; it does not grow with the quantity."""
    formula: str = ""
    """How direct comes about; empty where it was given."""
    option: str = ""
    alternative: str = ""


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
    indirect = build.indirect_costs
    if indirect.overhead_rate or indirect.profit_rate or indirect.sales_tax_rate:
        notes.add("quoted_by_pricing_alone")
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
        bought = [part for part in self._build.components if part.removed_on is None and part.id not in supplied]
        costs = {part.id: self._cost.price_component(self._with_waste(part)) for part in bought}
        costs |= self._freight([costs[part.id] for part in bought if part.id not in self._options])
        return (self._component(part, costs[part.id]) for part in bought)

    def _freight(self, costs: list[EntryCost]) -> dict[str, EntryCost]:
        """The components of the base with their parts of a lump sum of freight."""
        freight = self._money.to_minor_units(self._build.indirect_costs.freight_lump_sum)
        return {cost.entry.id: cost for cost in add_freight(costs, freight, self._notes)} if freight else {}

    def _with_waste(self, part: Component) -> Component:
        bought = replace(part, quantity=with_waste(part.quantity, self._waste.get(part.category)))
        # a price of a later day needs no trend
        return bought if part.acquired_on <= self._as_of else replace(bought, price_index=None)

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

    def _component(self, part: Component, cost: EntryCost) -> QuoteEntry:
        if cost.carries_tax:
            self._notes.add("tax_paid_in_cost", part.id)
        option, alternative = self._options.get(part.id, ("", ""))
        formula = direct_cost_formula(cost)[1]
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
            priced_quantity=with_waste(part.quantity, self._waste.get(part.category)),
            freight=cost.freight + self._own_freight(part, cost),
            formula=f"{formula} + {self._money.from_minor_units(cost.freight)}" if cost.freight else formula,
            option=option,
            alternative=alternative,
        )

    def _own_freight(self, part: Component, cost: EntryCost) -> int:
        rate = cost.exchange if cost.quote is None else cost.quoted_exchange
        return 0 if cost.trend else self._money.to_minor_units(part.freight * rate)

    def _labor(self, labor: Labor) -> QuoteEntry:
        rate = self._rates.get(labor.category, self._rates.get(None))
        option, alternative = self._options.get(labor.id, ("", ""))
        if rate is None:
            priced = self._cost.price_labor(labor)
            direct, includes, formula = priced.direct, priced.includes, direct_cost_formula(priced)[1]
        else:
            direct, includes = self._money.to_minor_units(labor.hours * rate.rate), rate.includes
            formula = f"{labor.hours:f} x {rate.rate:f}"
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
            formula=formula,
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
