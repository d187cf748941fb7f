"""The roll-up: valued lines added up as a whole, by category, by evidence, by labor rule, and as one trailer."""

from collections.abc import Sequence
from datetime import date
from decimal import Decimal

from hitchworth.model.entry import Component, EvidenceGrade, Labor
from hitchworth.model.estimate import (
    CategoryTotal,
    CostByEvidence,
    LaborSummary,
    LaborTotal,
    Totals,
    ValueByLaborRule,
    ValueEnd,
    ValueFinding,
    ValueRange,
    WholeTrailerValue,
)
from hitchworth.model.options import LaborDepreciation, Options
from hitchworth.money import Money
from hitchworth.reference.schedules import schedule_named
from hitchworth.valuation.depreciation_rules import DepreciationRules
from hitchworth.valuation.indirect_costs import IndirectCostAmounts
from hitchworth.valuation.spread import grade_of_cost
from hitchworth.valuation.valued_build import ValuedLine, depreciation_amount, obsolescence_of

NO_HOURS = Decimal(0)


def totals(lines: Sequence[ValuedLine], amounts: IndirectCostAmounts, money: Money) -> Totals:
    """Return the sums of the rounded lines."""
    replacement_cost = sum(line.replacement_cost for line in lines)
    depreciation = sum(line.depreciation for line in lines)
    return Totals(
        historical_cost=money.from_minor_units(sum(line.cost.historical for line in lines)),
        direct_cost=money.from_minor_units(sum(line.cost.direct for line in lines)),
        overhead=money.from_minor_units(sum(amounts.overhead)),
        profit=money.from_minor_units(sum(amounts.profit)),
        sales_tax=money.from_minor_units(sum(amounts.sales_tax)),
        replacement_cost=money.from_minor_units(replacement_cost),
        depreciation=money.from_minor_units(depreciation),
        actual_cash_value=money.from_minor_units(replacement_cost - depreciation),
        functional_obsolescence=money.from_minor_units(sum(line.functional for line in lines)),
        economic_obsolescence=money.from_minor_units(sum(line.economic for line in lines)),
    )


def categories(lines: Sequence[ValuedLine], money: Money) -> tuple[CategoryTotal, ...]:
    """Return the sums by category, in the order in which the categories first occur."""
    sums: dict[str, list[int]] = {}
    for line in lines:
        of_category = sums.setdefault(line.cost.entry.category, [0, 0])
        of_category[0] += line.replacement_cost
        of_category[1] += line.depreciation
    return tuple(
        CategoryTotal(
            category=category,
            replacement_cost=money.from_minor_units(replacement_cost),
            depreciation=money.from_minor_units(depreciation),
            actual_cash_value=money.from_minor_units(replacement_cost - depreciation),
        )
        for category, (replacement_cost, depreciation) in sums.items()
    )


def cost_by_evidence(lines: Sequence[ValuedLine], money: Money) -> CostByEvidence:
    """Return the replacement cost of the components by the grade of their evidence."""
    sums: dict[EvidenceGrade, int] = {"receipt": 0, "written_quote": 0, "own_estimate": 0}
    for line in lines:
        if isinstance(line.cost.entry, Component):
            sums[grade_of_cost(line.cost.entry)] += line.replacement_cost
    return CostByEvidence(**{grade: money.from_minor_units(of_grade) for grade, of_grade in sums.items()})


def labor_summary(lines: Sequence[ValuedLine], money: Money) -> LaborSummary:
    """Return the labor in the trailer, own and hired, and what the own hours add to what was paid."""
    work = [(line, line.cost.entry) for line in lines if isinstance(line.cost.entry, Labor)]
    own = _labor_total([(line, labor) for line, labor in work if not labor.hired], money)
    hired = _labor_total([(line, labor) for line, labor in work if labor.hired], money)
    return LaborSummary(own=own, hired=hired, own_labor_added=own.replacement_cost - own.paid)


