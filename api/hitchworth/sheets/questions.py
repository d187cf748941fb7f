"""The open questions: those that decide most in boxes with room to write, the others in a table; then the answers."""

from hitchworth.model.gap import Question
from hitchworth.sheets.content import AnyBlock, Heading, Paragraph
from hitchworth.sheets.question_boxes import question_box
from hitchworth.sheets.question_table import question_table
from hitchworth.sheets.recorded_answers import recorded_answers
from hitchworth.sheets.subject import Subject

BOXES = 12
"""So many boxes fill three pages, and are as much as one conversation holds."""


def questions(subject: Subject) -> tuple[AnyBlock, ...]:
    """The questions in the order of the money on them, then the recorded answers."""
    return (*_asked(subject), *recorded_answers(subject))


def _asked(subject: Subject) -> tuple[AnyBlock, ...]:
    asked = subject.statement.questions
    if not asked:
        return ()
    boxed = tuple(question for question in asked if _decides(question))[:BOXES]
    others = tuple(question for question in asked if question not in boxed)
    return (
        Heading(subject.say("questions"), new_page=True),
        Paragraph(subject.say("questions_intro")),
        *(question_box(subject, place, question) for place, question in enumerate(boxed, 1)),
        *question_table(subject, others, len(boxed) + 1),
    )


def _decides(question: Question) -> bool:
    """Money hangs on it, or it comes first all the same."""
    return question.money_at_stake.high > 0 or question.urgency == 1
