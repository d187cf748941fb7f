"""The questions on which no figure hangs, in a table by the time at which they are best asked."""

from typing import get_args

from hitchworth.model.gap import Phase, Question
from hitchworth.sheets.content import Column, Group, GroupedTable
from hitchworth.sheets.subject import Subject


def question_table(subject: Subject, asked: tuple[Question, ...], first: int) -> tuple[GroupedTable, ...]:
    """A group for each phase of the build, in their order. `first`: the number of the first question."""
    if not asked:
        return ()
    columns = (
        Column(subject.say("number")),
        Column(subject.say("question"), width=2),
        Column(subject.say("answer_name_date"), width=1),
    )
    groups, place = [], first
    for phase in get_args(Phase):
        of_phase = [question for question in asked if question.phase == phase]
        rows = tuple(_row(number, question) for number, question in enumerate(of_phase, place))
        place += len(rows)
        if rows:
            groups.append(Group(subject.voice.heading("phase", phase), rows))
    return (GroupedTable(subject.say("more_questions"), columns, tuple(groups)),)


def _row(number: int, question: Question) -> tuple[str, str, str]:
    """The question, below it what a clear answer says, and room to write."""
    return (str(number), "\n".join(filter(None, (question.text, question.clear_answer))), "")
