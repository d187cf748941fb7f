"""The texts of a protection report: findings, questions, uncovered layers, paybacks and cautions."""

from msgspec.structs import replace

from hitchworth.localization.localizer import Localizer
from hitchworth.localization.texts import texts
from hitchworth.model.note import Note
from hitchworth.model.protection import (
    CircuitFinding,
    CircuitResult,
    MeasureResult,
    MeasureSuggestion,
    Payback,
    ProtectionReport,
    UncoveredLayer,
)


def localize_protection(report: ProtectionReport, localizer: Localizer) -> ProtectionReport:
    """Return the report with its texts; those of the reference data are translated where the catalog has them."""
    return replace(
        report,
        measures=tuple(_measure(measure, localizer) for measure in report.measures),
        suggestions=tuple(_suggestion(suggestion, localizer) for suggestion in report.suggestions),
        uncovered_layers=tuple(_uncovered_layer(layer, localizer) for layer in report.uncovered_layers),
        circuits=tuple(_circuit(circuit, localizer) for circuit in report.circuits),
        paybacks=tuple(_payback(payback, localizer) for payback in report.paybacks),
        cautions=tuple(_caution(caution, localizer) for caution in report.cautions),
    )


def _measure(measure: MeasureResult, localizer: Localizer) -> MeasureResult:
    return replace(
        measure,
        title=localizer.translate(measure.title),
        usual_evidence=tuple(localizer.translate(item) for item in measure.usual_evidence),
        question=localizer.format(texts().protection.asks[measure.ask], title=measure.title),
        caution=localizer.translate(measure.caution),
        source=localizer.translate(measure.source),
    )


def _suggestion(suggestion: MeasureSuggestion, localizer: Localizer) -> MeasureSuggestion:
    why = localizer.format(
        texts().protection.suggestion,
        title=suggestion.title,
        description=suggestion.description,
        words=suggestion.words,
    )
    return replace(suggestion, title=localizer.translate(suggestion.title), why=why)


def _uncovered_layer(uncovered: UncoveredLayer, localizer: Localizer) -> UncoveredLayer:
    protection = texts().protection
    return replace(
        uncovered, text=localizer.format(protection.uncovered_layer, layer=protection.layers[uncovered.layer])
    )


def _circuit(circuit: CircuitResult, localizer: Localizer) -> CircuitResult:
    return replace(circuit, findings=tuple(_finding(finding, localizer) for finding in circuit.findings))


def _finding(finding: CircuitFinding, localizer: Localizer) -> CircuitFinding:
    """Return the finding with the result of the check, and who decides."""
    protection = texts().protection
    text = localizer.format(_form(finding), measured=finding.measured, required=finding.required, **finding.parameters)
    return replace(
        finding, text=f"{text} {localizer.translate(protection.deferral)}", source=localizer.translate(finding.source)
    )


def _form(finding: CircuitFinding) -> str:
    forms = texts().protection.checks[finding.check]
    if finding.holds is not None:
        return forms.holds if finding.holds else forms.fails
    has_both_values = finding.measured is not None and finding.required is not None
    return forms.between if forms.between and has_both_values else forms.unknown


def _payback(payback: Payback, localizer: Localizer) -> Payback:
    text = localizer.format(
        texts().protection.payback[_outcome(payback)],
        cost=payback.cost,
        annual_saving=payback.annual_saving,
        years=payback.years,
    )
    return replace(payback, text=text)


def _outcome(payback: Payback) -> str:
    if payback.cost is None:
        return "no_cost"
    if payback.annual_saving is None:
        return "no_saving"
    return "never" if payback.years is None else "repaid"


def _caution(caution: Note, localizer: Localizer) -> Note:
    return replace(caution, text=localizer.format(texts().protection.cautions[caution.code]))
