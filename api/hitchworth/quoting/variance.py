"""A quote against what was built, by the comparison of two estimates: what differs, and for which cause.

Both sides are at direct cost on one day, without depreciation, so that nothing but scope, quantity, hours and price can
differ. What was bought counts as paid, tax and freight included; hours of the workshop at the rates of the quote.
"""

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from datetime import date
from decimal import Decimal, localcontext
from typing import get_args

from msgspec.structs import replace

from hitchworth.model.build import Build
from hitchworth.model.change_order import ChangeOrder
from hitchworth.model.entry import Component, Labor
from hitchworth.model.estimate_comparison import DEFAULT_EFFECTS, Effect, LineChange
from hitchworth.model.indirect_costs import IndirectCosts
from hitchworth.model.options import Options
from hitchworth.model.pricing import QuotePricing
from hitchworth.model.quote_variance import (
    CategoryVariance,
    CauseAmount,
    HoursLearned,
    QuoteVariance,
    VarianceCause,
    VarianceLine,
)
from hitchworth.model.schedule import Schedule
from hitchworth.money import PRECISE, Money, round_ratio
from hitchworth.quoting.acceptance import for_one
from hitchworth.quoting.change_orders import accepted_lines
from hitchworth.quoting.contract import ContractLine
from hitchworth.quoting.entries import QuoteEntry, quote_entries
from hitchworth.valuation.cost import EntryCost, Pricing
from hitchworth.valuation.estimate_comparison import EstimateInput, compare_estimates
from hitchworth.valuation.notes import NoteCollector
from hitchworth.valuation.trending import PriceIndexes

CAUSES: tuple[VarianceCause, ...] = get_args(VarianceCause)
UNDEPRECIATED = Schedule(method="none")
RATIO_PLACES = 4
TASKS_OF_RANGE = 2
"""Fewer tasks tell no range."""


def quote_variance(
    build: Build,
    pricing: QuotePricing,
    changes: Sequence[ChangeOrder],
    as_of: date,
    options: Options,
    *,
    built: Build,
    as_quoted: Collection[str] = (),
) -> QuoteVariance:
    """Return the variance of a validated quote, with its accepted changes, against a build in the same currency.

    as_quoted: ids of entries for which nothing but the quote is known yet; they count as they were quoted.
    """
    with localcontext(PRECISE):
        money, notes = Money(build.currency, options.rounding), NoteCollector()
        day = pricing.quoted_on or as_of
        quoted_lines = accepted_lines(build, pricing, changes, as_of, options)
        quoted = replace(_plain(build), **_quoted_entries(quoted_lines, day, money))
        known = _without(built, as_quoted)
        as_built = replace(_plain(build), **_built_entries(known, pricing, day, money, notes))
        as_built = _joined(as_built, quoted, as_quoted)
        compared = compare_estimates(EstimateInput(quoted, day), EstimateInput(as_built, day), DEFAULT_EFFECTS, options)
        lines = tuple(map(_line, compared.lines))
        return QuoteVariance(
            currency=build.currency,
            quoted=compared.before.totals.direct_cost,
            built=compared.after.totals.direct_cost,
            variance=compared.replacement_cost,
            causes=tuple(_causes(cause for line in lines for cause in line.causes)),
            categories=tuple(_categories(quoted, as_built, lines, money)),
            lines=lines,
            hours=tuple(_hours(quoted.labor, [entry for entry in as_built.labor if entry.id not in as_quoted])),
            still_quoted=tuple(sorted(as_quoted)),
            notes=(*notes.collected(), *compared.notes),
        )


def _without(built: Build, as_quoted: Collection[str]) -> Build:
    components = tuple(part for part in built.components if part.id not in as_quoted)
    return replace(
        built, components=components, labor=tuple(entry for entry in built.labor if entry.id not in as_quoted)
    )


def _joined(built: Build, quoted: Build, as_quoted: Collection[str]) -> Build:
    """Return what was built, and what is still as quoted."""
    components = (part for part in quoted.components if part.id in as_quoted)
    labor = (entry for entry in quoted.labor if entry.id in as_quoted)
    return replace(built, components=(*built.components, *components), labor=(*built.labor, *labor))


def _plain(build: Build) -> Build:
    return Build(name=build.name, currency=build.currency)


def _quoted_entries(lines: Iterable[ContractLine], day: date, money: Money) -> Mapping[str, object]:
    """Return the lines of a contract as entries at their direct cost."""
    components, labor = [], []
    for line in lines:
        entry, direct = line.entry, money.from_minor_units(line.entry.direct)
        if entry.kind == "handling":  # what it costs is not among what was built
            continue
        if entry.kind == "labor":
            hours = entry.quantity or Decimal(0)
            labor.append(_work(entry.id, entry.description, entry.category, hours, cost=direct, day=day))
        else:
            quantity = Decimal(1) if entry.priced_quantity is None else entry.priced_quantity
            freight = money.from_minor_units(entry.freight)
            components.append(_plain_part(entry, quantity, direct, freight, day))
    return {"components": tuple(components), "labor": tuple(labor)}


