"""The estimate: every entry of a build valued on one date, and what they add up to."""

from collections.abc import Iterator, Sequence
from datetime import date
from decimal import localcontext
from itertools import repeat

from hitchworth.model.build import Build
from hitchworth.model.estimate import CustomSchedule, Estimate
from hitchworth.model.options import Options
from hitchworth.reference.labor_depreciation_rules import labor_depreciation_rule_of
from hitchworth.valuation.band import band, moments_of, variance_shares
from hitchworth.valuation.indirect_costs import indirect_cost_terms
from hitchworth.valuation.money import PRECISE, Money
from hitchworth.valuation.remarks import Remarks
from hitchworth.valuation.rollup import categories, documentation, labor_summary, totals, value_by_labor_rule
from hitchworth.valuation.spread import spread
from hitchworth.valuation.valued_build import valued_build
from hitchworth.valuation.valued_line import Valued, described, line
from hitchworth.valuation.whole_trailer import whole_trailer_value
from hitchworth.valuation.workings import workings


def estimate(build: Build, as_of: date, options: Options) -> Estimate:
    """Value a checked build on a date.

    Line by line: historic cost, direct cost on the date, the line's part of overhead, profit and sales tax; together
    they are its replacement cost new. Depreciation is replacement cost x (1 - percent good), rounded once; actual
    cash value is what is left. So every table adds up on paper. Raises ValueError for what `checks` would have
    refused: a currency that is none, a schedule that lacks what its method needs.
    """
    with localcontext(PRECISE):
        money = Money(build.currency, options.rounding)
        remarks = Remarks()
        lines, added, wear = valued_build(build, as_of, options, money, remarks)
        spreads = [spread(one.cost.entry, one.replacement_cost, money, remarks) for one in lines]
        moments = moments_of(spreads, options)
        shares = variance_shares(moments, options.correlation)
        worked = workings(lines, added, money, options.day_count) if options.workings else repeat(())
        return Estimate(
            as_of=as_of,
            currency=build.currency,
            lines=tuple(
                [line(one, share, money, formulas) for one, share, formulas in zip(lines, shares, worked, strict=False)]
            ),
            categories=categories(lines, money),
            totals=totals(lines, added, money),
            indirect_costs=indirect_cost_terms(added, money),
            value_by_labor_rule=value_by_labor_rule(lines, wear, money),
            labor=labor_summary(lines, money),
            labor_depreciation_rule=labor_depreciation_rule_of(build.jurisdiction),
            band=band(spreads, moments, sum(one.replacement_cost for one in lines), options, money),
            documentation=documentation(lines, money),
            custom_schedules=tuple(_schedules_given(lines)),
            whole_trailer_value=whole_trailer_value(lines, wear, options, money),
            notes=remarks.notes(),
        )


def _schedules_given(lines: Sequence[Valued]) -> Iterator[CustomSchedule]:
    for one in lines:
        kind, _ = described(one.cost.entry)
        if one.worn.rule.given:
            yield CustomSchedule(line=one.cost.entry.id, kind=kind, schedule=one.worn.rule.schedule)
