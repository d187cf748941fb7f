"""The open questions: those that decide most in boxes with room to write, the others in a table; then the answers."""

from hitchworth.model.gap import Question
from hitchworth.reports.content import AnyBlock, Heading, Paragraph
from hitchworth.reports.context import ReportContext
from hitchworth.reports.question_boxes import question_box
from hitchworth.reports.question_table import question_table
from hitchworth.reports.recorded_answers import recorded_answers

BOXES = 12
"""So many boxes fill three pages, and are as much as one conversation holds."""


def questions(context: ReportContext) -> tuple[AnyBlock, ...]:
    """The questions in the order of the money on them, then the recorded answers."""
    return (*_asked(context), *recorded_answers(context))


def _asked(context: ReportContext) -> tuple[AnyBlock, ...]:
    asked = context.statement.questions
    if not asked:
        return ()
    boxed = tuple(question for question in asked if _decides(question))[:BOXES]
    others = tuple(question for question in asked if question not in boxed)
    return (
        Heading(context.format("questions"), new_page=True),
        Paragraph(context.format("questions_intro")),
        *(question_box(context, place, question) for place, question in enumerate(boxed, 1)),
        *question_table(context, others, len(boxed) + 1),
    )


def _decides(question: Question) -> bool:
    """Money hangs on it, or it comes first all the same."""
    return question.money_at_stake.high > 0 or question.urgency == 1
