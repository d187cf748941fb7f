"""Every open question in a box, with room to write; and the answers that are on record."""

from hitchworth.model.gap import Question
from hitchworth.model.policy import Answer
from hitchworth.sheets.content import AnyBlock, Column, Heading, Paragraph, QuestionBox, Table
from hitchworth.sheets.policy_terms import term_value
from hitchworth.sheets.subject import Subject


def question_boxes(subject: Subject) -> tuple[AnyBlock, ...]:
    """The questions in the order of the money on them, then the recorded answers."""
    questions, answers = subject.statement.questions, subject.statement.answers
    asked: tuple[AnyBlock, ...] = (
        Heading(subject.say("questions"), new_page=True),
        Paragraph(subject.say("questions_intro")),
        *(_box(subject, place, question) for place, question in enumerate(questions, 1)),
    )
    return (*(asked if questions else ()), *((_answers(subject, answers),) if answers else ()))


def _box(subject: Subject, place: int, question: Question) -> QuestionBox:
    stake = question.money_at_stake
    remarks = [subject.say("why", text=question.why)]
    if question.bring:
        remarks.append(subject.say("bring", text="; ".join(question.bring)))
    if question.source:
        remarks.append(subject.say("from_source", text=question.source))
    return QuestionBox(
        number=str(place),
        text=question.text,
        money=subject.say("at_stake_same" if stake.low == stake.high else "at_stake", low=stake.low, high=stake.high),
        remarks=tuple(remarks),
        answer=subject.say("answer"),
        signed=tuple(subject.say(label) for label in ("said_by", "said_on", "reference")),
    )


def _answers(subject: Subject, answers: tuple[Answer, ...]) -> Table:
    return Table(
        subject.say("answers_caption"),
        tuple(
            Column(subject.say(title), width=width)
            for title, width in (("about", 2), ("answer", 2), ("said_by", 1), ("said_on", 0), ("reference", 1))
        ),
        tuple(_answer(subject, answer) for answer in answers),
    )


def _answer(subject: Subject, answer: Answer) -> tuple[str, ...]:
    voice = subject.voice
    if answer.fact is not None:
        about = voice.heading("fact", answer.fact)
    else:
        about = f"{answer.policy}: {voice.label('term', answer.term or '')}"
    said_on = voice.formats.day(answer.said_on) if answer.said_on else ""
    value = term_value(subject, answer.term or "", answer.value)
    return (about, value, answer.said_by or "", said_on, answer.reference or "")
