"""The protection report: the measures of a build, the perils they slow, uncovered layers, circuits and paybacks.

Measures that were not entered are not known: then no peril and no layer counts as unprotected.
"""

from collections.abc import Sequence
from datetime import date

from hitchworth.model.build import Build, Protection
from hitchworth.model.note import Note
from hitchworth.model.policy import Policy
from hitchworth.model.protection import (
    Layer,
    MeasureResult,
    MeasureSuggestion,
    ProtectionReport,
    SlowedPeril,
    UncoveredLayer,
)
from hitchworth.protection.circuits import circuit_results
from hitchworth.protection.payback import paybacks
from hitchworth.protection.suggestions import suggested_measures
from hitchworth.reference.protections import measures_by_name, protection_measures


def protection_report(build: Build, policies: Sequence[Policy], as_of: date) -> ProtectionReport:
    """Return the protection report of a build on a day.

    Measures installed after the day count as planned. Policies matter only for discounts given as a rate.
    """
    entered = build.protections is not None
    measures = tuple(_measure_result(protection, as_of) for protection in build.protections or ())
    suggestions = suggested_measures(build, as_of)
    paid_back = paybacks(build, policies)
    return ProtectionReport(
        as_of=as_of,
        entered=entered,
        measures=measures,
        suggestions=suggestions,
        perils=_slowed_perils(measures, suggestions) if entered else (),
        uncovered_layers=_uncovered_layers(measures, suggestions) if entered else (),
        circuits=circuit_results(build.circuits),
        paybacks=paid_back,
        cautions=_cautions(build, has_paybacks=bool(paid_back)),
    )


def _measure_result(protection: Protection, as_of: date) -> MeasureResult:
    """Return the measure with its entry in the vocabulary. A custom measure has no layer and slows no known peril."""
    known = measures_by_name().get(protection.name)
    return MeasureResult(
        name=protection.name,
        title=known.title if known else protection.name,
        layer=known.layer if known else None,
        slows=known.slows if known else (),
        in_place=protection.installed_on is None or protection.installed_on <= as_of,
        installed_on=protection.installed_on,
        evidence=protection.evidence,
        evidenced=bool(protection.evidence.strip()),
        usual_evidence=known.evidence if known else (),
        ask=known.ask if known else "discount_or_condition",
        caution=known.caution if known else "",
        source=known.source if known else "",
        provenance=known.provenance if known else "common_practice",
    )


def _slowed_perils(
    measures: Sequence[MeasureResult], suggestions: Sequence[MeasureSuggestion]
) -> tuple[SlowedPeril, ...]:
    """Return every peril of the vocabulary with the measures in place that slow it, and those to confirm."""
    perils = dict.fromkeys(peril for known in protection_measures() for peril in known.slows)
    suggested = tuple(dict.fromkeys(each.measure for each in suggestions))
    return tuple(_slowed_peril(peril, measures, suggested) for peril in perils)


def _slowed_peril(peril: str, measures: Sequence[MeasureResult], suggested: Sequence[str]) -> SlowedPeril:
    slowing = [measure for measure in measures if measure.in_place and peril in measure.slows]
    return SlowedPeril(
        peril=peril,
        measures=tuple(dict.fromkeys(measure.name for measure in slowing)),
        evidenced=tuple(dict.fromkeys(measure.name for measure in slowing if measure.evidenced)),
        to_confirm=tuple(name for name in suggested if peril in measures_by_name()[name].slows),
    )


def _uncovered_layers(
    measures: Sequence[MeasureResult], suggestions: Sequence[MeasureSuggestion]
) -> tuple[UncoveredLayer, ...]:
    """Return the layers with no measure in place or to confirm, from the outermost inward, with the usual ones."""
    covered = {measure.layer for measure in measures if measure.in_place}
    covered |= {measures_by_name()[each.measure].layer for each in suggestions}
    usual: dict[Layer, list[str]] = {}
    for known in protection_measures():
        usual.setdefault(known.layer, []).append(known.name)
    return tuple(
        UncoveredLayer(layer=layer, usual=tuple(names)) for layer, names in usual.items() if layer not in covered
    )


def _cautions(build: Build, *, has_paybacks: bool) -> tuple[Note, ...]:
    """Return the general cautions, and one for every hazard that the measures and circuits involve."""
    known = [measures_by_name()[each.name] for each in build.protections or () if each.name in measures_by_name()]
    codes = ["insurer_decides"]
    codes += ["payback"] if has_paybacks else []
    codes += ["wiring", "circuits"] if build.circuits else []
    codes += [hazard for measure in known for hazard in measure.touches]
    return tuple(Note(code=code) for code in dict.fromkeys(codes))
