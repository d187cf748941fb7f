"""Protection reports as tables for a terminal of at least 80 columns."""

from collections.abc import Iterator

from rich.console import Group, RenderableType
from rich.table import Table

from hitchworth.cli.layout import bullet_list, plain_table, sheet_text, stacked
from hitchworth.localization.localizer import Localizer
from hitchworth.localization.texts import texts
from hitchworth.model.protection import ProtectionReport


def protection_report(report: ProtectionReport, localizer: Localizer) -> Group:
    """Lay out a report: measures, suggestions, circuits that need attention, paybacks, uncovered layers, cautions."""
    parts = (
        *([] if report.entered else [localizer.translate(texts().protection.not_entered)]),
        *_tables(report, localizer),
        *_suggestions(report, localizer),
        bullet_list("", (layer.text for layer in report.uncovered_layers)),
        bullet_list(sheet_text(localizer, "cautions"), (caution.text for caution in report.cautions)),
    )
    return stacked(*parts)


def _suggestions(report: ProtectionReport, localizer: Localizer) -> Iterator[RenderableType]:
    if report.suggestions:
        yield bullet_list(sheet_text(localizer, "suggestions_caption"), (each.why for each in report.suggestions))


def _tables(report: ProtectionReport, localizer: Localizer) -> Iterator[RenderableType]:
    if report.measures:
        yield _measure_table(report, localizer)
    if report.circuits:
        yield _circuit_table(report, localizer)
    if report.paybacks:
        yield _payback_table(report, localizer)


def _measure_table(report: ProtectionReport, localizer: Localizer) -> Table:
    table = plain_table(localizer, "protections", "measure")
    for key in ("slows", "installed_on", "question"):
        table.add_column(sheet_text(localizer, key))
    table.leading = 1
    for measure in report.measures:
        installed = sheet_text(localizer, "not_known")
        if measure.installed_on is not None:
            installed = localizer.formats.day(measure.installed_on)
        if not measure.in_place:
            installed = f"{installed} ({sheet_text(localizer, 'not_in_place')})"
        slows = ", ".join(localizer.label("peril", peril) for peril in measure.slows)
        table.add_row(measure.title, slows or "–", installed, measure.question)
    return table


def _circuit_table(report: ProtectionReport, localizer: Localizer) -> Table:
    """Return the checks that failed, then those that could not be made. A check that holds approves nothing."""
    table = plain_table(localizer, "circuits_caption", "circuit")
    table.add_column(sheet_text(localizer, "finding"))
    for holds in (False, None):
        for circuit in report.circuits:
            for finding in circuit.findings:
                if finding.holds is holds:
                    table.add_row(circuit.name, finding.text)
    return table


def _payback_table(report: ProtectionReport, localizer: Localizer) -> Table:
    titles = {measure.name: measure.title for measure in report.measures}
    table = plain_table(localizer, "paybacks_caption", "measure")
    table.add_column(sheet_text(localizer, "payback"))
    for payback in report.paybacks:
        table.add_row(titles.get(payback.measure, payback.measure), payback.text)
    return table
