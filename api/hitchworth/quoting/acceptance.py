"""From quote to build: what was quoted becomes what the trailer cost its owner, with the written quote as evidence."""

from collections.abc import Iterable, Iterator, Sequence
from datetime import date
from decimal import ROUND_HALF_EVEN, Decimal, localcontext
from typing import TypeVar

from msgspec.structs import replace

from hitchworth.model.build import Build
from hitchworth.model.change_order import ChangeOrder
from hitchworth.model.entry import Component, Labor
from hitchworth.model.indirect_costs import IndirectCosts
from hitchworth.model.options import Options
from hitchworth.model.pricing import QuotePricing
from hitchworth.money import PRECISE, Money
from hitchworth.quoting.change_orders import accepted_lines, changed_build
from hitchworth.quoting.contract import ContractLine
from hitchworth.quoting.entries import QuoteEntry
from hitchworth.quoting.tax import is_open

UNIT_PLACES = Decimal(1).scaleb(-12)
"""A price for one unit, so exact that the quantity brings back the price of the line to the cent."""
Entry = TypeVar("Entry", Component, Labor)
MAX_ID = 80
"""Characters of an identifier."""


def accepted_build(
    build: Build, pricing: QuotePricing, changes: Sequence[ChangeOrder], as_of: date, options: Options
) -> Build:
    """Return the build as its owner pays for it: each line at its price less discount, with its tax.

    Each line has the evidence grade written_quote; a receipt takes its place line by line later. Overhead and profit
    are in the prices, so the build has no indirect costs of its own. What the customer supplies stays as it was
    entered. Accepted change orders count. Left out are alternatives that were not chosen, the contingency, and amounts
    that were agreed without a line. Raises QuoteFaultsError.
    """
    with localcontext(PRECISE):
        lines = accepted_lines(build, pricing, changes, as_of, options)
        money = Money(build.currency, options.rounding)
        return _Acceptance(changed_build(build, changes), pricing, lines, pricing.quoted_on or as_of, money).build()


def with_change_order(kept: Build, before: Build, after: Build) -> Build:
    """Return a kept build as a change order of its quote alters it.

    before, after: the accepted build without and with the change order. An entry that still has the written quote as
    its evidence is replaced, or removed where it was dropped; one with a receipt or with hours worked stays as it is.
    What is new is added.
    """
    components = _with_changes(kept.components, before.components, after.components)
    ids = {part.id for part in components}
    labor = (
        entry if entry.component_id in ids else replace(entry, component_id=None)
        for entry in _with_changes(kept.labor, before.labor, after.labor)
    )
    return replace(kept, components=components, labor=tuple(labor))


def still_quoted(build: Build) -> frozenset[str]:
    """Return the ids of the entries whose evidence is still the written quote."""
    entries: tuple[Component | Labor, ...] = (*build.components, *build.labor)
    return frozenset(entry.id for entry in entries if entry.evidence_grade == "written_quote")


def _with_changes(kept: Sequence[Entry], before: Sequence[Entry], after: Sequence[Entry]) -> tuple[Entry, ...]:
    old: dict[str, Entry] = {entry.id: entry for entry in before}
    new: dict[str, Entry] = {entry.id: entry for entry in after}
    result: dict[str, Entry] = {entry.id: entry for entry in kept}
    for name in {**old, **new}:
        is_quoted = name not in result or result[name].evidence_grade == "written_quote"
        if old.get(name) == new.get(name) or not is_quoted:
            continue
        if name not in new:
            result.pop(name, None)
        elif name in result or name not in old:  # what was taken out of the build by hand stays out
            result[name] = new[name]
    return tuple(result.values())


