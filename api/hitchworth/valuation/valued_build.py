"""A valued build: the cost, the indirect costs and the depreciation of each entry, before the roll-up."""

from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import NamedTuple

from msgspec import Struct
from msgspec.structs import replace

from hitchworth.model.build import Build, Obsolescence
from hitchworth.model.entry import Component
from hitchworth.model.estimate import EstimateLine, LineKind
from hitchworth.model.options import Options
from hitchworth.model.workings import Working
from hitchworth.money import Money
from hitchworth.valuation.cost import Entry, EntryCost, entry_costs
from hitchworth.valuation.depreciation_rules import Depreciated, DepreciationRules
from hitchworth.valuation.indirect_costs import (
    IndirectCostAmounts,
    IndirectCostParts,
    indirect_cost_amounts,
    note_untaxed_labor,
    note_withheld_markup,
)
from hitchworth.valuation.notes import NoteCollector
from hitchworth.valuation.percent_good import Curves


class ValuedLine(Struct, frozen=True, gc=False):
    """One entry with its figures, amounts in whole minor units."""

    cost: EntryCost
    indirect_costs: IndirectCostParts
    replacement_cost: int
    depreciated: Depreciated
    depreciation: int
    """Wear and obsolescence."""
    functional: int = 0
    economic: int = 0
    terms: tuple[Obsolescence, ...] = ()
    """The obsolescence of the build."""

    @property
    def wear(self) -> int:
        """Physical depreciation, with the cost to cure."""
        return self.depreciation - self.functional - self.economic


class ValuedBuild(NamedTuple):
    """The lines in the order of the build, and what they were valued with."""

    lines: list[ValuedLine]
    indirect_costs: IndirectCostAmounts
    rules: DepreciationRules


class PricedBuild(NamedTuple):
    """What every entry that is in the trailer on a day costs: the same from one day of change to the next."""

    costs: list[EntryCost]
    indirect_costs: IndirectCostAmounts


def price_build(build: Build, as_of: date, money: Money, notes: NoteCollector) -> PricedBuild:
    """Price every entry that is in the trailer on the date. Call it in the context PRECISE."""
    costs = entry_costs(build, as_of, money, notes)
    amounts = indirect_cost_amounts(costs, build.indirect_costs, money)
    note_withheld_markup(costs, build.indirect_costs, money, notes)
    note_untaxed_labor(costs, build.indirect_costs, build.jurisdiction, notes)
    return PricedBuild(costs, amounts)


def value_build(
    build: Build,
    as_of: date,
    options: Options,
    money: Money,
    notes: NoteCollector,
    *,
    curves: Curves | None = None,
    prices: PricedBuild | None = None,
) -> ValuedBuild:
    """Value every entry that is in the trailer on the date. Call it in the context PRECISE.

    `curves`: those of the request, where it values the build on several days. `prices`: those of the date, where they
    are known; then there are no notes on them.
    """
    rules = DepreciationRules(build, as_of, options, notes, curves)
    costs, amounts = prices or price_build(build, as_of, money, notes)
    lines = [
        _value_line(cost, parts, rules.depreciate(cost.entry, options.labor_depreciation), money)
        for cost, parts in zip(costs, amounts.by_line(), strict=True)
    ]
    if build.obsolescence:
        lines = [with_obsolescence(line, build.obsolescence, money) for line in lines]
    return ValuedBuild(lines, amounts, rules)


def _value_line(
    cost: EntryCost, indirect_costs: IndirectCostParts, depreciated: Depreciated, money: Money
) -> ValuedLine:
    """Replacement cost is direct cost plus the line's part of the indirect costs."""
    overhead, profit, sales_tax = indirect_costs
    replacement_cost = cost.direct + overhead + profit + sales_tax
    cure = cost_to_cure(cost.entry, money)
    wear = depreciation_amount(replacement_cost, depreciated, money, cure)
    return ValuedLine(cost, indirect_costs, replacement_cost, depreciated, wear)


