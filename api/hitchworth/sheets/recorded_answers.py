"""The answers on which figures of the sheet rest: who said what, and when."""

from hitchworth.model.policy import Answer
from hitchworth.sheets.content import Column, Table
from hitchworth.sheets.policy_terms import term_value
from hitchworth.sheets.subject import Subject


def recorded_answers(subject: Subject) -> tuple[Table, ...]:
    """One table, or none where nothing has been answered."""
    answers = subject.statement.answers
    if not answers:
        return ()
    columns = tuple(
        Column(subject.say(title), width=width)
        for title, width in (("about", 2), ("answer", 2), ("said_by", 1), ("said_on", 0), ("reference", 1))
    )
    return (Table(subject.say("answers_caption"), columns, tuple(_row(subject, answer) for answer in answers)),)


def _row(subject: Subject, answer: Answer) -> tuple[str, ...]:
    voice = subject.voice
    if answer.fact is not None:
        about = voice.heading("fact", answer.fact)
    else:
        about = f"{answer.policy}: {voice.label('term', answer.term or '')}"
    said_on = voice.formats.day(answer.said_on) if answer.said_on else ""
    value = term_value(subject, answer.term or "", answer.value)
    return (about, value, answer.said_by or "", said_on, answer.reference or "")
