"""The questions on which no figure hangs, in a table by the time at which they are best asked."""

from typing import get_args

from hitchworth.model.gap import Phase, Question
from hitchworth.reports.content import Column, Group, GroupedTable
from hitchworth.reports.context import ReportContext


def question_table(context: ReportContext, asked: tuple[Question, ...], first: int) -> tuple[GroupedTable, ...]:
    """A group for each phase of the build, in their order. `first`: the number of the first question."""
    if not asked:
        return ()
    columns = (
        Column(context.format("number")),
        Column(context.format("question"), width=2),
        Column(context.format("answer_name_date"), width=1),
    )
    groups, place = [], first
    for phase in get_args(Phase):
        of_phase = [question for question in asked if question.phase == phase]
        rows = tuple(_row(number, question) for number, question in enumerate(of_phase, place))
        place += len(rows)
        if rows:
            groups.append(Group(context.localizer.heading("phase", phase), rows))
    return (GroupedTable(context.format("more_questions"), columns, tuple(groups)),)


def _row(number: int, question: Question) -> tuple[str, str, str]:
    """The question, below it what a clear answer says, and room to write."""
    return (str(number), "\n".join(filter(None, (question.text, question.clear_answer))), "")
