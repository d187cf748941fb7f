"""The schedules of depreciation behind the percent good of the lines, each with its source."""

from collections.abc import Iterator

from hitchworth.localization.localizer import capital
from hitchworth.model.build import Schedule
from hitchworth.model.estimate import EstimateLine
from hitchworth.reference.schedules import schedule_named
from hitchworth.reports.content import AnyBlock, Column, Table
from hitchworth.reports.context import ReportContext


def schedules_applied(context: ReportContext) -> tuple[AnyBlock, ...]:
    """Method, life, residual and source of every schedule that a line follows, like ones together.

    A schedule that a line writes out itself has no name: it goes by what the line is called.
    """
    estimate = context.statement.estimate
    given = {(row.kind, row.line): row.schedule for row in estimate.custom_schedules}
    alike: dict[tuple[str, ...], dict[str, None]] = {}
    for line in estimate.lines:
        for known, terms in _applied(context, line, given.get((line.kind, line.id))):
            alike.setdefault(terms, {})[known] = None
    rows = tuple((capital(", ".join(known)), *terms) for terms, known in alike.items())
    columns = (
        Column(context.format("schedule"), width=4),
        Column(context.format("method")),
        Column(context.format("life_years"), align="right"),
        Column(context.format("residual"), align="right"),
        Column(context.format("source"), width=6),
    )
    return (Table(context.format("schedules_caption"), columns, rows),) if rows else ()


def schedule_name(context: ReportContext, name: str) -> str:
    """What a schedule is called: mostly it has the name of the category that follows it."""
    return context.format("none") if name == "none" else context.localizer.label("category", name)


def _applied(
    context: ReportContext, line: EstimateLine, given: Schedule | None
) -> Iterator[tuple[str, tuple[str, ...]]]:
    """What the line's schedule is called, with its terms; a schedule of the build goes before one of the library."""
    name = line.schedule
    own, record = context.build.schedules.get(name), schedule_named(name)
    if given is not None:
        yield line.description, _described(context, given, context.format("given_with_the_line"))
    elif own is not None:
        yield (
            context.localizer.label("category", name),
            _described(context, own, context.localizer.heading("provenance", "own")),
        )
    elif record is not None:
        source = context.localizer.translate(record.source) or context.localizer.heading(
            "provenance", record.provenance
        )
        yield context.localizer.label("category", name), _described(context, record.schedule, source)


def _described(context: ReportContext, schedule: Schedule, source: str) -> tuple[str, ...]:
    formats = context.localizer.formats
    return (
        context.localizer.label("method", schedule.method),
        "" if schedule.life_years is None else formats.number(schedule.life_years),
        formats.percent(schedule.residual),
        source,
    )