def _built_entries(
    built: Build, pricing: QuotePricing, day: date, money: Money, notes: NoteCollector
) -> Mapping[str, object]:
    """Return what was bought as it was paid, and the hours: hired ones as paid, others at the rates of the quote."""
    supplied = {each.id for each in pricing.customer_supplies}
    allowances = {each.id for each in pricing.allowances}
    costs = Pricing(built, day, money, PriceIndexes(built.price_indexes, day, notes), notes)
    components = tuple(
        _as_paid(part, costs.price_component(replace(part, price_index=None)), day, money, whole=part.id in allowances)
        for part in built.components
        if part.removed_on is None and part.id not in supplied
    )
    hours = tuple(entry for entry in built.labor if not entry.hired)
    own = replace(built, components=(), labor=hours, indirect_costs=IndirectCosts())
    at_rates = {entry.id: entry.direct for entry in quote_entries(own, _rates(pricing), day, money, notes)}
    labor = tuple(
        _work(
            entry.id,
            entry.task,
            entry.category,
            entry.hours,
            cost=money.from_minor_units(at_rates.get(entry.id, money.to_minor_units(entry.hours * entry.rate))),
            day=day,
        )
        for entry in built.labor
    )
    return {"components": components, "labor": labor}


def _rates(pricing: QuotePricing) -> QuotePricing:
    return QuotePricing(shop_rates=pricing.shop_rates)


def _as_paid(part: Component, cost: EntryCost, day: date, money: Money, *, whole: bool) -> Component:
    """Return a component at what was paid for it, tax included, in the currency of the build.

    `whole`: it was quoted as a sum, an allowance, so it is one thing, however many there are of it.
    """
    paid = money.from_minor_units(cost.historical)
    # The quantity is compared first, at the quoted price, so the freight that was paid is price in any case.
    return _plain_part(part, Decimal(1) if whole else part.quantity, paid, Decimal(0), day)


def _plain_part(
    part: QuoteEntry | Component, quantity: Decimal, cost: Decimal, freight: Decimal, day: date
) -> Component:
    return Component(
        id=part.id,
        description=part.description,
        category=part.category,
        quantity=quantity,
        unit_cost=for_one(cost - freight, quantity),
        freight=freight,
        acquired_on=day,
        price_includes="all",
        schedule=UNDEPRECIATED,
    )


def _work(name: str, task: str, category: str, hours: Decimal, *, cost: Decimal, day: date) -> Labor:
    return Labor(
        id=name,
        task=task,
        category=category,
        hours=hours,
        rate=for_one(cost, hours),
        performed_on=day,
        rate_includes="all",
        hired=True,
        schedule=UNDEPRECIATED,
    )


def _line(change: LineChange) -> VarianceLine:
    causes = (
        CauseAmount(cause=_cause(change, each.effect), amount=each.replacement_cost)
        for each in change.effects
        if each.replacement_cost
    )
    return VarianceLine(
        id=change.id,
        kind=change.kind,
        description=change.description,
        category=change.category,
        variance=change.replacement_cost,
        causes=tuple(_causes(causes)),
    )


def _cause(change: LineChange, effect: Effect) -> VarianceCause:
    if effect in {"added", "removed"}:
        return "scope"
    if effect == "quantity":
        return "quantity" if change.kind == "component" else "labor_hours"
    return "price"


def _causes(causes: Iterable[CauseAmount]) -> Iterator[CauseAmount]:
    """Yield what each cause comes to, in the order of the causes."""
    sums: dict[VarianceCause, Decimal] = {}
    for each in causes:
        sums[each.cause] = sums.get(each.cause, Decimal(0)) + each.amount
    return (CauseAmount(cause=cause, amount=sums[cause]) for cause in CAUSES if sums.get(cause))


def _categories(quoted: Build, built: Build, lines: Sequence[VarianceLine], money: Money) -> Iterator[CategoryVariance]:
    before, after = _by_category(quoted, money), _by_category(built, money)
    for category in {**before, **after}:
        old, new = before.get(category, money.zero), after.get(category, money.zero)
        causes = (cause for line in lines if line.category == category for cause in line.causes)
        yield CategoryVariance(
            category=category, quoted=old, built=new, variance=new - old, causes=tuple(_causes(causes))
        )


def _by_category(build: Build, money: Money) -> dict[str, Decimal]:
    sums: dict[str, Decimal] = {}
    costs = [(part.category, part.quantity * part.unit_cost + part.freight) for part in build.components]
    costs += [(entry.category, entry.hours * entry.rate) for entry in build.labor]
    for category, cost in costs:
        rounded = money.from_minor_units(money.to_minor_units(cost))
        sums[category] = sums.get(category, money.zero) + rounded
    return sums


def _hours(quoted: Sequence[Labor], built: Sequence[Labor]) -> Iterator[HoursLearned]:
    """Yield what the next quote should know, by kind of work in alphabetical order."""
    planned = {entry.id: entry for entry in quoted}
    for category in sorted({entry.category for entry in (*quoted, *built)}):
        done = [entry for entry in built if entry.category == category]
        pairs = [(planned[entry.id].hours, entry.hours) for entry in done if entry.id in planned]
        compared = [(old, new) for old, new in pairs if old]
        ratios = sorted(new / old for old, new in compared)
        old_sum, new_sum = sum((old for old, _ in compared), Decimal(0)), sum((new for _, new in compared), Decimal(0))
        has_range = len(ratios) >= TASKS_OF_RANGE
        yield HoursLearned(
            category=category,
            quoted_hours=old_sum,
            built_hours=new_sum,
            unquoted_hours=sum((entry.hours for entry in done), Decimal(0)) - new_sum,
            tasks=len(compared),
            likely=_ratio(new_sum / old_sum) if compared else None,
            low=_ratio(ratios[0]) if has_range else None,
            high=_ratio(ratios[-1]) if has_range else None,
        )


def _ratio(ratio: Decimal) -> Decimal:
    return round_ratio(*ratio.as_integer_ratio(), RATIO_PLACES)
