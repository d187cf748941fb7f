"""The words of a protection report: the findings, the questions, the bare layers, the paybacks and the cautions."""

from msgspec.structs import replace

from hitchworth.model.note import Note
from hitchworth.model.protection import (
    BareLayer,
    CircuitFinding,
    CircuitResult,
    MeasureResult,
    Payback,
    ProtectionReport,
)
from hitchworth.wording.texts import texts
from hitchworth.wording.voice import Voice


def worded_protection(report: ProtectionReport, voice: Voice) -> ProtectionReport:
    """The report with its sentences, and with the texts of the vocabulary translated where the catalog has them."""
    return replace(
        report,
        measures=tuple(_measure(measure, voice) for measure in report.measures),
        bare_layers=tuple(_bare(layer, voice) for layer in report.bare_layers),
        circuits=tuple(_circuit(circuit, voice) for circuit in report.circuits),
        paybacks=tuple(_payback(payback, voice) for payback in report.paybacks),
        cautions=tuple(_caution(caution, voice) for caution in report.cautions),
    )


def _measure(measure: MeasureResult, voice: Voice) -> MeasureResult:
    return replace(
        measure,
        title=voice.translated(measure.title),
        usual_evidence=tuple(voice.translated(item) for item in measure.usual_evidence),
        question=voice.say(texts().protection.asks[measure.ask], title=measure.title),
        caution=voice.translated(measure.caution),
        source=voice.translated(measure.source),
    )


def _bare(bare: BareLayer, voice: Voice) -> BareLayer:
    words = texts().protection
    return replace(bare, text=voice.say(words.bare_layer, layer=words.layers[bare.layer]))


def _circuit(circuit: CircuitResult, voice: Voice) -> CircuitResult:
    return replace(circuit, findings=tuple(_finding(finding, voice) for finding in circuit.findings))


def _finding(finding: CircuitFinding, voice: Voice) -> CircuitFinding:
    """What the check came to, and who decides."""
    words = texts().protection
    forms = words.checks[finding.check]
    form = forms.unknown if finding.holds is None else forms.holds if finding.holds else forms.fails
    said = voice.say(form, measured=finding.measured, required=finding.required, **finding.particulars)
    return replace(finding, text=f"{said} {voice.translated(words.deferral)}", source=voice.translated(finding.source))


def _payback(payback: Payback, voice: Voice) -> Payback:
    said = voice.say(
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


def _caution(caution: Note, voice: Voice) -> Note:
    return replace(caution, text=voice.say(texts().protection.cautions[caution.code]))
