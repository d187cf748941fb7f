"""Valued builds for the tests of cover, made by hand so that no test of cover rests on the valuation."""

from collections.abc import Sequence
from datetime import date
from decimal import Decimal

from hitchworth.coverage.loss import DayOfLossEstimates, LossContext, loss_context
from hitchworth.coverage.outcomes import Outcomes
from hitchworth.coverage.settlement import settlement_of
from hitchworth.model.assessment import Verdict
from hitchworth.model.build import Base, Build, IndirectCosts
from hitchworth.model.estimate import (
    Band,
    Documentation,
    Estimate,
    EstimateLine,
    LaborSummary,
    LineKind,
    Totals,
    ValueByLaborRule,
    Work,
)
from hitchworth.model.policy import Loss, Policy
from hitchworth.model.settlement import Settlement
from hitchworth.money import Money
from hitchworth.valuation.indirect_costs import indirect_cost_amounts, indirect_cost_terms

DAY = date(2026, 11, 1)
ZERO = Decimal(0)
USD = Money("USD")
NO_WORK = Work(hours=ZERO, paid=ZERO, at_market=ZERO, replacement_cost=ZERO)


def dollars(*whole: int) -> tuple[Decimal, ...]:
    """Whole amounts, to compare with several amounts at once."""
    return tuple(map(Decimal, whole))


def line(
    name: str, category: str, replacement_cost: str, depreciation: str = "0", kind: LineKind = "component"
) -> EstimateLine:
    """A valued line with nothing but what a settlement reads."""
    cost, wear = Decimal(replacement_cost), Decimal(depreciation)
    return EstimateLine(
        id=name,
        kind=kind,
        description=name,
        category=category,
        historic_cost=cost,
        direct_cost=cost,
        replacement_cost=cost,
        age_years=ZERO,
        schedule="general",
        percent_good=ZERO,
        depreciation=wear,
        actual_cash_value=cost - wear,
        variance_share=ZERO,
    )


def valued(*lines: EstimateLine) -> DayOfLossEstimates:
    """The lines under both rules: the depreciation of a labor line is what it is when labor is aged."""
    kept = [line(a.id, a.category, str(a.replacement_cost), kind="labor") if a.kind == "labor" else a for a in lines]
    return DayOfLossEstimates(_estimate(kept), _estimate(lines))


def circumstances(
    loss: Loss, *lines: EstimateLine, verdict: Verdict = "match", comparable_price: str | None = None
) -> LossContext:
    """The lines meet the loss."""
    base = Base(kind="flatbed", comparable_price=Decimal(comparable_price)) if comparable_price else None
    build = Build(name="trailer", currency="USD", base=base)
    return loss_context(build, loss, valued(*lines), verdict, USD)


def _estimate(lines: Sequence[EstimateLine]) -> Estimate:
    cost = sum((a.replacement_cost for a in lines), ZERO)
    wear = sum((a.depreciation for a in lines), ZERO)
    totals = Totals(
        historic_cost=cost,
        direct_cost=cost,
        overhead=ZERO,
        profit=ZERO,
        sales_tax=ZERO,
        replacement_cost=cost,
        depreciation=wear,
        actual_cash_value=cost - wear,
    )
    return Estimate(
        as_of=DAY,
        currency="USD",
        lines=tuple(lines),
        categories=(),
        totals=totals,
        indirect_costs=indirect_cost_terms(indirect_cost_amounts([], IndirectCosts(), Money("USD")), Money("USD")),
        value_by_labor_rule=ValueByLaborRule(none=cost - wear, with_component=cost - wear, own=cost - wear),
        labor=LaborSummary(own=NO_WORK, hired=NO_WORK, own_labor_added=ZERO),
        band=Band(low=cost, likely=cost, high=cost, confidence=Decimal("0.9")),
        documentation=Documentation(receipt=cost, written_quote=ZERO, own_estimate=ZERO),
        notes=(),
    )


def settle(policy: Policy, context: LossContext) -> Settlement:
    """The policy on the loss, open terms at their worst."""
    return settlement_of(Outcomes(policy, context))
