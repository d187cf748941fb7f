"""The open questions: the most important ones in boxes with space to write, the rest in tables."""

from typing import get_args

from hitchworth.localization.gap_statements import paid_by_answer
from hitchworth.model.gap import Addressee, ChecklistFact, MoneyAtStake, Phase, Question
from hitchworth.reports.content import AnyBlock, Column, Group, GroupedTable, Heading, Paragraph, QuestionBox, Table
from hitchworth.reports.context import ReportContext

BOXES_PER_PAGE = 4
MAX_BOXES = 2 * BOXES_PER_PAGE
"""These fill two pages, and are enough for one conversation."""


def question_boxes(context: ReportContext) -> tuple[AnyBlock, ...]:
    """Return the most important questions for the insurer, spread evenly over one page or two."""
    boxed = _boxed(context)
    if not boxed and not context.policies:
        return ()  # the sheet has said that no policy is entered
    if not boxed:
        return (Paragraph(context.format("no_questions")),)
    pages = 1 if len(boxed) <= BOXES_PER_PAGE else 2
    on_first = -(-len(boxed) // pages)
    return (
        Heading(context.format("questions"), new_page=True),
        Paragraph(context.format("questions_intro")),
        *(_question_box(context, at + 1, question, new_page=at == on_first) for at, question in enumerate(boxed)),
    )


def all_questions(context: ReportContext) -> tuple[AnyBlock, ...]:
    """Return every question for the insurer, by when to ask it, with the money at stake."""
    return _question_table(context, "all_questions", _asked_of(context, "insurer"))


def more_questions(context: ReportContext) -> tuple[AnyBlock, ...]:
    """Return the questions for the insurer that have no box, by when to ask them."""
    boxed = _boxed(context)
    others = tuple(each for each in _asked_of(context, "insurer") if each not in boxed)
    return _question_table(context, "more_questions", others)


def questions_for_authority(context: ReportContext) -> tuple[AnyBlock, ...]:
    """Return the questions for the registering authority, which need not know what an insurer would pay."""
    return _short_list(context, "questions_authority", _asked_of(context, "authority"), with_money=False)


def questions_for_builder(context: ReportContext) -> tuple[AnyBlock, ...]:
    """Return what to find out yourself."""
    return _short_list(context, "questions_builder", _asked_of(context, "builder"), with_money=True)


def _asked_of(context: ReportContext, addressee: Addressee) -> tuple[Question, ...]:
    return tuple(question for question in context.statement.questions if question.to == addressee)


def _boxed(context: ReportContext) -> tuple[Question, ...]:
    """Return the questions that get a box: those with money at stake, then the urgent ones without."""
    return tuple(question for question in _asked_of(context, "insurer") if _is_important(question))[:MAX_BOXES]


def _short_list(
    context: ReportContext, heading: str, to_ask: tuple[Question, ...], *, with_money: bool
) -> tuple[AnyBlock, ...]:
    """Return the questions of one addressee in a table, and the facts of a checklist in one below it."""
    if not to_ask:
        return ()
    money = (Column(context.format("money_at_stake"), align="right"),) if with_money else ()
    columns = (
        Column(context.format("question"), width=2),
        *money,
        Column(context.format("answer_name_date"), width=1),
    )
    rows = tuple(
        (
            "\n".join(filter(None, (each.text, each.why))),
            *((short_stake(context, each.money_at_stake),) if with_money else ()),
            "",
        )
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


def _question_box(context: ReportContext, number: int, question: Question, *, new_page: bool) -> QuestionBox:
    """Return the box: why it is asked and what a clear answer says are all that fits beside the room to write."""
    return QuestionBox(
        number=str(number),
        text=question.text,
        money=_money_at_stake(context, question.money_at_stake),
        remarks=(
            *((question.why,) if question.why else ()),
            *((context.format("clear_answer", text=question.clear_answer),) if question.clear_answer else ()),
        ),
        answer=context.format("answer"),
        signed=tuple(context.format(label) for label in ("said_by", "said_on", "reference")),
        new_page=new_page,
    )


def question_notes(context: ReportContext) -> tuple[AnyBlock, ...]:
    """Return for each question with money at stake what is paid under each answer, what to bring, and its source."""
    columns = (Column(context.format("question"), width=2), Column(context.format("preparation"), width=3))
    rows = tuple((each.text, _preparation(context, each)) for each in _boxed(context))
    return (Table(context.format("preparation_caption"), columns, rows),) if rows else ()


def _preparation(context: ReportContext, question: Question) -> str:
    remarks = (
        ("to_see_money", question.to_see_money),
        *(("bring", item) for item in question.bring),
        ("from_source", question.source),
    )
    paid = paid_by_answer(question, context.localizer)
    named = (context.format(name, text=text) for name, text in remarks if text)
    return "\n".join((*((paid,) if paid else ()), *named))


def _money_at_stake(context: ReportContext, stake: MoneyAtStake) -> str:
    """Return how much depends on the answer; empty where there is no amount."""
    return context.format("depends_on_answer", high=stake.high) if stake.high else ""


def _question_table(context: ReportContext, caption: str, questions: tuple[Question, ...]) -> tuple[GroupedTable, ...]:
    """Return the questions, a group for each phase."""
    columns = (
        Column(context.format("question"), width=4),
        Column(context.format("money_at_stake"), align="right"),
        Column(context.format("answer_name_date"), width=2),
    )
    in_phases = ((phase, tuple(each for each in questions if each.phase == phase)) for phase in get_args(Phase))
    groups = tuple(
        Group(context.localizer.heading("phase", phase), tuple(_question_row(context, each) for each in asked))
        for phase, asked in in_phases
        if asked
    )
    return (GroupedTable(context.format(caption), columns, groups),) if groups else ()


def _question_row(context: ReportContext, question: Question) -> tuple[str, str, str]:
    """Return the question with what a clear answer says below it, the money at stake, and space to write."""
    asked = "\n".join(filter(None, (question.text, question.clear_answer)))
    return (asked, short_stake(context, question.money_at_stake), "")