def _labor_total(lines: Sequence[tuple[ValuedLine, Labor]], money: Money) -> LaborTotal:
    return LaborTotal(
        hours=sum((labor.hours for _, labor in lines), NO_HOURS),
        paid=money.from_minor_units(sum(line.cost.historical for line, _ in lines)),
        at_market=money.from_minor_units(sum(line.cost.direct for line, _ in lines)),
        replacement_cost=money.from_minor_units(sum(line.replacement_cost for line, _ in lines)),
    )


def values_by_labor(
    lines: Sequence[ValuedLine], rules: DepreciationRules, market_value: Decimal | None, money: Money
) -> tuple[ValueByLaborRule, ValueRange]:
    """Return the actual cash value of the whole under each rule of labor depreciation, and between which ends it lies.

    By cost with all labor counted is one end. At the other, labor is depreciated, the builder's own hours do not count,
    or the market decides.
    """
    work = [(line, line.cost.entry) for line in lines if isinstance(line.cost.entry, Labor)]
    parts = sum([line.replacement_cost - line.depreciation for line in lines]) - sum(
        [line.replacement_cost - line.depreciation for line, _ in work]
    )

    def values(labor_rule: LaborDepreciation) -> list[int]:
        return [_labor_value(line, labor, labor_rule, rules, money) for line, labor in work]

    with_component = values("with_component")
    hired = sum(value for value, (_, labor) in zip(with_component, work, strict=True) if labor.hired)
    by_rule = ValueByLaborRule(
        none=money.from_minor_units(parts + sum(values("none"))),
        with_component=money.from_minor_units(parts + sum(with_component)),
        own=money.from_minor_units(parts + sum(values("own"))),
    )
    found: dict[ValueFinding, Decimal] = {
        "labor_kept": by_rule.none,
        "labor_depreciated": by_rule.with_component,
        "own_labor_not_counted": money.from_minor_units(parts + hired),
    }
    if market_value is not None:
        found["market_value"] = money.from_minor_units(money.to_minor_units(market_value))
    ends = tuple(ValueEnd(found_by=found_by, value=value) for found_by, value in found.items())
    return by_rule, ValueRange(high=max(found.values()), low=min(found.values()), ends=ends)


def _labor_value(
    line: ValuedLine, labor: Labor, labor_rule: LaborDepreciation, rules: DepreciationRules, money: Money
) -> int:
    """Return what a line of labor is worth under a rule, after obsolescence."""
    cost = left = line.replacement_cost
    if labor_rule != "none":
        left -= depreciation_amount(cost, rules.depreciate_labor(labor, labor_rule), money)
    return obsolescence_of(labor, line.terms, left, money)[2] if line.terms else left


def whole_trailer_value(
    lines: Sequence[ValuedLine], rules: DepreciationRules, options: Options, money: Money
) -> WholeTrailerValue | None:
    """Return the replacement cost of all lines x percent good at the age of the whole, as statutes and tables do it.

    None without options.whole_trailer_schedule, or if no component gives an age. A statute may start from another base
    (a list price, a price paid): then only its percent good applies, and the reader supplies the base.
    """
    if options.whole_trailer_schedule is None:
        return None
    in_service_on = options.whole_trailer_in_service_on or _first_service(lines)
    if in_service_on is None:
        return None
    depreciated = rules.depreciate_whole_trailer(options.whole_trailer_schedule, in_service_on)
    base = sum(line.replacement_cost for line in lines)
    value = base - depreciation_amount(base, depreciated, money)
    by_lines = sum(line.replacement_cost - line.depreciation for line in lines)
    record = schedule_named(depreciated.rule.name)
    published = record if record is not None and record.schedule is depreciated.rule.schedule else None
    return WholeTrailerValue(
        schedule=depreciated.rule.name,
        title=published.title if published else "",
        source=published.source if published else "",
        base=money.from_minor_units(base),
        age_years=depreciated.age_years,
        percent_good=depreciated.percent_good,
        value=money.from_minor_units(value),
        actual_cash_value=money.from_minor_units(by_lines),
        difference=money.from_minor_units(value - by_lines),
    )


def _first_service(lines: Sequence[ValuedLine]) -> date | None:
    entries = (line.cost.entry for line in lines)
    days = [entry.in_service_on or entry.acquired_on for entry in entries if isinstance(entry, Component)]
    return min(days, default=None)
