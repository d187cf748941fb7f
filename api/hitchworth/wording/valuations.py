"""The words of a second opinion, of a value curve and of a comparison of two estimates."""

from typing import TypeVar

from msgspec.structs import replace

from hitchworth.model.comparison import EffectTotal, EstimateComparison, LineChange, LineMove
from hitchworth.model.opinion import Adjustment, ComparedSale, ReconciledApproach, SecondOpinion
from hitchworth.model.value_curve import LimitCrossing, ValueCurve
from hitchworth.wording.notes import worded_note
from hitchworth.wording.texts import texts
from hitchworth.wording.voice import Voice

Moved = TypeVar("Moved", EffectTotal, LineMove)


def worded_opinion(opinion: SecondOpinion, voice: Voice) -> SecondOpinion:
    """The opinion with its labels, reasons, notes, statement and caution."""
    sales = opinion.sales_comparison
    return replace(
        opinion,
        sales_comparison=replace(sales, comparables=tuple(_sale(sale, voice) for sale in sales.comparables)),
        reconciliation=tuple(_approach(approach, voice) for approach in opinion.reconciliation),
        notes=tuple(worded_note(note, voice) for note in opinion.notes),
        statement=_opinion_statement(opinion, voice),
        caution=voice.say(texts().opinion["caution"]),
    )


def worded_curve(curve: ValueCurve, voice: Voice) -> ValueCurve:
    """The curve with its crossings, notes and statement, and the locale in which they are."""
    return replace(
        curve,
        locale=voice.tongue.formats,
        crossings=tuple(_crossing(crossing, voice) for crossing in curve.crossings),
        notes=tuple(worded_note(note, voice) for note in curve.notes),
        statement=_curve_statement(curve, voice),
    )


def worded_comparison(comparison: EstimateComparison, voice: Voice) -> EstimateComparison:
    """The comparison with the labels of its effects, its notes and its statement."""
    return replace(
        comparison,
        effects=tuple(_labelled(effect, voice) for effect in comparison.effects),
        lines=tuple(_line(line, voice) for line in comparison.lines),
        notes=tuple(worded_note(note, voice) for note in comparison.notes),
        statement=_comparison_statement(comparison, voice),
    )


def _sale(sale: ComparedSale, voice: Voice) -> ComparedSale:
    return replace(
        sale,
        adjustments=tuple(_adjustment(adjustment, voice) for adjustment in sale.adjustments),
        weight_reason=sale.weight_reason or voice.say(texts().opinion["weighed_alike"]),
    )


def _adjustment(adjustment: Adjustment, voice: Voice) -> Adjustment:
    return replace(
        adjustment,
        label=voice.say(texts().adjustments[adjustment.element], **adjustment.particulars),
        reason=adjustment.reason or voice.say(texts().opinion["by_index"], **adjustment.particulars),
    )


def _approach(approach: ReconciledApproach, voice: Voice) -> ReconciledApproach:
    return replace(
        approach,
        label=voice.say(texts().approaches[approach.approach]),
        reason=approach.reason or voice.say(texts().opinion["weighed_alike"]),
    )


def _opinion_statement(opinion: SecondOpinion, voice: Voice) -> str:
    by_approach = {approach.approach: approach for approach in opinion.reconciliation}
    sales = by_approach.get("sales_comparison")
    if sales is None:
        return voice.say(texts().opinion["cost_only"], value=opinion.reconciled_value)
    return voice.say(
        texts().opinion["both"],
        cost=opinion.cost.indicated_value,
        sales=sales.indicated_value,
        cost_weight=by_approach["cost"].weight,
        sales_weight=sales.weight,
        value=opinion.reconciled_value,
    )


def _crossing(crossing: LimitCrossing, voice: Voice) -> LimitCrossing:
    text = f"{crossing.found_by}_{'covered' if crossing.covered else 'not_covered'}"
    return replace(crossing, label=voice.say(texts().crossings[text], on=crossing.on, value=crossing.value))


def _curve_statement(curve: ValueCurve, voice: Voice) -> str:
    first, last = curve.points[0].as_of, curve.points[-1].as_of
    if curve.limit is None:
        values = [getattr(point, curve.basis) for point in curve.points]
        low, high = min(values), max(values)
        return voice.say(texts().curve["no_limit"], basis=curve.basis, first=first, last=last, low=low, high=high)
    outgrown = next((crossing for crossing in curve.crossings if not crossing.covered), None)
    until = curve.searched_until
    if outgrown is None:
        return voice.say(
            texts().curve["covered" if until == last else "covered_on_dates"],
            limit=curve.limit,
            basis=curve.basis,
            first=first,
            last=until,
        )
    return voice.say(
        texts().curve["outgrown_by" if outgrown.found_by == "given_date" else "outgrown"],
        until=until,
        limit=curve.limit,
        basis=curve.basis,
        on=outgrown.on,
        value=outgrown.value,
        share=curve.limit / outgrown.value,
    )


def _line(line: LineChange, voice: Voice) -> LineChange:
    return replace(line, moves=tuple(_labelled(move, voice) for move in line.moves))


def _labelled(moved: Moved, voice: Voice) -> Moved:
    return replace(moved, label=voice.say(texts().effects[moved.effect]))


def _comparison_statement(comparison: EstimateComparison, voice: Voice) -> str:
    before, after = comparison.before, comparison.after
    return voice.say(
        texts().comparison["moved"],
        before=before.as_of,
        after=after.as_of,
        cost_before=before.totals.replacement_cost,
        cost_after=after.totals.replacement_cost,
        cost_moved=comparison.replacement_cost,
        value_before=before.totals.actual_cash_value,
        value_after=after.totals.actual_cash_value,
        value_moved=comparison.actual_cash_value,
    )
