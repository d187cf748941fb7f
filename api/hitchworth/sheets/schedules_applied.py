"""The schedules of depreciation behind the percent good of the lines, each with its source."""

from collections.abc import Iterator

from hitchworth.model.build import Schedule
from hitchworth.reference.schedules import schedule_named
from hitchworth.sheets.content import AnyBlock, Column, Table
from hitchworth.sheets.subject import Subject
from hitchworth.wording.voice import capital


def schedules_applied(subject: Subject) -> tuple[AnyBlock, ...]:
    """Method, life, residual and source of every schedule that a line follows by name, like ones together."""
    names = dict.fromkeys(line.schedule for line in subject.statement.estimate.lines)
    alike: dict[tuple[str, ...], list[str]] = {}
    for name in names:
        for terms in _terms(subject, name):
            alike.setdefault(terms, []).append(subject.voice.label("category", name))
    rows = tuple((capital(", ".join(known)), *terms) for terms, known in alike.items())
    columns = (
        Column(subject.say("schedule"), width=4),
        Column(subject.say("method")),
        Column(subject.say("life_years"), align="right"),
        Column(subject.say("residual"), align="right"),
        Column(subject.say("source"), width=6),
    )
    return (Table(subject.say("schedules_caption"), columns, rows),) if rows else ()


def schedule_name(subject: Subject, name: str) -> str:
    """What a schedule is called: mostly it has the name of the category that follows it."""
    return subject.say("none") if name == "none" else subject.voice.label("category", name)


def _terms(subject: Subject, name: str) -> Iterator[tuple[str, ...]]:
    """A schedule of the build goes before one of the library; one that a line writes out has no name to find it by."""
    own, record = subject.build.schedules.get(name), schedule_named(name)
    if own is not None:
        yield _described(subject, own, subject.voice.heading("mark", "own"))
    elif record is not None:
        source = subject.voice.translated(record.source) or subject.voice.heading("mark", record.mark)
        yield _described(subject, record.schedule, source)


def _described(subject: Subject, schedule: Schedule, source: str) -> tuple[str, ...]:
    formats = subject.voice.formats
    return (
        subject.voice.label("method", schedule.method),
        "" if schedule.life_years is None else formats.number(schedule.life_years),
        formats.percent(schedule.residual),
        source,
    )
