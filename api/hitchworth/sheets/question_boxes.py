"""A question in a box: what hangs on it, what a clear answer says, and room to write."""

from hitchworth.model.gap import MoneyAtStake, Question
from hitchworth.sheets.content import QuestionBox
from hitchworth.sheets.subject import Subject


def question_box(subject: Subject, place: int, question: Question) -> QuestionBox:
    """The box of one question. `place`: its number on the sheet."""
    why = f"{question.why} {subject.say('from_source', text=question.source)}" if question.source else question.why
    remarks = {"clear_answer": question.clear_answer, "why": why, "bring": "; ".join(question.bring)}
    return QuestionBox(
        number=str(place),
        text=question.text,
        money=_money(subject, question.money_at_stake),
        remarks=tuple(subject.say(name, text=text) for name, text in remarks.items() if text),
        answer=subject.say("answer"),
        signed=tuple(subject.say(label) for label in ("said_by", "said_on", "reference")),
    )


def _money(subject: Subject, stake: MoneyAtStake) -> str:
    """Nothing is said of money where none hangs on the answer."""
    if not stake.high:
        return ""
    if stake.low == stake.high:
        return subject.say("at_stake_same", high=stake.high)
    return subject.say("at_stake" if stake.low else "at_stake_up_to", low=stake.low, high=stake.high)
