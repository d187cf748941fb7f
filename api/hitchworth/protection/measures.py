"""The measures of a build against the vocabulary: the perils slowed, what proves it, and the layers left bare."""

from collections.abc import Sequence
from datetime import date

from hitchworth.model.build import Protection
from hitchworth.model.protection import Layer, MeasureResult, SlowedPeril, UncoveredLayer
from hitchworth.reference.protections import measures_by_name, protection_measures


def measure_results(protections: Sequence[Protection], as_of: date) -> tuple[MeasureResult, ...]:
    """Every measure of the build, in the order given."""
    return tuple(_result(protection, as_of) for protection in protections)


def perils_slowed(measures: Sequence[MeasureResult]) -> tuple[SlowedPeril, ...]:
    """Every peril of the vocabulary with the measures in place that slow it; none where the peril is open."""
    perils = dict.fromkeys(peril for known in protection_measures() for peril in known.slows)
    return tuple(_peril(peril, measures) for peril in perils)


def uncovered_layers(measures: Sequence[MeasureResult]) -> tuple[UncoveredLayer, ...]:
    """The layers in which nothing is in place, from the outermost inwards, with what is customary there."""
    covered = {measure.layer for measure in measures if measure.in_place}
    usual: dict[Layer, list[str]] = {}
    for known in protection_measures():
        usual.setdefault(known.layer, []).append(known.name)
    return tuple(
        UncoveredLayer(layer=layer, usual=tuple(names)) for layer, names in usual.items() if layer not in covered
    )


def _result(protection: Protection, as_of: date) -> MeasureResult:
    """A measure of the user's own has no layer and slows no peril that is known here."""
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


def _peril(peril: str, measures: Sequence[MeasureResult]) -> SlowedPeril:
    slowing = [measure for measure in measures if measure.in_place and peril in measure.slows]
    return SlowedPeril(
        peril=peril,
        measures=tuple(dict.fromkeys(measure.name for measure in slowing)),
        evidenced=tuple(dict.fromkeys(measure.name for measure in slowing if measure.evidenced)),
    )
