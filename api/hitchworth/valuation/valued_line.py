"""A valued entry: its cost, its wear, and the line of the estimate that they make."""

from decimal import Decimal

from msgspec import Struct

from hitchworth.model.build import Component
from hitchworth.model.estimate import EstimateLine, LineKind, Working
from hitchworth.valuation.cost import Entry, EntryCost
from hitchworth.valuation.depreciation_rules import Depreciated
from hitchworth.valuation.indirect_costs import IndirectCostParts
from hitchworth.valuation.money import Money


class Valued(Struct, frozen=True, gc=False):
    """One entry with what was found about it, amounts in whole minor units."""

    cost: EntryCost
    indirect_costs: IndirectCostParts
    replacement_cost: int
    worn: Depreciated
    depreciation: int


def depreciation(replacement_cost: int, worn: Depreciated, money: Money) -> int:
    """Replacement cost x (1 - percent good), rounded once."""
    depreciated = worn.whole - worn.left
    return money.divide(replacement_cost * depreciated, worn.whole) if depreciated else 0


def valued(cost: EntryCost, indirect_costs: IndirectCostParts, worn: Depreciated, money: Money) -> Valued:
    """Replacement cost is direct cost with the line's part of the on-costs; depreciate it."""
    overhead, profit, sales_tax = indirect_costs
    replacement_cost = cost.direct + overhead + profit + sales_tax
    return Valued(cost, indirect_costs, replacement_cost, worn, depreciation(replacement_cost, worn, money))


def line(one: Valued, variance_share: Decimal, money: Money, workings: tuple[Working, ...]) -> EstimateLine:
    """The line of the estimate: amounts with the decimals of the currency; what is not depreciated is the value."""
    cost, worn, unit = one.cost, one.worn, money.unit
    entry = cost.entry
    kind, description = described(entry)
    return EstimateLine(
        id=entry.id,
        kind=kind,
        description=description,
        category=entry.category,
        historic_cost=cost.historic * unit,
        direct_cost=cost.direct * unit,
        replacement_cost=one.replacement_cost * unit,
        age_years=worn.age_years,
        schedule=worn.rule.name,
        percent_good=worn.percent_good,
        depreciation=one.depreciation * unit,
        actual_cash_value=(one.replacement_cost - one.depreciation) * unit,
        variance_share=variance_share,
        workings=workings,
    )


def described(entry: Entry) -> tuple[LineKind, str]:
    return ("component", entry.description) if isinstance(entry, Component) else ("labor", entry.task)
