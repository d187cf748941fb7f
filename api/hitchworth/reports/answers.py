"""The answers on record: who said what, when, and where it is written."""

from hitchworth.localization.localizer import capital
from hitchworth.localization.terms import term_label
from hitchworth.model.answer import Answer
from hitchworth.reports.content import Column, Table
from hitchworth.reports.context import ReportContext
from hitchworth.reports.policy_terms import value_text


def recorded_answers(context: ReportContext) -> tuple[Table, ...]:
    """Return one table: who said what, and when. None where nothing has been answered."""
    answers = context.statement.answers
    if not answers:
        return ()
    columns = tuple(
        Column(context.format(title), width=width)
        for title, width in (("about", 2), ("answer", 2), ("said_by", 1), ("said_on", 0), ("reference", 1))
    )
    return (Table(context.format("answers_caption"), columns, tuple(_answer_row(context, each) for each in answers)),)


def _answer_row(context: ReportContext, answer: Answer) -> tuple[str, ...]:
    localizer = context.localizer
    if answer.fact is not None:
        about = localizer.heading("fact", answer.fact)
    else:
        about = context.format(
            "named", name=capital(answer.policy or answer.loss or ""), value=term_label(localizer, answer.term or "")
        )
    said_on = localizer.formats.day(answer.said_on) if answer.said_on else ""
    value = capital(value_text(context, answer.term or "", answer.value))
    return (about, value, answer.said_by or "", said_on, answer.reference or "")
