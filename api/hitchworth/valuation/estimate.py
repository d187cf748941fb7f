"""The estimate: every entry of a build valued on one date, and what they add up to."""

from collections.abc import Iterator, Sequence
from datetime import date
from decimal import localcontext
from itertools import repeat

from hitchworth.model.build import Build, MarketValueOrigin
from hitchworth.model.entry import Component
from hitchworth.model.estimate import CustomSchedule, Estimate
from hitchworth.model.options import Options
from hitchworth.money import PRECISE, Money
from hitchworth.reference.labor_depreciation_rules import labor_depreciation_rule_of
from hitchworth.valuation.band import SHARES, band, variance_shares
from hitchworth.valuation.depreciation_rules import was_bought_used
from hitchworth.valuation.indirect_costs import indirect_cost_terms
from hitchworth.valuation.notes import NoteCollector
from hitchworth.valuation.percent_good import Curves
from hitchworth.valuation.plain_trailer import plain_trailer
from hitchworth.valuation.rollup import (
    categories,
    cost_by_evidence,
    labor_summary,
    totals,
    values_by_labor,
    whole_trailer_value,
)
from hitchworth.valuation.spread import pool_guesses, shares_of_lines, spread
from hitchworth.valuation.valued_build import ValuedLine, describe, estimate_line, value_build
from hitchworth.valuation.workings import workings


def estimate(
    build: Build,
    as_of: date,
    options: Options,
    market_value_from: MarketValueOrigin = "entered",
    curves: Curves | None = None,
) -> Estimate:
    """Value a validated build on a date.

    Each line has its historical cost, its direct cost on the date, and its part of overhead, profit and sales tax.
    Direct cost and these parts are its replacement cost new. Depreciation is replacement cost x (1 - percent good),
    rounded once; the rest is actual cash value. So every table adds up on paper. Raises ValueError for input that
    `validation` would have refused: an unknown currency, or a schedule that lacks a term that its method needs.
    `curves`: those of the request, where it values the build on several days.
    """
    with localcontext(PRECISE):
        money = Money(build.currency, options.rounding)
        notes = NoteCollector()
        lines, amounts, rules = value_build(build, as_of, options, money, notes, curves=curves)
        if not lines:
            notes.add("nothing_to_value")
        spreads = [spread(line.cost.entry, line.replacement_cost, money, notes) for line in lines]
        ranges, places = pool_guesses([line.cost.entry for line in lines], spreads)
        shares = shares_of_lines(variance_shares(ranges, options), ranges, places, spreads)
        if build.market_value is not None:
            notes.add(f"market_value_{market_value_from}", amount=f"{build.market_value:f}")
        by_rule, both_ends = values_by_labor(lines, rules, build.market_value, money)
        worked = workings(lines, amounts, money, options.day_count) if options.workings else repeat((), len(lines))
        return Estimate(
            as_of=as_of,
            currency=build.currency,
            lines=tuple(
                [
                    estimate_line(line, SHARES[share], money, formulas, tax_labor=bool(build.indirect_costs.tax_labor))
                    for line, share, formulas in zip(lines, shares, worked, strict=True)
                ]
            ),
            categories=categories(lines, money),
            totals=totals(lines, amounts, money),
            indirect_costs=indirect_cost_terms(amounts, money),
            value_by_labor_rule=by_rule,
            value_range=both_ends,
            plain_trailer=plain_trailer(build, lines, rules, money),
            labor=labor_summary(lines, money),
            labor_depreciation_rule=labor_depreciation_rule_of(build.jurisdiction),
            band=band(ranges, sum(line.replacement_cost for line in lines), options, money, tuple(_not_priced(lines))),
            cost_by_evidence=cost_by_evidence(lines, money),
            custom_schedules=tuple(_custom_schedules(lines)),
            whole_trailer_value=whole_trailer_value(lines, rules, options, money),
            notes=notes.collected(),
        )


def _not_priced(lines: Sequence[ValuedLine]) -> Iterator[str]:
    """Yield the lines whose price new or rate is not known: used parts without a quote, own hours without any rate."""
    for line in lines:
        entry = line.cost.entry
        if isinstance(entry, Component):
            if line.cost.quote is None and was_bought_used(entry):
                yield entry.id
        elif not (entry.hired or entry.rate or line.cost.market_rate):
            yield entry.id


def _custom_schedules(lines: Sequence[ValuedLine]) -> Iterator[CustomSchedule]:
    for line in lines:
        rule = line.depreciated.rule
        if rule.written_out:
            kind, _ = describe(line.cost.entry)
            yield CustomSchedule(line=line.cost.entry.id, kind=kind, schedule=rule.schedule)