def with_obsolescence(line: ValuedLine, terms: tuple[Obsolescence, ...], money: Money) -> ValuedLine:
    """Return the line with what obsolescence takes of it, functional first.

    Each share is of what wear and the shares before it have left: the order of the breakdown method of the cost
    approach (a glossary of state-certified appraisers: physical, functional, external).
    """
    after_wear = line.replacement_cost - line.depreciation
    functional, economic, left = obsolescence_of(line.cost.entry, terms, after_wear, money)
    depreciation = line.replacement_cost - left
    return replace(line, depreciation=depreciation, functional=functional, economic=economic, terms=terms)


def obsolescence_of(entry: Entry, terms: tuple[Obsolescence, ...], value: int, money: Money) -> tuple[int, int, int]:
    """Return what functional and what economic obsolescence take of a value after wear, and what they leave."""
    taken = {"functional": 0, "economic": 0}
    left = value
    for each in sorted(terms, key=lambda each: (each.kind != "functional", -each.share, each.reason)):
        if each.category is None or each.category == entry.category:
            part = money.multiply(left, Fraction(each.share))
            taken[each.kind] += part
            left -= part
    return taken["functional"], taken["economic"], left


def cost_to_cure(entry: Entry, money: Money) -> int:
    """Return what it costs to put the entry right, in minor units; labor has no such cost."""
    cost = entry.cost_to_cure if isinstance(entry, Component) else None
    return 0 if cost is None else money.to_minor_units(cost)


def depreciation_amount(replacement_cost: int, depreciated: Depreciated, money: Money, cure: int = 0) -> int:
    """Return replacement cost x (1 - percent good), rounded once, in minor units.

    What is put right costs `cure`, is depreciated in full, and the rest by percent good: the modified age-life method,
    (cost new - cost to cure) x age / life + cost to cure.
    """
    lost = depreciated.denominator - depreciated.numerator
    if not cure:
        return money.divide(replacement_cost * lost, depreciated.denominator) if lost else 0
    cure = min(cure, replacement_cost)
    return cure + (money.divide((replacement_cost - cure) * lost, depreciated.denominator) if lost else 0)


def estimate_line(
    line: ValuedLine, variance_share: Decimal, money: Money, workings: tuple[Working, ...], *, tax_labor: bool
) -> EstimateLine:
    """Return the line of the estimate, its amounts with the decimals of the currency.

    `tax_labor`: a shop's work bears sales tax where the trailer would be built again.
    """
    cost, depreciated, unit = line.cost, line.depreciated, money.unit
    entry = cost.entry
    kind, description = describe(entry)
    historical_cost, untaxed = cost.historical * unit, _untaxed_cost(line, tax_labor=tax_labor)
    return EstimateLine(
        id=entry.id,
        kind=kind,
        description=description,
        category=entry.category,
        historical_cost=historical_cost,
        direct_cost=historical_cost if cost.direct == cost.historical else cost.direct * unit,
        replacement_cost=line.replacement_cost * unit,
        includes=cost.includes,
        untaxed_cost=untaxed * unit if untaxed else money.zero,
        age_years=depreciated.age_years,
        schedule=depreciated.rule.name,
        percent_good=depreciated.percent_good,
        depreciation=line.depreciation * unit,
        actual_cash_value=(line.replacement_cost - line.depreciation) * unit,
        variance_share=variance_share,
        obsolescence=(line.functional + line.economic) * unit if line.terms else money.zero,
        workings=workings,
    )


def _untaxed_cost(line: ValuedLine, *, tax_labor: bool) -> int:
    """What bears sales tax when it is replaced and does not carry it: material, and labor where that is taxed.

    Overhead and profit bear none, as sales tax on the replacement cost is on the direct cost alone.
    """
    *_, sales_tax = line.indirect_costs
    bears_tax = isinstance(line.cost.entry, Component) or tax_labor
    return line.cost.direct if bears_tax and not (line.cost.carries_tax or sales_tax) else 0


def describe(entry: Entry) -> tuple[LineKind, str]:
    """Return the kind of an entry and its description."""
    return ("component", entry.description) if isinstance(entry, Component) else ("labor", entry.task)
