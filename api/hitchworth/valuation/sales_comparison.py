"""The sales comparison next to the cost approach, and one value reconciled from both."""

from collections.abc import Sequence
from datetime import date
from decimal import localcontext

from msgspec.structs import replace

from hitchworth.model.estimate import EstimateLine, Totals
from hitchworth.model.request import SalesComparisonRequest
from hitchworth.model.sales_comparison import (
    Approach,
    ApproachWeights,
    CostApproach,
    ReconciledApproach,
    SalesComparison,
)
from hitchworth.money import PRECISE, Money
from hitchworth.reference.schedules import base_categories
from hitchworth.valuation.estimate import estimate
from hitchworth.valuation.notes import NoteCollector
from hitchworth.valuation.sales_comparison_approach import reconcile, sales_comparison_approach, weight_of


def sales_comparison(request: SalesComparisonRequest, as_of: date) -> SalesComparison:
    """Value a validated build on a date by cost and by sales. Raises ValueError as `estimate` does."""
    build = request.build
    with localcontext(PRECISE):
        money, notes = Money(build.currency, request.options.rounding), NoteCollector()
        by_cost = estimate(build, as_of, request.options)
        sales = sales_comparison_approach(_with_age(request, by_cost.lines, notes), as_of, money, notes)
        cost = _cost_approach(by_cost.totals)
        values: dict[Approach, int] = {"cost": money.to_minor_units(cost.indicated_value)}
        if sales.indicated_value is None:
            notes.add("no_comparable_counts")
        else:
            values["sales_comparison"] = money.to_minor_units(sales.indicated_value)
        reconciliation = _reconciliation(values, request.weights, money, notes)
    return SalesComparison(
        as_of=as_of,
        currency=build.currency,
        cost=cost,
        sales_comparison=sales,
        reconciliation=reconciliation,
        reconciled_value=sum((approach.contribution for approach in reconciliation), money.from_minor_units(0)),
        notes=(*by_cost.notes, *notes.collected()),
    )


def _with_age(
    request: SalesComparisonRequest, lines: Sequence[EstimateLine], notes: NoteCollector
) -> SalesComparisonRequest:
    """The request with the age of the build: if none is stated, that of its oldest base part, if it has one."""
    if request.subject.age_years is not None or all(sale.age_years is None for sale in request.comparables):
        return request
    base = base_categories()
    parts = [line for line in lines if line.kind == "component" and line.category in base]
    if not parts:
        return request
    oldest = max(parts, key=lambda line: line.age_years)
    notes.add("age_of_base_part", oldest.description, years=str(oldest.age_years))
    return replace(request, subject=replace(request.subject, age_years=oldest.age_years))


def _cost_approach(totals: Totals) -> CostApproach:
    return CostApproach(
        replacement_cost=totals.replacement_cost,
        depreciation=totals.depreciation,
        indicated_value=totals.actual_cash_value,
    )


def _reconciliation(
    values: dict[Approach, int], terms: ApproachWeights, money: Money, notes: NoteCollector
) -> tuple[ReconciledApproach, ...]:
    """Each approach that indicates a value, by its weight. If the only approach left has weight 0, it counts alone."""
    stated = {approach: getattr(terms, approach) for approach in values}
    weights = [weight_of(weight) for weight in stated.values()]
    if not any(weights):
        notes.add("only_approach_left")
        weights = [weight_of(None) for _ in weights]
    reconciled = reconcile(list(values.values()), weights, list(values), money)
    return tuple(
        ReconciledApproach(
            approach=approach,
            indicated_value=money.from_minor_units(value),
            weight=weight,
            reason="" if stated[approach] is None else stated[approach].reason,
            contribution=money.from_minor_units(part),
        )
        for (approach, value), weight, part in zip(
            values.items(), reconciled.weights, reconciled.contributions, strict=True
        )
    )
