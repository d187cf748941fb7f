"""The words of a protection report: the findings, the questions, the bare layers, the paybacks and the cautions."""

from msgspec.structs import replace

from hitchworth.localization.localizer import Localizer
from hitchworth.localization.texts import texts
from hitchworth.model.note import Note
from hitchworth.model.protection import (
    CircuitFinding,
    CircuitResult,
    MeasureResult,
    Payback,
    ProtectionReport,
    UncoveredLayer,
)


def localize_protection(report: ProtectionReport, localizer: Localizer) -> ProtectionReport:
    """The report with its sentences, and with the texts of the vocabulary translated where the catalog has them."""
    return replace(
        report,
        measures=tuple(_measure(measure, localizer) for measure in report.measures),
        uncovered_layers=tuple(_bare(layer, localizer) for layer in report.uncovered_layers),
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


def _bare(uncovered: UncoveredLayer, localizer: Localizer) -> UncoveredLayer:
    words = texts().protection
    return replace(uncovered, text=localizer.format(words.uncovered_layer, layer=words.layers[uncovered.layer]))


def _circuit(circuit: CircuitResult, localizer: Localizer) -> CircuitResult:
    return replace(circuit, findings=tuple(_finding(finding, localizer) for finding in circuit.findings))


def _finding(finding: CircuitFinding, localizer: Localizer) -> CircuitFinding:
    """What the check came to, and who decides."""
    words = texts().protection
    forms = words.checks[finding.check]
    form = forms.unknown if finding.holds is None else forms.holds if finding.holds else forms.fails
    said = localizer.format(form, measured=finding.measured, required=finding.required, **finding.parameters)
    return replace(
        finding, text=f"{said} {localizer.translate(words.deferral)}", source=localizer.translate(finding.source)
    )


def _payback(payback: Payback, localizer: Localizer) -> Payback:
    said = localizer.format(
        texts().protection.payback[_outcome(payback)],
        cost=payback.cost,
        annual_saving=payback.annual_saving,
        years=payback.years,
    )
    return replace(payback, text=said)


def _outcome(payback: Payback) -> str:
    if payback.cost is None:
        return "no_cost"
    if payback.annual_saving is None:
        return "no_saving"
    return "never" if payback.years is None else "repaid"


def _caution(caution: Note, localizer: Localizer) -> Note:
    return replace(caution, text=localizer.format(texts().protection.cautions[caution.code]))
