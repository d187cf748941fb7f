"""From quote to build: what was quoted becomes what the trailer cost its owner, with the written quote as evidence."""

from collections.abc import Iterable, Iterator
from datetime import date
from decimal import ROUND_HALF_EVEN, Decimal, localcontext

from msgspec.structs import replace

from hitchworth.model.build import Build, Component, IndirectCosts, Labor
from hitchworth.model.options import Options
from hitchworth.model.pricing import QuotePricing
from hitchworth.money import PRECISE
from hitchworth.quoting.entries import QuoteEntry
from hitchworth.quoting.priced_quote import PricedQuote, Quoting

UNIT_PLACES = Decimal(1).scaleb(-12)
"""A price for one unit, so exact that the quantity brings back the price of the line to the cent."""
MAX_ID = 80
"""Characters of an identifier."""


def accepted_build(build: Build, pricing: QuotePricing, as_of: date, options: Options) -> Build:
    """Return the build as its owner pays for it: each line at its quoted price less discount, with its tax.

    Each line has the evidence grade written_quote; a receipt takes its place line by line later. Overhead and profit
    are in the prices, so the build has no indirect costs of its own. What the customer supplies stays as it was
    entered. Alternatives that were not chosen and the contingency are left out.
    """
    with localcontext(PRECISE):
        quoting = Quoting(build, pricing, as_of, options)
        return _Acceptance(quoting, quoting.priced(quoting.chosen)).build()


class _Acceptance:
    """Turns the priced lines of a quote into entries of a build."""

    def __init__(self, quoting: Quoting, priced: PricedQuote) -> None:
        self._quoting, self._priced = quoting, priced
        self._parts = {part.id: part for part in quoting.build.components}
        self._work = {entry.id: entry for entry in quoting.build.labor}
        self._ids = {*self._parts, *self._work}

    def build(self) -> Build:
        components = (*self._supplied(), *self._components())
        kept = {part.id for part in components}
        return replace(
            self._quoting.build,
            components=components,
            labor=tuple(self._labor(kept)),
            indirect_costs=IndirectCosts(),
        )

    def _supplied(self) -> Iterator[Component]:
        supplied = {each.id for each in self._quoting.pricing.customer_supplies}
        return (part for part in self._quoting.build.components if part.id in supplied)

    def _components(self) -> Iterable[Component]:
        for index, entry in enumerate(self._priced.entries):
            if entry.kind != "labor":
                yield self._component(entry, self._net(index), self._tax(index))

    def _component(self, entry: QuoteEntry, net: Decimal, tax: Decimal | None) -> Component:
        part = self._parts[entry.id] if entry.kind == "component" else self._new(entry)
        workshop = self._quoting.pricing.workshop
        return replace(
            part,
            unit_cost=_for_one(net, part.quantity),
            currency=None,
            exchange_rate=None,
            exchange_rate_source=None,
            tax=tax,
            freight=self._quoting.money.zero,
            price_includes="overhead_and_profit" if entry.includes != "all" else "all",
            replacement_unit_cost=None,
            quoted_on=None,
            quoted_exchange_rate=None,
            low=None,
            likely=None,
            high=None,
            evidence_grade="written_quote",
            supplier=part.supplier if workshop is None else workshop.name,
        )

    def _new(self, entry: QuoteEntry) -> Component:
        """Return what was no component of the build: an allowance, handling, the price of an option."""
        name = self._unused(entry.id if entry.kind == "allowance" else f"{entry.kind}: {entry.id}")
        return Component(
            id=name,
            description=entry.description[:300],
            category=entry.category,
            quantity=Decimal(1),
            unit_cost=self._quoting.money.zero,
            acquired_on=self._quoting.quoted_on,
        )

    def _labor(self, kept: set[str]) -> Iterator[Labor]:
        for index, entry in enumerate(self._priced.entries):
            if entry.kind == "labor":
                labor, tax = self._work[entry.id], self._tax(index)
                yield replace(
                    labor,
                    rate=_for_one(self._net(index) + (tax or 0), labor.hours),
                    market_rate=None,
                    market_rate_on=None,
                    rate_includes="all" if tax or entry.includes == "all" else "overhead_and_profit",
                    hired=True,
                    low=None,
                    likely=None,
                    high=None,
                    evidence_grade="written_quote",
                    component_id=labor.component_id if labor.component_id in kept else None,
                )

    def _net(self, index: int) -> Decimal:
        return self._quoting.money.from_minor_units(self._priced.prices[index] - self._priced.discounts[index])

    def _tax(self, index: int) -> Decimal | None:
        """The tax of a line; None while it is not known."""
        treatment = self._priced.taxes.lines[index].treatment
        if treatment.taxed is None or (treatment.taxed and treatment.rate is None):
            return None
        return self._quoting.money.from_minor_units(self._priced.taxes.amounts[index])

    def _unused(self, name: str) -> str:
        """Return a name that no entry has."""
        name, count = name[:MAX_ID], 1
        unused = name
        while unused in self._ids:
            count += 1
            unused = f"{name[: MAX_ID - 6]} {count}"
        self._ids.add(unused)
        return unused


def _for_one(amount: Decimal, quantity: Decimal) -> Decimal:
    """Return the price of one unit; the whole amount where there is nothing to divide by."""
    return (amount / quantity).quantize(UNIT_PLACES, ROUND_HALF_EVEN).normalize() if quantity else amount
