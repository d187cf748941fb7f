"""The words of a gap statement: its paragraph, its questions and its cautions."""

from collections.abc import Iterable, Iterator, Sequence

from msgspec.structs import replace

from hitchworth.model.gap import GapStatement, Question
from hitchworth.model.standing import oldest_first
from hitchworth.reference.questions import bank_questions
from hitchworth.wording.after_loss import worded_after_loss
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
        after_loss=worded_after_loss(statement.after_loss, voice),
        cautions=tuple(voice.translated(caution) for caution in texts().cautions),
    )
    return replace(filled, statement=summary(filled, voice))


def _question(question: Question, voice: Voice) -> Question:
    entry, particulars = bank_questions()[question.entry], question.particulars
    why = voice.say(entry.why, **particulars)
    if "rule" in particulars:
        why = f"{why} {voice.say(texts().gap['rule_of_place'], **particulars)}"
    if "policies" in particulars:
        why = f"{why} {voice.say(texts().gap['concerned'], **particulars)}"
    return replace(
        question,
        text=voice.say(entry.text, **particulars),
        why=why,
        clear_answer=voice.translated(entry.clear_answer),
        bring=tuple(voice.translated(item) for item in entry.bring),
        source=voice.translated(question.source or texts().gap["common_practice"]),
    )


def summary(statement: GapStatement, voice: Voice, *, assumptions: bool = True) -> str:
    """What it costs and is worth, the verdict, the largest gap, what the figures rest on, the dearest question."""
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
        _resting("answers", _answered(statement), voice, _answered_facts(statement)),
        _resting("assumptions", _assumed(statement), voice) if assumptions else "",
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


def _answered(statement: GapStatement) -> Iterator[tuple[str, str]]:
    """Policy and term of everything that rests on a recorded answer."""
    for settlement in statement.settlements:
        for note in settlement.answered:
            yield settlement.policy, note.code.removeprefix("answered_")


def _answered_facts(statement: GapStatement) -> tuple[str, ...]:
    """The facts that rest on a recorded answer; the newest stands, and one of null leaves its fact open."""
    newest = {answer.fact: answer.value for answer in oldest_first(statement.answers) if answer.fact is not None}
    return tuple(fact for fact, value in newest.items() if value is not None)


def _assumed(statement: GapStatement) -> Iterator[tuple[str, str]]:
    """Policy and term of every assumption that moves a figure: a question with money on it is open about it."""
    for question in statement.questions:
        settles = question.settles
        if settles.policy and settles.term and question.money_at_stake.high:
            yield settles.policy, settles.term


def assumed_terms(statement: GapStatement, voice: Voice) -> tuple[str, ...]:
    """What is assumed and moves a figure, a line for each policy."""
    return tuple(_by_policy(_assumed(statement), voice))


def _by_policy(terms: Iterable[tuple[str, str]], voice: Voice) -> list[str]:
    by_policy: dict[str, dict[str, None]] = {}
    for policy, term in terms:
        by_policy.setdefault(policy, {})[voice.label("term", term)] = None
    return [
        voice.say(texts().gap["terms_of_policy"], policy=policy, terms=", ".join(labels))
        for policy, labels in by_policy.items()
    ]


def _resting(on: str, terms: Iterable[tuple[str, str]], voice: Voice, facts: Sequence[str] = ()) -> str:
    """What the figures rest on, policy by policy, and then the facts of the trailer."""
    named = _by_policy(terms, voice)
    if facts:
        named_facts = ", ".join(voice.label("fact", fact) for fact in facts)
        named.append(voice.say(texts().gap["facts_of_build"], facts=named_facts))
    if not named:
        return ""
    return voice.say(texts().gap[on], terms="; ".join(named))


def _first_question(statement: GapStatement, voice: Voice) -> str:
    first = next(iter(statement.questions), None)
    if first is None or not first.money_at_stake.high:
        return ""
    return voice.say(texts().gap["question"], high=first.money_at_stake.high, question=first.text)
