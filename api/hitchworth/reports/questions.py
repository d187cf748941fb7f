"""The open questions: the most important ones in boxes with space to write, the rest in a table; then the answers."""

from typing import get_args

from hitchworth.localization.gap_statements import paid_by_answer
from hitchworth.localization.terms import term_label
from hitchworth.model.gap import Addressee, ChecklistFact, MoneyAtStake, Phase, Question
from hitchworth.model.policy import Answer
from hitchworth.reports.content import AnyBlock, Column, Group, GroupedTable, Heading, Paragraph, QuestionBox, Table
from hitchworth.reports.context import ReportContext
from hitchworth.reports.policy_terms import value_text

MAX_BOXES = 12
"""This many boxes fill three pages, and are enough for one conversation."""


def questions(context: ReportContext) -> tuple[AnyBlock, ...]:
    """Return the questions for the insurer, those for the authority, what to find out yourself, and the answers."""
    open_questions = context.statement.questions
    by_addressee = {to: tuple(each for each in open_questions if each.to == to) for to in get_args(Addressee)}
    return (
        *_for_the_insurer(context, by_addressee["insurer"]),
        *_short_list(context, "questions_authority", by_addressee["authority"]),
        *_short_list(context, "questions_builder", by_addressee["builder"]),
        *_recorded_answers(context),
    )


def _for_the_insurer(context: ReportContext, to_ask: tuple[Question, ...]) -> tuple[AnyBlock, ...]:
    """Return boxes for the most important questions, and a table of the others by phase."""
    if not to_ask:
        return ()
    in_boxes = tuple(question for question in to_ask if _is_important(question))[:MAX_BOXES]
    in_table = tuple(question for question in to_ask if question not in in_boxes)
    return (
        Heading(context.format("questions"), new_page=True),
        Paragraph(context.format("questions_intro")),
        *(_question_box(context, number, question) for number, question in enumerate(in_boxes, 1)),
        *_question_table(context, in_table, len(in_boxes) + 1),
    )


def _short_list(context: ReportContext, heading: str, to_ask: tuple[Question, ...]) -> tuple[AnyBlock, ...]:
    """Return the questions of one addressee in a table, and the facts of a checklist in one below it."""
    if not to_ask:
        return ()
    columns = (
        Column(context.format("question"), width=2),
        Column(context.format("money_at_stake"), align="right"),
        Column(context.format("answer_name_date"), width=1),
    )
    rows = tuple(
        ("\n".join(filter(None, (each.text, each.why))), short_stake(context, each.money_at_stake), "")
        for each in to_ask
    )
    facts = tuple(fact for question in to_ask for fact in question.checklist)
    return (Table(context.format(heading), columns, rows), *_checklist(context, facts))


def _checklist(context: ReportContext, facts: tuple[ChecklistFact, ...]) -> tuple[Table, ...]:
    if not facts:
        return ()
    columns = (
        Column(context.format("fact_to_find"), width=2),
        Column(context.format("how_to_find_out"), width=2),
        Column(context.format("result_noted"), width=1),
    )
    return (
        Table(
            context.format("checklist_of_facts"),
            columns,
            tuple((fact.question, fact.measure, "") for fact in facts),
        ),
    )


def short_stake(context: ReportContext, stake: MoneyAtStake) -> str:
    """Return the most that an answer moves, for a narrow column; a dash where no amount can be computed."""
    return context.format("up_to", high=stake.high) if stake.high else "–"


def _is_important(question: Question) -> bool:
    """Return whether money is at stake, or the question is urgent without."""
    return question.money_at_stake.high > 0 or question.urgency == 1


def _question_box(context: ReportContext, number: int, question: Question) -> QuestionBox:
    why = f"{question.why} {context.format('from_source', text=question.source)}" if question.source else question.why
    remarks = {
        "clear_answer": question.clear_answer,
        "why": why,
        "to_see_money": question.to_see_money,
        "bring": "; ".join(question.bring),
    }
    return QuestionBox(
        number=str(number),
        text=question.text,
        money=_money_at_stake(context, question.money_at_stake),
        remarks=(
            *filter(None, (paid_by_answer(question, context.localizer),)),
            *(context.format(name, text=text) for name, text in remarks.items() if text),
        ),
        answer=context.format("answer"),
        signed=tuple(context.format(label) for label in ("said_by", "said_on", "reference")),
    )


def _money_at_stake(context: ReportContext, stake: MoneyAtStake) -> str:
    """Return the range of the money at stake; empty where there is none."""
    if not stake.high:
        return ""
    if stake.low == stake.high:
        return context.format("at_stake_same", high=stake.high)
    return context.format("at_stake" if stake.low else "at_stake_up_to", low=stake.low, high=stake.high)


def _question_table(context: ReportContext, rest: tuple[Question, ...], first: int) -> tuple[GroupedTable, ...]:
    """Return the other questions, a group for each phase. `first`: the number of the first question."""
    if not rest:
        return ()
    columns = (
        Column(context.format("number")),
        Column(context.format("question"), width=2),
        Column(context.format("answer_name_date"), width=1),
    )
    groups, number = [], first
    for phase in get_args(Phase):
        in_phase = [question for question in rest if question.phase == phase]
        rows = tuple(_question_row(index, question) for index, question in enumerate(in_phase, number))
        number += len(rows)
        if rows:
            groups.append(Group(context.localizer.heading("phase", phase), rows))
    return (GroupedTable(context.format("more_questions"), columns, tuple(groups)),)


def _question_row(number: int, question: Question) -> tuple[str, str, str]:
    """Return the number, the question with what a clear answer says below it, and space to write."""
    return (str(number), "\n".join(filter(None, (question.text, question.clear_answer))), "")


def _recorded_answers(context: ReportContext) -> tuple[Table, ...]:
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
        about = f"{answer.policy}: {term_label(localizer, answer.term or '')}"
    said_on = localizer.formats.day(answer.said_on) if answer.said_on else ""
    value = value_text(context, answer.term or "", answer.value)
    return (about, value, answer.said_by or "", said_on, answer.reference or "")
