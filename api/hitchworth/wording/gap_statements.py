"""The words of a gap statement: its paragraph, its questions and its cautions."""

from msgspec.structs import replace

from hitchworth.model.gap import GapStatement, Question
from hitchworth.wording.assessments import worded_assessment
from hitchworth.wording.estimates import worded_estimate
from hitchworth.wording.settlements import worded_settlement
from hitchworth.wording.texts import texts
from hitchworth.wording.voice import Voice


def worded_gap_statement(statement: GapStatement, voice: Voice) -> GapStatement:
    """The statement with every text filled in, and the locale in which it was filled."""
    filled = replace(
        statement,
        locale=voice.tongue.formats,
        estimate=worded_estimate(statement.estimate, voice),
        assessment=worded_assessment(statement.assessment, voice),
        settlements=tuple(worded_settlement(settlement, voice) for settlement in statement.settlements),
        questions=tuple(_question(question, voice) for question in statement.questions),
        cautions=tuple(voice.translated(caution) for caution in texts().cautions),
    )
    return replace(filled, statement=_paragraph(filled, voice))


def _question(question: Question, voice: Voice) -> Question:
    words = texts().questions[question.topic]
    return replace(
        question,
        text=voice.say(words.text, **question.particulars),
        why=voice.say(words.why, **question.particulars),
        bring=tuple(voice.translated(item) for item in words.bring),
        source=voice.translated(question.source),
    )


def _paragraph(statement: GapStatement, voice: Voice) -> str:
    """What it costs, what it is worth, the verdict, the largest gap, the question with most money on it."""
    totals = statement.estimate.totals
    value = voice.say(
        texts().gap["value"],
        as_of=statement.as_of,
        replacement_cost=totals.replacement_cost,
        actual_cash_value=totals.actual_cash_value,
    )
    sentences = (
        value,
        statement.assessment.statement,
        _largest_gap(statement, voice),
        _first_question(statement, voice),
    )
    return " ".join(sentence for sentence in sentences if sentence)


def _largest_gap(statement: GapStatement, voice: Voice) -> str:
    worst = max(statement.settlements, key=lambda settlement: settlement.gap, default=None)
    if worst is None or worst.gap <= 0:
        return voice.say(texts().gap["no_gap"])
    return voice.say(
        texts().gap["worst"],
        policy=worst.policy,
        loss=worst.loss,
        payable=worst.payable,
        replacement_cost=worst.replacement_cost,
        gap=worst.gap,
    )


def _first_question(statement: GapStatement, voice: Voice) -> str:
    if not statement.questions:
        return ""
    first = statement.questions[0]
    return voice.say(texts().gap["question"], high=first.money_at_stake.high, question=first.text)
