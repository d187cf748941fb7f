"""A valued build: the cost, the indirect costs and the depreciation of each entry, before the roll-up."""

from datetime import date
from decimal import Decimal
from typing import NamedTuple

from msgspec import Struct

from hitchworth.model.build import Build, Component
from hitchworth.model.estimate import EstimateLine, LineKind, Working
from hitchworth.model.options import Options
from hitchworth.money import Money
from hitchworth.valuation.cost import Entry, EntryCost, entry_costs
from hitchworth.valuation.depreciation_rules import Depreciated, DepreciationRules
from hitchworth.valuation.indirect_costs import (
    IndirectCostAmounts,
    IndirectCostParts,
    indirect_cost_amounts,
    note_withheld_markup,
)
from hitchworth.valuation.notes import NoteCollector


class ValuedLine(Struct, frozen=True, gc=False):
    """One entry with its figures, amounts in whole minor units."""

    cost: EntryCost
    indirect_costs: IndirectCostParts
    replacement_cost: int
    depreciated: Depreciated
    depreciation: int


class ValuedBuild(NamedTuple):
    """The lines in the order of the build, and what they were valued with."""

    lines: list[ValuedLine]
    indirect_costs: IndirectCostAmounts
    rules: DepreciationRules


def value_build(build: Build, as_of: date, options: Options, money: Money, notes: NoteCollector) -> ValuedBuild:
    """Value every entry that is in the trailer on the date. Call it in the context PRECISE."""
    rules = DepreciationRules(build, as_of, options, notes)
    costs = entry_costs(build, as_of, money, notes)
    amounts = indirect_cost_amounts(costs, build.indirect_costs, money)
    note_withheld_markup(costs, build.indirect_costs, money, notes)
    lines = [
        _value_line(cost, parts, rules.depreciate(cost.entry, options.labor_depreciation), money)
        for cost, parts in zip(costs, amounts.by_line(), strict=True)
    ]
    return ValuedBuild(lines, amounts, rules)


def _value_line(
    cost: EntryCost, indirect_costs: IndirectCostParts, depreciated: Depreciated, money: Money
) -> ValuedLine:
    """Replacement cost is direct cost plus the line's part of the indirect costs."""
    overhead, profit, sales_tax = indirect_costs
    replacement_cost = cost.direct + overhead + profit + sales_tax
    depreciation = depreciation_amount(replacement_cost, depreciated, money)
    return ValuedLine(cost, indirect_costs, replacement_cost, depreciated, depreciation)


def depreciation_amount(replacement_cost: int, depreciated: Depreciated, money: Money) -> int:
    """Return replacement cost x (1 - percent good), rounded once, in minor units."""
    lost = depreciated.denominator - depreciated.numerator
    return money.divide(replacement_cost * lost, depreciated.denominator) if lost else 0


def estimate_line(
    line: ValuedLine, variance_share: Decimal, money: Money, workings: tuple[Working, ...]
) -> EstimateLine:
    """Return the line of the estimate, its amounts with the decimals of the currency."""
    cost, depreciated, unit = line.cost, line.depreciated, money.unit
    entry = cost.entry
    kind, description = describe(entry)
    return EstimateLine(
        id=entry.id,
        kind=kind,
        description=description,
        category=entry.category,
        historical_cost=cost.historical * unit,
        direct_cost=cost.direct * unit,
        replacement_cost=line.replacement_cost * unit,
        includes=cost.includes,
        untaxed_cost=_untaxed_cost(line) * unit,
        age_years=depreciated.age_years,
        schedule=depreciated.rule.name,
        percent_good=depreciated.percent_good,
        depreciation=line.depreciation * unit,
        actual_cash_value=(line.replacement_cost - line.depreciation) * unit,
        variance_share=variance_share,
        workings=workings,
    )


def _untaxed_cost(line: ValuedLine) -> int:
    """The overhead and the profit of a line whose direct cost carries sales tax; all of another line."""
    overhead, profit, sales_tax = line.indirect_costs
    return overhead + profit if line.cost.carries_tax or sales_tax else line.replacement_cost


def describe(entry: Entry) -> tuple[LineKind, str]:
    """Return the kind of an entry and its description."""
    return ("component", entry.description) if isinstance(entry, Component) else ("labor", entry.task)
