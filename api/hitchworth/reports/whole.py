"""The whole trailer by one schedule, beside the sum of its lines."""

from hitchworth.reports.content import AnyBlock, Column, Table
from hitchworth.reports.context import ReportContext
from hitchworth.reports.schedules_applied import schedule_name


def whole(context: ReportContext) -> tuple[AnyBlock, ...]:
    """Where the estimate was asked for it: schedule with its source, base, age, percent good, value, difference."""
    found = context.statement.estimate.whole_trailer_value
    if found is None:
        return ()
    rows = (
        ("schedule", found.title or schedule_name(context, found.schedule)),
        ("source", found.source or context.format("none")),
        ("whole_base", context.money(found.base)),
        ("age", context.localizer.formats.number(found.age_years, 1, 1)),
        ("percent_good", context.percent(found.percent_good)),
        ("whole_value", context.money(found.value)),
        ("whole_lines", context.money(found.actual_cash_value)),
    )
    return (
        Table(
            context.format("whole_caption"),
            (Column("", width=1), Column(context.format("amount"), width=2, align="right")),
            tuple((context.format(name), value) for name, value in rows),
            (context.format("difference"), context.money(found.difference)),
        ),
    )
