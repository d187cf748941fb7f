"""Valued builds for the tests of cover, made by hand so that no test of cover rests on the valuation."""

from collections.abc import Sequence
from datetime import date
from decimal import Decimal
from typing import Any, get_args

from msgspec.structs import replace

from hitchworth.coverage.loss import DayOfLossEstimates, LossContext, loss_context
from hitchworth.coverage.loss_lines import LossLine
from hitchworth.coverage.outcomes import Outcomes
from hitchworth.coverage.settlement import settlement_of
from hitchworth.model.assessment import Verdict
from hitchworth.model.build import Base, Build
from hitchworth.model.entry import Labor
from hitchworth.model.estimate import (
    Band,
    CostByEvidence,
    Estimate,
    EstimateLine,
    LaborSummary,
    LaborTotal,
    LineKind,
    Totals,
    ValueByLaborRule,
)
from hitchworth.model.indirect_costs import IndirectCosts
from hitchworth.model.loss import Loss
from hitchworth.model.policy import DEFAULT_ORDER, AbsentTerm, Policy
from hitchworth.model.settlement import Settlement
from hitchworth.money import Money
from hitchworth.reference.category_groups import PLAIN_TRAILER
from hitchworth.valuation.indirect_costs import indirect_cost_amounts, indirect_cost_terms

DAY = date(2026, 11, 1)
ZERO = Decimal(0)
USD = Money("USD")
NO_LABOR = LaborTotal(hours=ZERO, paid=ZERO, at_market=ZERO, replacement_cost=ZERO)


ABSENT: tuple[AbsentTerm, ...] = get_args(AbsentTerm)


def known_policy(name: str = "p", **terms: Any) -> Policy:
    """A policy on which every term is known: those that are given, and for the rest the kindest to the insured."""
    kindest: dict[str, Any] = {
        "covers_damage": True,
        "basis": "actual_cash_value",
        "deductible": ZERO,
        "coinsurance_rate": ZERO,
        "order": DEFAULT_ORDER,
        "sublimits": (),
        "settles_as": "built_use",
        "counts_own_labor": True,
        "values_by": "cost_less_depreciation",
        "depreciates_labor": False,
        "deducts_obsolescence": True,
        "holdback": True,
        "betterment_categories": (),
        "total_loss_tax_rate": ZERO,
        "total_loss_fees": ZERO,
        "adds_tax_to_stated_amount": True,
        "excluded_perils": (),
        "peril_deductibles": (),
        "covers_under_construction": True,
        "knows_built_use": True,
        "allowances": (),
        "without": tuple(term for term in ABSENT if terms.get(term) is None),
    }
    return Policy(name=name, **(kindest | terms))


def dollars(*whole: int) -> tuple[Decimal, ...]:
    """Whole amounts, to compare with several amounts at once."""
    return tuple(map(Decimal, whole))


def line(  # noqa: PLR0917 - one argument a figure of the line
    name: str,
    category: str,
    replacement_cost: str,
    depreciation: str = "0",
    kind: LineKind = "component",
    untaxed_cost: str | None = None,
) -> EstimateLine:
    """A valued line with nothing but what a settlement reads. It carries no sales tax unless a part is said to."""
    cost, wear = Decimal(replacement_cost), Decimal(depreciation)
    return EstimateLine(
        id=name,
        kind=kind,
        description=name,
        category=category,
        historical_cost=cost,
        direct_cost=cost,
        replacement_cost=cost,
        includes="nothing",
        untaxed_cost=cost if untaxed_cost is None else Decimal(untaxed_cost),
        age_years=ZERO,
        schedule="general",
        percent_good=ZERO,
        depreciation=wear,
        actual_cash_value=cost - wear,
        variance_share=ZERO,
    )


def valued(*lines: EstimateLine, day: date = DAY) -> DayOfLossEstimates:
    """The lines under both rules: the depreciation of a labor line is what it is when labor is aged."""
    kept = [
        replace(a, depreciation=ZERO, actual_cash_value=a.replacement_cost) if a.kind == "labor" else a for a in lines
    ]
    return DayOfLossEstimates(_estimate(kept, day), _estimate(lines, day))


def circumstances(
    loss: Loss,
    *lines: EstimateLine,
    verdict: Verdict = "match",
    comparable_price: str | None = None,
    own_labor: bool = False,
    **build_fields: Any,
) -> LossContext:
    """The lines meet the loss; labor lines are hired unless they are said to be the builder's own."""
    base = Base(kind="flatbed", comparable_price=Decimal(comparable_price)) if comparable_price else None
    labor = tuple(
        Labor(id=each.id, task=each.id, hours=Decimal(1), rate=ZERO, performed_on=DAY, hired=not own_labor)
        for each in lines
        if each.kind == "labor"
    )
    build = Build(name="trailer", currency="USD", base=base, labor=labor, **build_fields)
    return loss_context(build, loss, valued(*lines, day=loss.occurred_on or DAY), verdict, USD)


def plain_trailer(context: LossContext) -> LossLine:
    """The plain trailer of the class, which is known, added up."""
    (lines,) = context.plain_trailers.values()
    return LossLine(
        PLAIN_TRAILER,
        sum(line.replacement_cost for line in lines),
        sum(line.depreciation for line in lines),
        sum(line.labor_depreciation for line in lines),
        is_base=all(line.is_base for line in lines),
        is_own_labor=any(line.is_own_labor for line in lines),
    )


def _estimate(lines: Sequence[EstimateLine], day: date) -> Estimate:
    cost = sum((a.replacement_cost for a in lines), ZERO)
    wear = sum((a.depreciation for a in lines), ZERO)
    totals = Totals(
        historical_cost=cost,
        direct_cost=cost,
        overhead=ZERO,
        profit=ZERO,
        sales_tax=ZERO,
        replacement_cost=cost,
        depreciation=wear,
        actual_cash_value=cost - wear,
    )
    return Estimate(
        as_of=day,
        currency="USD",
        lines=tuple(lines),
        categories=(),
        totals=totals,
        indirect_costs=indirect_cost_terms(indirect_cost_amounts([], IndirectCosts(), Money("USD")), Money("USD")),
        value_by_labor_rule=ValueByLaborRule(none=cost - wear, with_component=cost - wear, own=cost - wear),
        labor=LaborSummary(own=NO_LABOR, hired=NO_LABOR, own_labor_added=ZERO),
        band=Band(low=cost, likely=cost, high=cost, confidence=Decimal("0.9")),
        cost_by_evidence=CostByEvidence(receipt=cost, written_quote=ZERO, own_estimate=ZERO),
        notes=(),
    )


def settle(policy: Policy, context: LossContext) -> Settlement:
    """The policy on the loss, open terms at their worst."""
    return settlement_of(Outcomes(policy, context))
