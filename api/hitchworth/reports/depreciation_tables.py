"""The schedules of depreciation behind the figures of the inventory, and the whole trailer valued by one schedule."""

from collections.abc import Iterator

from hitchworth.localization.localizer import capital
from hitchworth.model.estimate import EstimateLine
from hitchworth.model.schedule import Schedule
from hitchworth.reference.schedules import schedule_named
from hitchworth.reports.content import AnyBlock, Column, Table
from hitchworth.reports.context import ReportContext


def applied_schedules(context: ReportContext) -> tuple[AnyBlock, ...]:
    """Return method, life, residual and source of every schedule applied; schedules with the same terms share a row.

    A schedule that was given with a line has no name: the line's description stands in for it.
    """
    estimate = context.statement.estimate
    custom = {(row.kind, row.line): row.schedule for row in estimate.custom_schedules}
    labels_by_terms: dict[tuple[str, ...], dict[str, None]] = {}
    for line in estimate.lines:
        for label, terms in _applied_schedule(context, line, custom.get((line.kind, line.id))):
            labels_by_terms.setdefault(terms, {})[label] = None
    rows = tuple((capital(", ".join(labels)), *terms) for terms, labels in labels_by_terms.items())
    columns = (
        Column(context.format("schedule"), width=4),
        Column(context.format("method")),
        Column(context.format("life_years"), align="right"),
        Column(context.format("residual"), align="right"),
        Column(context.format("source"), width=6),
    )
    return (Table(context.format("schedules_caption"), columns, rows),) if rows else ()


def _applied_schedule(
    context: ReportContext, line: EstimateLine, custom: Schedule | None
) -> Iterator[tuple[str, tuple[str, ...]]]:
    """Yield the label and terms of the line's schedule; a schedule of the build overrides one of the library."""
    localizer, name = context.localizer, line.schedule
    own, published = context.build.schedules.get(name), schedule_named(name)
    if custom is not None:
        yield line.description, _schedule_terms(context, custom, context.format("given_with_the_line"))
    elif own is not None:
        yield localizer.label("category", name), _schedule_terms(context, own, localizer.heading("provenance", "own"))
    elif published is not None:
        source = localizer.translate(published.source) or localizer.heading("provenance", published.provenance)
        yield localizer.label("category", name), _schedule_terms(context, published.schedule, source)


def _schedule_terms(context: ReportContext, schedule: Schedule, source: str) -> tuple[str, ...]:
    formats = context.localizer.formats
    return (
        context.localizer.heading("method", schedule.method),
        "" if schedule.life_years is None else formats.number(schedule.life_years),
        formats.percent(schedule.residual),
        source,
    )


def whole_trailer(context: ReportContext) -> tuple[AnyBlock, ...]:
    """Return the value of the whole trailer by one schedule next to the sum of its lines, where it was asked for."""
    whole = context.statement.estimate.whole_trailer_value
    if whole is None:
        return ()
    rows = (
        ("schedule", whole.title or schedule_label(context, whole.schedule)),
        ("source", whole.source or context.format("none")),
        ("whole_base", context.money(whole.base)),
        ("age", context.localizer.formats.number(whole.age_years, 1, 1)),
        ("percent_good", context.percent(whole.percent_good)),
        ("whole_value", context.money(whole.value)),
        ("whole_lines", context.money(whole.actual_cash_value)),
    )
    return (
        Table(
            context.format("whole_caption"),
            (Column("", width=1), Column(context.format("amount"), width=2, align="right")),
            tuple((context.format(title), value) for title, value in rows),
            (context.format("difference"), context.money(whole.difference)),
        ),
    )


def schedule_label(context: ReportContext, name: str) -> str:
    """Return the label of a schedule: most have the name of the category that follows it."""
    return context.format("none") if name == "none" else context.localizer.label("category", name)
