"""A valued build: its standing entries, each with cost, on-costs and wear, before anything is rolled up."""

from datetime import date
from typing import NamedTuple

from hitchworth.model.build import Build
from hitchworth.model.options import Options
from hitchworth.valuation.cost import entry_costs
from hitchworth.valuation.depreciation_rules import DepreciationRules
from hitchworth.valuation.indirect_costs import Charges, charges
from hitchworth.valuation.money import Money
from hitchworth.valuation.remarks import Remarks
from hitchworth.valuation.valued_line import Valued, valued


class ValuedBuild(NamedTuple):
    """The lines, in the order of the build, and what they were valued with."""

    lines: list[Valued]
    added: Charges
    wear: DepreciationRules


def valued_build(build: Build, as_of: date, options: Options, money: Money, remarks: Remarks) -> ValuedBuild:
    """Value every entry that stands on the date. To be called in the context PRECISE."""
    wear = DepreciationRules(build, as_of, options, remarks)
    costs = entry_costs(build, as_of, money, remarks)
    added = charges(costs, build.indirect_costs, money)
    lines = [
        valued(cost, indirect_costs, wear.of(cost.entry, options.labor_depreciation), money)
        for cost, indirect_costs in zip(costs, added.by_line(), strict=True)
    ]
    return ValuedBuild(lines, added, wear)
