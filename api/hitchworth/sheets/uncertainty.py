"""Which lines widen the range of the replacement cost most: the receipts to find first."""

from hitchworth.model.build import Component
from hitchworth.sheets.content import AnyBlock, Column, Table
from hitchworth.sheets.subject import Subject

MOST = 5


def uncertainty(subject: Subject) -> tuple[AnyBlock, ...]:
    """The lines with the greatest part of the variance, with the evidence that there is."""
    evidence = {part.id: part for part in subject.build.components}
    lines = sorted(subject.statement.estimate.lines, key=lambda line: line.variance_share, reverse=True)[:MOST]
    rows = tuple(
        (line.description, _evidence(subject, evidence.get(line.id)), subject.percent(line.variance_share))
        for line in lines
        if line.variance_share
    )
    columns = (
        Column(subject.say("item"), width=1),
        Column(subject.say("evidence")),
        Column(subject.say("variance_share"), align="right"),
    )
    return (Table(subject.say("variance_caption"), columns, rows),) if rows else ()


def _evidence(subject: Subject, part: Component | None) -> str:
    return subject.say("work") if part is None else subject.voice.heading("evidence", part.evidence_grade)