def with_own_work(built: Build, quoted: Build) -> Build:
    """Return the build of an accepted quote as the workshop sees it.

    For its owner all work is hired, from the workshop. What the quote has as the workshop's own is its own again, at
    its own rate; the hours stay.
    """
    own = {entry.id: entry for entry in quoted.labor if not entry.hired}
    labor = (
        replace(own[entry.id], hours=entry.hours, evidence_grade=entry.evidence_grade) if entry.id in own else entry
        for entry in built.labor
    )
    return replace(built, labor=tuple(labor))


class _Acceptance:
    """Turns the lines of a contract into entries of a build."""

    def __init__(
        self, build: Build, pricing: QuotePricing, lines: Sequence[ContractLine], quoted_on: date, money: Money
    ) -> None:
        self._build, self._pricing, self._lines = build, pricing, lines
        self._quoted_on, self._money = quoted_on, money
        self._parts = {part.id: part for part in build.components}
        self._work = {entry.id: entry for entry in build.labor}
        self._ids = {*self._parts, *self._work}

    def build(self) -> Build:
        components = (*self._supplied(), *self._components())
        kept = {part.id for part in components}
        return replace(
            self._build, components=components, labor=tuple(self._labor(kept)), indirect_costs=IndirectCosts()
        )

    def _supplied(self) -> Iterator[Component]:
        """What the customer brings, with what handling costs as its freight."""
        supplied = {each.id for each in self._pricing.customer_supplies}
        handling = {
            line.entry.id: self._net(line) + (self._tax(line) or 0)
            for line in self._lines
            if line.entry.kind == "handling"
        }
        bought = {line.entry.id for line in self._lines if line.entry.kind == "component"}
        for part in self._build.components:
            if part.id in supplied - bought:
                charge = for_one(handling.get(part.id, Decimal(0)), part.exchange_rate or Decimal(1))
                yield replace(part, freight=part.freight + charge)

    def _components(self) -> Iterable[Component]:
        for line in self._lines:
            if line.entry.kind not in {"labor", "handling"}:
                yield self._component(line.entry, self._net(line), self._tax(line))

    def _component(self, entry: QuoteEntry, net: Decimal, tax: Decimal | None) -> Component:
        part = self._parts[entry.id] if entry.kind == "component" else self._new(entry)
        workshop = self._pricing.workshop
        return replace(
            part,
            unit_cost=for_one(net, part.quantity),
            currency=None,
            exchange_rate=None,
            exchange_rate_source=None,
            tax=tax,
            freight=self._money.zero,
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
        """Return what was no component of the build: an allowance, or the price of an option."""
        name = self._unused(entry.id)
        return Component(
            id=name,
            description=entry.description[:300],
            category=entry.category,
            quantity=Decimal(1),
            unit_cost=self._money.zero,
            acquired_on=self._quoted_on,
        )

    def _labor(self, kept: set[str]) -> Iterator[Labor]:
        for line in self._lines:
            entry = line.entry
            if entry.kind == "labor":
                labor, tax = self._work[entry.id], self._tax(line)
                yield replace(
                    labor,
                    rate=for_one(self._net(line) + (tax or 0), labor.hours),
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

    def _net(self, line: ContractLine) -> Decimal:
        return self._money.from_minor_units(line.net)

    def _tax(self, line: ContractLine) -> Decimal | None:
        """The tax of a line; None while it is not known."""
        return None if is_open(line.treatment) else self._money.from_minor_units(line.tax)

    def _unused(self, name: str) -> str:
        """Return a name that no entry has."""
        name, count = name[:MAX_ID], 1
        unused = name
        while unused in self._ids:
            count += 1
            unused = f"{name[: MAX_ID - 6]} {count}"
        self._ids.add(unused)
        return unused


def for_one(amount: Decimal, quantity: Decimal) -> Decimal:
    """Return the price of one unit, with the places of the amount where they are enough.

    The whole amount where there is nothing to divide by.
    """
    if not quantity:
        return amount
    price = (amount / quantity).quantize(UNIT_PLACES, ROUND_HALF_EVEN)
    in_places = price.quantize(amount)
    return in_places if in_places == price else price.normalize()
