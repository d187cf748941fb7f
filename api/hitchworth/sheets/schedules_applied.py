"""The schedules of depreciation behind the percent good of the lines, each with its source."""

from collections.abc import Iterator

from hitchworth.model.build import Schedule
from hitchworth.model.estimate import EstimateLine
from hitchworth.reference.schedules import schedule_named
from hitchworth.sheets.content import AnyBlock, Column, Table
from hitchworth.sheets.subject import Subject
from hitchworth.wording.voice import capital


def schedules_applied(subject: Subject) -> tuple[AnyBlock, ...]:
    """Method, life, residual and source of every schedule that a line follows, like ones together.

    A schedule that a line writes out itself has no name: it goes by what the line is called.
    """
    estimate = subject.statement.estimate
    given = {(row.kind, row.line): row.schedule for row in estimate.schedules_given}
    alike: dict[tuple[str, ...], dict[str, None]] = {}
    for line in estimate.lines:
        for known, terms in _applied(subject, line, given.get((line.kind, line.id))):
            alike.setdefault(terms, {})[known] = None
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


def _applied(subject: Subject, line: EstimateLine, given: Schedule | None) -> Iterator[tuple[str, tuple[str, ...]]]:
    """What the line's schedule is called, with its terms; a schedule of the build goes before one of the library."""
    name = line.schedule
    own, record = subject.build.schedules.get(name), schedule_named(name)
    if given is not None:
        yield line.description, _described(subject, given, subject.say("given_with_the_line"))
    elif own is not None:
        yield subject.voice.label("category", name), _described(subject, own, subject.voice.heading("mark", "own"))
    elif record is not None:
        source = subject.voice.translated(record.source) or subject.voice.heading("mark", record.mark)
        yield subject.voice.label("category", name), _described(subject, record.schedule, source)


def _described(subject: Subject, schedule: Schedule, source: str) -> tuple[str, ...]:
    formats = subject.voice.formats
    return (
        subject.voice.label("method", schedule.method),
        "" if schedule.life_years is None else formats.number(schedule.life_years),
        formats.percent(schedule.residual),
        source,
    )
