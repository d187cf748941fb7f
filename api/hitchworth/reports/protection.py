"""Protection against loss: the measures with their evidence to hand over, and what is missing for the builder."""

from hitchworth.localization.localizer import capital
from hitchworth.localization.texts import texts
from hitchworth.model.protection import MeasureResult, ProtectionReport
from hitchworth.reference.protections import measures_by_name
from hitchworth.reports.content import AnyBlock, Column, Heading, Listing, Paragraph, Table
from hitchworth.reports.context import ReportContext


def protection(context: ReportContext) -> tuple[AnyBlock, ...]:
    """Return the measures with their evidence; nothing where none was entered: there is nothing to hand over."""
    report = context.statement.protection
    if not report.measures:
        return ()
    return (Heading(context.format("protections")), *_measures(context, report))


def missing_protection(context: ReportContext) -> tuple[AnyBlock, ...]:
    """Return what the builder may still do: what is missing, circuits to look at and paybacks, the cautions first."""
    report = context.statement.protection
    return (
        Heading(context.format("protection_missing")),
        Listing(tuple(caution.text for caution in report.cautions)),
        *_not_entered(context, report),
        *_suggestions(context, report),
        *_unprotected_perils(context, report),
        *_uncovered_layers(context, report),
        *_circuits(context, report),
        *_paybacks(context, report),
    )


def _not_entered(context: ReportContext, report: ProtectionReport) -> tuple[AnyBlock, ...]:
    """Return the sentence that measures were not entered; nothing is said about what is missing then."""
    return () if report.entered else (Paragraph(context.localizer.translate(texts().protection.not_entered)),)


def _suggestions(context: ReportContext, report: ProtectionReport) -> tuple[AnyBlock, ...]:
    """Return the parts of the inventory that seem to be measures, each with a sentence."""
    columns = (Column(context.format("item"), width=3), Column(context.format("measure"), width=5))
    rows = tuple((each.description, each.title) for each in report.suggestions)
    return (Table(context.format("suggestions_caption"), columns, rows),) if rows else ()


def _measures(context: ReportContext, report: ProtectionReport) -> tuple[AnyBlock, ...]:
    columns = (
        Column(context.format("measure"), width=5),
        Column(context.format("slows"), width=2),
        Column(context.format("installed_on")),
        Column(context.format("evidence"), width=3),
    )
    rows = tuple(_measure(context, measure) for measure in report.measures)
    return (Table(context.format("protections_caption"), columns, rows),) if rows else ()


def _measure(context: ReportContext, measure: MeasureResult) -> tuple[str, ...]:
    localizer = context.localizer
    installed_on = localizer.formats.day(measure.installed_on) if measure.installed_on else context.format("not_known")
    proof = "; ".join(measure.usual_evidence)
    return (
        "\n".join(filter(None, (measure.title, measure.caution))),
        capital(", ".join(localizer.label("peril", peril) for peril in measure.slows)) or "–",
        installed_on if measure.in_place else f"{installed_on}\n{context.format('not_in_place')}",
        capital(measure.evidence) if measure.evidenced else context.format("not_proved", proof=proof),
    )


def _unprotected_perils(context: ReportContext, report: ProtectionReport) -> tuple[AnyBlock, ...]:
    """Return the perils that no measure slows, in place or to confirm, in one sentence."""
    unprotected = (peril.peril for peril in report.perils if not (peril.measures or peril.to_confirm))
    perils = [context.localizer.label("peril", peril) for peril in unprotected]
    return (Paragraph(context.format("unprotected", perils=", ".join(perils))),) if perils else ()


def _uncovered_layers(context: ReportContext, report: ProtectionReport) -> tuple[AnyBlock, ...]:
    known, translate = measures_by_name(), context.localizer.translate
    columns = (Column(context.format("layer"), width=2), Column(context.format("usual_there"), width=7))
    rows = tuple(
        (
            capital(translate(texts().protection.layers[layer.layer])),
            " ".join(f"{translate(known[name].title)}." for name in layer.usual),
        )
        for layer in report.uncovered_layers
    )
    return (Table(context.format("uncovered_layers_caption"), columns, rows),) if rows else ()


def _circuits(context: ReportContext, report: ProtectionReport) -> tuple[AnyBlock, ...]:
    """Return the checks that failed or could not be made. Passed checks are not printed: they approve nothing."""
    columns = (
        Column(context.format("circuit"), width=2),
        Column(context.format("finding"), width=6),
        Column(context.format("source"), width=3),
    )
    rows = tuple(
        (circuit.name, finding.text, context.source(finding.source, finding.provenance))
        for wanted in (False, None)
        for circuit in report.circuits
        for finding in circuit.findings
        if finding.holds is wanted
    )
    return (Table(context.format("circuits_caption"), columns, rows),) if rows else ()


def _paybacks(context: ReportContext, report: ProtectionReport) -> tuple[AnyBlock, ...]:
    titles = {measure.name: measure.title for measure in report.measures}
    columns = (Column(context.format("measure"), width=4), Column(context.format("payback"), width=6))
    rows = tuple((titles.get(payback.measure, payback.measure), payback.text) for payback in report.paybacks)
    return (Table(context.format("paybacks_caption"), columns, rows),) if rows else ()
