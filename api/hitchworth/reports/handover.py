"""The handover statement: replacement value, questions for the insurer, inventory with serial numbers, certificates."""

from hitchworth.model.entry import Component
from hitchworth.quoting.acceptance import still_quoted
from hitchworth.reports.content import AnyBlock, Caution, Column, Group, GroupedTable, Heading, Paragraph, Table
from hitchworth.reports.context import ReportContext
from hitchworth.reports.conversation import revision
from hitchworth.reports.questions import more_questions, question_boxes
from hitchworth.reports.quote_context import QuoteContext, letterhead, quantity
from hitchworth.reports.value_groups import value_by_group


def handover_statement(context: QuoteContext, report: ReportContext, *, policies_known: bool) -> tuple[AnyBlock, ...]:
    """Return the blocks of the report.

    `report`: on the build at what its owner pays, so no cost of the workshop. `policies_known`: its policies were
    entered; otherwise it is about one of which nothing is known.
    """
    return (
        *letterhead(context),
        Heading(context.format("replacement_value")),
        *_value(context, report),
        *_certifications(context),
        *_serial_numbers(context, report),
        *(Paragraph(note.text) for note in report.statement.estimate.notes if note.code == "entries_left_out"),
        Paragraph(context.format("ask_the_insurer" if policies_known else "ask_any_insurer")),
        *question_boxes(report),
        *more_questions(report),
        Caution(report.format("cautions"), report.statement.cautions),
        *revision(report),
    )


def _value(context: QuoteContext, report: ReportContext) -> tuple[AnyBlock, ...]:
    """Return the values and how they come about; where nothing is in the trailer yet, that there is none."""
    statement = report.statement
    if not statement.estimate.lines:
        return (Paragraph(context.format("nothing_to_value", as_of=statement.as_of)),)
    totals = statement.estimate.totals
    value = context.format(
        "value_statement",
        replacement_cost=totals.replacement_cost,
        actual_cash_value=totals.actual_cash_value,
        as_of=statement.as_of,
    )
    return (Paragraph(" ".join((value, *_still_quoted(context, report)))), value_by_group(report))


def _still_quoted(context: QuoteContext, report: ReportContext) -> tuple[str, ...]:
    """Return how many of the lines valued have nothing but the written quote as their evidence; nothing for none."""
    lines = report.statement.estimate.lines
    quoted = still_quoted(report.build)
    count = sum(line.id in quoted for line in lines)
    if not count:
        return ()
    if count == len(lines):
        return (context.format("all_quoted"),)
    return (context.format("some_quoted", count=str(count), lines=str(len(lines))),)


def _certifications(context: QuoteContext) -> tuple[AnyBlock, ...]:
    """Return what was entered; where nothing was, that it is so."""
    certified = context.pricing.certifications
    if not certified:
        return (Paragraph(context.format("nothing_certified")),)
    columns = (
        *(Column(context.format(title), width=1) for title in ("certified", "certified_by")),
        Column(context.format("certified_on")),
        Column(context.format("certificate")),
    )
    rows = tuple(
        (
            each.subject,
            each.certified_by,
            context.localizer.formats.day(each.certified_on) if each.certified_on else "",
            each.reference or "",
        )
        for each in certified
    )
    return (Table(context.format("certified_caption"), columns, rows),)


def _serial_numbers(context: QuoteContext, report: ReportContext) -> tuple[AnyBlock, ...]:
    """Return every component that is in the trailer, by category, with model and serial number; nothing for none."""
    installed = {line.id for line in report.statement.estimate.lines if line.kind == "component"}
    parts = [part for part in report.build.components if part.id in installed]
    categories = dict.fromkeys(part.category for part in parts)
    groups = tuple(
        Group(
            context.localizer.heading("category", category),
            tuple(_part(context, part) for part in parts if part.category == category),
        )
        for category in categories
    )
    columns = (
        Column(context.format("item"), width=2),
        Column(context.format("quantity"), align="right"),
        Column(context.format("model"), width=1),
        Column(context.format("serial"), width=1),
    )
    return (GroupedTable(context.format("serials_caption"), columns, groups),) if groups else ()


def _part(context: QuoteContext, part: Component) -> tuple[str, ...]:
    unknown = context.format("not_on_record")
    counted = quantity(context, part.quantity, part.unit)
    return (part.description, counted, part.model_number or unknown, part.serial_number or unknown)
