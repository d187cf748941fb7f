"""Protection against loss: what is fitted and proved, what is bare, what the circuits lack, and what pays back."""

from hitchworth.model.protection import MeasureResult, ProtectionReport
from hitchworth.reference.protections import measures_by_name
from hitchworth.sheets.content import AnyBlock, Column, Heading, Listing, Paragraph, Table
from hitchworth.sheets.subject import Subject
from hitchworth.wording.texts import texts
from hitchworth.wording.voice import capital


def protection(subject: Subject) -> tuple[AnyBlock, ...]:
    """The measures with their evidence, then what is missing, each with its cautions."""
    report = subject.statement.protection
    return (
        Heading(subject.say("protections")),
        *_measures(subject, report),
        *_unslowed(subject, report),
        *_bare_layers(subject, report),
        *_circuits(subject, report),
        *_paybacks(subject, report),
        Listing(tuple(caution.text for caution in report.cautions)),
    )


def _measures(subject: Subject, report: ProtectionReport) -> tuple[AnyBlock, ...]:
    columns = (
        Column(subject.say("measure"), width=5),
        Column(subject.say("slows"), width=2),
        Column(subject.say("fitted_on")),
        Column(subject.say("evidence"), width=3),
    )
    rows = tuple(_measure(subject, measure) for measure in report.measures)
    return (Table(subject.say("protections_caption"), columns, rows),) if rows else ()


def _measure(subject: Subject, measure: MeasureResult) -> tuple[str, ...]:
    voice = subject.voice
    fitted_on = voice.formats.day(measure.fitted_on) if measure.fitted_on else subject.say("not_known")
    proof = "; ".join(measure.usual_evidence)
    return (
        "\n".join(filter(None, (measure.title, measure.caution))),
        ", ".join(voice.label("peril", peril) for peril in measure.slows) or "–",
        fitted_on if measure.in_place else f"{fitted_on}\n{subject.say('not_in_place')}",
        measure.evidence if measure.evidenced else subject.say("not_proved", proof=proof),
    )


def _unslowed(subject: Subject, report: ProtectionReport) -> tuple[AnyBlock, ...]:
    """The perils against which nothing is in place, in one sentence."""
    bare = [subject.voice.label("peril", peril.peril) for peril in report.perils if not peril.measures]
    return (Paragraph(subject.say("unslowed", perils=", ".join(bare))),) if bare else ()


def _bare_layers(subject: Subject, report: ProtectionReport) -> tuple[AnyBlock, ...]:
    known, say = measures_by_name(), subject.voice.translated
    columns = (Column(subject.say("layer"), width=2), Column(subject.say("usual_there"), width=7))
    rows = tuple(
        (
            capital(say(texts().protection.layers[bare.layer])),
            "; ".join(say(known[name].title) for name in bare.usual),
        )
        for bare in report.bare_layers
    )
    return (Table(subject.say("bare_layers_caption"), columns, rows),) if rows else ()


def _circuits(subject: Subject, report: ProtectionReport) -> tuple[AnyBlock, ...]:
    """The checks that failed or that could not be made; of those that hold nothing is printed: they approve nothing."""
    columns = (
        Column(subject.say("circuit"), width=2),
        Column(subject.say("finding"), width=6),
        Column(subject.say("source"), width=3),
    )
    rows = tuple(
        (circuit.name, finding.text, subject.say("marked", source=finding.source, mark=finding.mark))
        for wanted in (False, None)
        for circuit in report.circuits
        for finding in circuit.findings
        if finding.holds is wanted
    )
    return (Table(subject.say("circuits_caption"), columns, rows),) if rows else ()


def _paybacks(subject: Subject, report: ProtectionReport) -> tuple[AnyBlock, ...]:
    titles = {measure.name: measure.title for measure in report.measures}
    columns = (Column(subject.say("measure"), width=4), Column(subject.say("payback"), width=6))
    rows = tuple((titles.get(payback.measure, payback.measure), payback.text) for payback in report.paybacks)
    return (Table(subject.say("paybacks_caption"), columns, rows),) if rows else ()
