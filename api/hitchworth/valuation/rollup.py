"""The roll-up: valued entries added up, as a whole, by category, by evidence, and under each labor rule."""

from collections.abc import Sequence
from decimal import Decimal

from hitchworth.model.build import Component, EvidenceGrade, Labor
from hitchworth.model.estimate import CategoryTotal, Documentation, LaborSummary, Totals, ValueByLaborRule, Work
from hitchworth.model.options import LaborDepreciation
from hitchworth.valuation.depreciation_rules import DepreciationRules
from hitchworth.valuation.indirect_costs import Charges
from hitchworth.valuation.money import Money
from hitchworth.valuation.valued_line import Valued, depreciation

NO_HOURS = Decimal(0)


def totals(lines: Sequence[Valued], added: Charges, money: Money) -> Totals:
    """Sums of the rounded lines."""
    replacement_cost = sum(line.replacement_cost for line in lines)
    total_depreciation = sum(line.depreciation for line in lines)
    return Totals(
        historic_cost=money.amount(sum(line.cost.historic for line in lines)),
        direct_cost=money.amount(sum(line.cost.direct for line in lines)),
        overhead=money.amount(sum(added.overhead)),
        profit=money.amount(sum(added.profit)),
        sales_tax=money.amount(sum(added.sales_tax)),
        replacement_cost=money.amount(replacement_cost),
        depreciation=money.amount(total_depreciation),
        actual_cash_value=money.amount(replacement_cost - total_depreciation),
    )


def categories(lines: Sequence[Valued], money: Money) -> tuple[CategoryTotal, ...]:
    """In the order in which they first occur."""
    sums: dict[str, list[int]] = {}
    for line in lines:
        of_category = sums.setdefault(line.cost.entry.category, [0, 0])
        of_category[0] += line.replacement_cost
        of_category[1] += line.depreciation
    return tuple(
        CategoryTotal(
            category=category,
            replacement_cost=money.amount(replacement_cost),
            depreciation=money.amount(total_depreciation),
            actual_cash_value=money.amount(replacement_cost - total_depreciation),
        )
        for category, (replacement_cost, total_depreciation) in sums.items()
    )


def documentation(lines: Sequence[Valued], money: Money) -> Documentation:
    """Replacement cost of the components by the grade of their evidence."""
    sums: dict[EvidenceGrade, int] = {"receipt": 0, "written_quote": 0, "own_estimate": 0}
    for line in lines:
        if isinstance(line.cost.entry, Component):
            sums[line.cost.entry.evidence_grade] += line.replacement_cost
    return Documentation(**{grade: money.amount(of_grade) for grade, of_grade in sums.items()})


def labor_summary(lines: Sequence[Valued], money: Money) -> LaborSummary:
    """The work in the trailer, own and hired, and what the own hours add to what was paid."""
    work = [(line, line.cost.entry) for line in lines if isinstance(line.cost.entry, Labor)]
    own = _work([(line, labor) for line, labor in work if not labor.hired], money)
    hired = _work([(line, labor) for line, labor in work if labor.hired], money)
    return LaborSummary(own=own, hired=hired, own_labor_added=own.replacement_cost - own.paid)


def _work(lines: Sequence[tuple[Valued, Labor]], money: Money) -> Work:
    return Work(
        hours=sum((labor.hours for _, labor in lines), NO_HOURS),
        paid=money.amount(sum(line.cost.historic for line, _ in lines)),
        at_market=money.amount(sum(line.cost.direct for line, _ in lines)),
        replacement_cost=money.amount(sum(line.replacement_cost for line, _ in lines)),
    )


def value_by_labor_rule(lines: Sequence[Valued], wear: DepreciationRules, money: Money) -> ValueByLaborRule:
    """Actual cash value of the whole under each rule of labor depreciation."""
    work = [(line.replacement_cost, line.cost.entry) for line in lines if isinstance(line.cost.entry, Labor)]
    parts = (line for line in lines if isinstance(line.cost.entry, Component))
    undepreciated = sum(cost for cost, _ in work) + sum(part.replacement_cost - part.depreciation for part in parts)

    def value(rule: LaborDepreciation) -> Decimal:
        total_depreciation = sum(depreciation(cost, wear.labor(labor, rule), money) for cost, labor in work)
        return money.amount(undepreciated - total_depreciation)

    return ValueByLaborRule(none=money.amount(undepreciated), with_component=value("with_component"), own=value("own"))
