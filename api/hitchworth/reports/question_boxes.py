"""A question in a box: what hangs on it, what a clear answer says, and room to write."""

from hitchworth.model.gap import MoneyAtStake, Question
from hitchworth.reports.content import QuestionBox
from hitchworth.reports.context import ReportContext


def question_box(context: ReportContext, place: int, question: Question) -> QuestionBox:
    """The box of one question. `place`: its number on the sheet."""
    why = f"{question.why} {context.format('from_source', text=question.source)}" if question.source else question.why
    remarks = {"clear_answer": question.clear_answer, "why": why, "bring": "; ".join(question.bring)}
    return QuestionBox(
        number=str(place),
        text=question.text,
        money=_money(context, question.money_at_stake),
        remarks=tuple(context.format(name, text=text) for name, text in remarks.items() if text),
        answer=context.format("answer"),
        signed=tuple(context.format(label) for label in ("said_by", "said_on", "reference")),
    )


def _money(context: ReportContext, stake: MoneyAtStake) -> str:
    """Nothing is said of money where none hangs on the answer."""
    if not stake.high:
        return ""
    if stake.low == stake.high:
        return context.format("at_stake_same", high=stake.high)
    return context.format("at_stake" if stake.low else "at_stake_up_to", low=stake.low, high=stake.high)
