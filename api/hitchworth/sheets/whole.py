"""The whole trailer by one schedule, beside the sum of its lines."""

from hitchworth.sheets.content import AnyBlock, Column, Table
from hitchworth.sheets.schedules_applied import schedule_name
from hitchworth.sheets.subject import Subject


def whole(subject: Subject) -> tuple[AnyBlock, ...]:
    """Where the estimate was asked for it: schedule with its source, base, age, percent good, value, difference."""
    found = subject.statement.estimate.whole_by_schedule
    if found is None:
        return ()
    rows = (
        ("schedule", found.title or schedule_name(subject, found.schedule)),
        ("source", found.source or subject.say("none")),
        ("whole_base", subject.money(found.base)),
        ("age", subject.voice.formats.number(found.age_years, 1, 1)),
        ("percent_good", subject.percent(found.percent_good)),
        ("whole_value", subject.money(found.value)),
        ("whole_lines", subject.money(found.actual_cash_value)),
    )
    return (
        Table(
            subject.say("whole_caption"),
            (Column("", width=1), Column(subject.say("amount"), width=2, align="right")),
            tuple((subject.say(name), value) for name, value in rows),
            (subject.say("difference"), subject.money(found.difference)),
        ),
    )
