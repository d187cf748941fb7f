"""The texts of a sales comparison, of a value curve and of a comparison of two estimates."""

from typing import TypeVar

from msgspec.structs import replace

from hitchworth.localization.localizer import Localizer
from hitchworth.localization.notes import localize_note
from hitchworth.localization.texts import texts
from hitchworth.model.estimate_comparison import EffectAmount, EffectTotal, EstimateComparison, LineChange
from hitchworth.model.sales_comparison import Adjustment, ComparedSale, ReconciledApproach, SalesComparison
from hitchworth.model.value_curve import LimitCrossing, ValueCurve

LabeledEffect = TypeVar("LabeledEffect", EffectTotal, EffectAmount)


def localize_sales_comparison(comparison: SalesComparison, localizer: Localizer) -> SalesComparison:
    """Return the comparison with its labels, reasons, notes, statement and caution."""
    sales = comparison.sales_comparison
    return replace(
        comparison,
        sales_comparison=replace(sales, comparables=tuple(_sale(sale, localizer) for sale in sales.comparables)),
        reconciliation=tuple(_approach(approach, localizer) for approach in comparison.reconciliation),
        notes=tuple(localize_note(note, localizer) for note in comparison.notes),
        statement=_sales_comparison_statement(comparison, localizer),
        caution=localizer.format(texts().sales_comparison["caution"]),
    )


def localize_value_curve(curve: ValueCurve, localizer: Localizer) -> ValueCurve:
    """Return the curve with its crossings, notes and statement, and the locale of the texts."""
    return replace(
        curve,
        locale=localizer.locale.formats,
        crossings=tuple(_crossing(crossing, localizer) for crossing in curve.crossings),
        notes=tuple(localize_note(note, localizer) for note in curve.notes),
        statement=_curve_statement(curve, localizer),
    )


def localize_estimate_comparison(comparison: EstimateComparison, localizer: Localizer) -> EstimateComparison:
    """Return the comparison with the labels of its effects, its notes and its statement."""
    return replace(
        comparison,
        effects=tuple(_labeled(effect, localizer) for effect in comparison.effects),
        lines=tuple(_line(line, localizer) for line in comparison.lines),
        notes=tuple(localize_note(note, localizer) for note in comparison.notes),
        statement=_comparison_statement(comparison, localizer),
    )


def _sale(sale: ComparedSale, localizer: Localizer) -> ComparedSale:
    return replace(
        sale,
        adjustments=tuple(_adjustment(adjustment, localizer) for adjustment in sale.adjustments),
        weight_reason=sale.weight_reason or localizer.format(texts().sales_comparison["weighed_alike"]),
    )


def _adjustment(adjustment: Adjustment, localizer: Localizer) -> Adjustment:
    return replace(
        adjustment,
        label=localizer.format(texts().adjustments[adjustment.element], **adjustment.parameters),
        reason=adjustment.reason or localizer.format(texts().sales_comparison["by_index"], **adjustment.parameters),
    )


def _approach(approach: ReconciledApproach, localizer: Localizer) -> ReconciledApproach:
    return replace(
        approach,
        label=localizer.format(texts().approaches[approach.approach]),
        reason=approach.reason or localizer.format(texts().sales_comparison["weighed_alike"]),
    )


def _sales_comparison_statement(comparison: SalesComparison, localizer: Localizer) -> str:
    by_approach = {approach.approach: approach for approach in comparison.reconciliation}
    sales = by_approach.get("sales_comparison")
    if sales is None:
        return localizer.format(texts().sales_comparison["cost_only"], value=comparison.reconciled_value)
    return localizer.format(
        texts().sales_comparison["both"],
        cost=comparison.cost.indicated_value,
        sales=sales.indicated_value,
        cost_weight=by_approach["cost"].weight,
        sales_weight=sales.weight,
        value=comparison.reconciled_value,
    )


def _crossing(crossing: LimitCrossing, localizer: Localizer) -> LimitCrossing:
    text = f"{crossing.found_by}_{'covered' if crossing.covered else 'not_covered'}"
    return replace(crossing, label=localizer.format(texts().crossings[text], on=crossing.on, value=crossing.value))


def _curve_statement(curve: ValueCurve, localizer: Localizer) -> str:
    first, last = curve.points[0].as_of, curve.points[-1].as_of
    if curve.limit is None:
        values = [getattr(point, curve.basis) for point in curve.points]
        low, high = min(values), max(values)
        return localizer.format(
            texts().curve["no_limit"], basis=curve.basis, first=first, last=last, low=low, high=high
        )
    exceeded = next((crossing for crossing in curve.crossings if not crossing.covered), None)
    until = curve.searched_until
    if exceeded is None:
        return localizer.format(
            texts().curve["covered" if until == last else "covered_on_dates"],
            limit=curve.limit,
            basis=curve.basis,
            first=first,
            last=until,
        )
    return localizer.format(
        texts().curve["exceeded_by" if exceeded.found_by == "given_date" else "exceeded"],
        until=until,
        limit=curve.limit,
        basis=curve.basis,
        on=exceeded.on,
        value=exceeded.value,
        share=curve.limit / exceeded.value,
    )


def _line(line: LineChange, localizer: Localizer) -> LineChange:
    return replace(line, effects=tuple(_labeled(effect, localizer) for effect in line.effects))


def _labeled(effect: LabeledEffect, localizer: Localizer) -> LabeledEffect:
    return replace(effect, label=localizer.format(texts().effects[effect.effect]))


def _comparison_statement(comparison: EstimateComparison, localizer: Localizer) -> str:
    before, after = comparison.before, comparison.after
    return localizer.format(
        texts().estimate_comparison["moved_on_day" if before.as_of == after.as_of else "moved"],
        before=before.as_of,
        after=after.as_of,
        cost_before=before.totals.replacement_cost,
        cost_after=after.totals.replacement_cost,
        cost_moved=comparison.replacement_cost,
        value_before=before.totals.actual_cash_value,
        value_after=after.totals.actual_cash_value,
        value_moved=comparison.actual_cash_value,
    )
