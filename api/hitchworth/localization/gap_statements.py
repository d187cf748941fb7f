"""The texts of a gap statement: its summary, its questions, its cautions, and what to do after a loss."""

from collections.abc import Iterable, Iterator, Sequence

from msgspec.structs import replace

from hitchworth.localization.assessments import localize_assessment
from hitchworth.localization.estimates import localize_estimate
from hitchworth.localization.localizer import Localizer
from hitchworth.localization.notes import localize_note, term_of
from hitchworth.localization.protections import localize_protection
from hitchworth.localization.settlements import localize_settlement
from hitchworth.localization.terms import term_label, term_value
from hitchworth.localization.texts import texts
from hitchworth.model.after_loss import AfterLoss, TimeLimit
from hitchworth.model.gap import ChecklistFact, GapStatement, PlausibleAnswer, Question
from hitchworth.model.settlement import Settlement
from hitchworth.model.timeline import newest_facts
from hitchworth.reference.claims import claims
from hitchworth.reference.questions import bank_questions


def localize_gap_statement(statement: GapStatement, localizer: Localizer) -> GapStatement:
    """Return the statement with every text filled in, and the locale of the texts."""
    filled = replace(
        statement,
        locale=localizer.locale.formats,
        estimate=localize_estimate(statement.estimate, localizer),
        assessment=localize_assessment(statement.assessment, localizer),
        settlements=tuple(localize_settlement(settlement, localizer) for settlement in statement.settlements),
        questions=tuple(_question(question, localizer) for question in statement.questions),
        after_loss=localize_after_loss(statement.after_loss, localizer),
        protection=localize_protection(statement.protection, localizer),
        notes=tuple(localize_note(note, localizer) for note in statement.notes),
        cautions=tuple(localizer.translate(caution) for caution in texts().cautions),
    )
    return replace(filled, statement=summary(filled, localizer))


def _question(question: Question, localizer: Localizer) -> Question:
    entry, parameters = bank_questions()[question.entry], question.parameters
    why = localizer.format(entry.why, **parameters)
    if "rule" in parameters:
        why = f"{why} {localizer.format(texts().gap['rule_of_place'], **parameters)}"
    if "policies" in parameters:
        why = f"{why} {localizer.format(texts().gap['concerned'], **parameters)}"
    return replace(
        question,
        text=localizer.format(entry.text, **parameters),
        to_see_money=localizer.translate(entry.to_see_money) if not question.money_at_stake.high else "",
        plausible=tuple(_plausible(answer, question.settles.term or "", localizer) for answer in question.plausible),
        checklist=tuple(_checklist_fact(fact, localizer) for fact in question.checklist),
        why=why,
        clear_answer=localizer.translate(entry.clear_answer),
        bring=tuple(localizer.translate(item) for item in entry.bring),
        source=localizer.translate(question.source or texts().gap["common_practice"]),
    )


def paid_by_answer(question: Question, localizer: Localizer) -> str:
    """Return what is paid under each plausible answer, for the loss on which the answer moves the most.

    `question` is localized. Empty where no figure depends on the answer, and where the other open terms leave the same
    range under every answer: then it says nothing.
    """
    if len({(answer.payable.low, answer.payable.high) for answer in question.plausible}) < 2:
        return ""
    answers = "; ".join(_paid(answer, localizer) for answer in question.plausible)
    loss = max(question.money_at_stake.by_loss, key=lambda stake: stake.amount).loss
    return localizer.format(texts().gap["paid_by_answer"], loss=loss, answers=answers)


def _paid(answer: PlausibleAnswer, localizer: Localizer) -> str:
    payable = answer.payable
    text = texts().gap["answer_pays" if payable.low == payable.high else "answer_pays_range"]
    return localizer.format(text, answer=answer.text, low=payable.low, high=payable.high)


def _plausible(answer: PlausibleAnswer, term: str, localizer: Localizer) -> PlausibleAnswer:
    return replace(answer, text=term_value(localizer, term, answer.value))


def _checklist_fact(fact: ChecklistFact, localizer: Localizer) -> ChecklistFact:
    return replace(fact, question=localizer.translate(fact.question), measure=localizer.translate(fact.measure))


def summary(statement: GapStatement, localizer: Localizer, *, whole: bool = True) -> str:
    """Return cost and value, the verdict, the largest gap, what the figures are based on, and the top question.

    `whole`: False leaves out the assumptions and the question, for a page that lists them.
    """
    sentences = (
        _value(statement, localizer),
        statement.assessment.statement,
        _largest_gap(statement, localizer),
        may_be_avoided(statement.settlements, localizer),
        _based_on("answers", _answered(statement), localizer, _answered_facts(statement)),
        *(
            (_based_on("assumptions", _assumed(statement), localizer), _first_question(statement, localizer))
            if whole
            else ()
        ),
    )
    return " ".join(sentence for sentence in sentences if sentence)


def _value(statement: GapStatement, localizer: Localizer) -> str:
    """Return cost and value; where nothing is valued, that."""
    totals = statement.estimate.totals
    if not statement.estimate.lines:
        return " ".join(note.text for note in statement.estimate.notes)
    return localizer.format(
        texts().gap["value"],
        as_of=statement.as_of,
        replacement_cost=totals.replacement_cost,
        actual_cash_value=totals.actual_cash_value,
    )


def _largest_gap(statement: GapStatement, localizer: Localizer) -> str:
    """Return the largest gap; where nothing is settled, what is missing for that."""
    if statement.notes:
        return " ".join(note.text for note in statement.notes)
    worst = max(statement.settlements, key=lambda settlement: settlement.gap, default=None)
    if worst is None or worst.gap <= 0:
        return localizer.format(texts().gap["no_gap"])
    return localizer.format(
        texts().gap["worst"],
        policy=worst.policy,
        loss=worst.loss,
        payable=worst.payable,
        replacement_cost=worst.replacement_cost,
        gap=worst.gap,
    )


def may_be_avoided(settlements: Sequence[Settlement], localizer: Localizer) -> str:
    """Return which policies may be voided, and pay nothing, because the insurer was not told what is built."""
    policies = dict.fromkeys(each.policy for each in settlements if each.if_avoided is not None)
    return localizer.format(texts().gap["may_be_avoided"], policies=", ".join(policies)) if policies else ""


def _answered(statement: GapStatement) -> Iterator[tuple[str, str]]:
    """Yield policy and term of everything that is based on a recorded answer."""
    for settlement in statement.settlements:
        for note in settlement.answered:
            if note.about == settlement.policy:
                yield settlement.policy, term_of(note)


def _answered_facts(statement: GapStatement) -> tuple[str, ...]:
    """Return the facts based on a recorded answer; the newest counts, and a null answer leaves its fact open."""
    return tuple(fact for fact, value in newest_facts(statement.answers).items() if value is not None)


def _assumed(statement: GapStatement) -> Iterator[tuple[str, str]]:
    """Yield policy and term of every assumption that changes a figure: its open question has money at stake."""
    for question in statement.questions:
        settles = question.settles
        moves_a_figure = bool(question.plausible) and question.money_at_stake.high > 0
        if settles.policy and settles.term and moves_a_figure:
            yield settles.policy, settles.term


def assumed_terms(statement: GapStatement, localizer: Localizer) -> tuple[str, ...]:
    """Return the assumptions that change a figure, a line for each policy."""
    return tuple(f"{policy}: {labels}" for policy, labels in _by_policy(_assumed(statement), localizer).items())


def _by_policy(terms: Iterable[tuple[str, str]], localizer: Localizer) -> dict[str, str]:
    """Return the labels of the terms by policy, each once."""
    by_policy: dict[str, dict[str, None]] = {}
    for policy, term in terms:
        by_policy.setdefault(policy, {})[term_label(localizer, term)] = None
    return {policy: ", ".join(labels) for policy, labels in by_policy.items()}


def _based_on(text: str, terms: Iterable[tuple[str, str]], localizer: Localizer, facts: Sequence[str] = ()) -> str:
    """Return what the figures are based on, policy by policy, and then the facts of the trailer."""
    named = [
        localizer.format(texts().gap["terms_of_policy"], policy=policy, terms=labels)
        for policy, labels in _by_policy(terms, localizer).items()
    ]
    if facts:
        named_facts = ", ".join(localizer.label("fact", fact) for fact in facts)
        named.append(localizer.format(texts().gap["facts_of_build"], facts=named_facts))
    if not named:
        return ""
    return localizer.format(texts().gap[text], terms="; ".join(named))


def _first_question(statement: GapStatement, localizer: Localizer) -> str:
    first = next((question for question in statement.questions if question.to == "insurer"), None)
    if first is None or not first.money_at_stake.high:
        return ""
    return localizer.format(texts().gap["question"], high=first.money_at_stake.high, question=first.text)


def localize_after_loss(after: AfterLoss, localizer: Localizer) -> AfterLoss:
    """Return the checklist and the time limits with their texts."""
    duties = {duty.id: duty.text for duty in claims().checklist}
    own_text = {limit.id: limit.text for limit in claims().time_limits if limit.text}
    return replace(
        after,
        checklist=tuple(
            replace(item, text=localizer.format(duties[item.id], **item.parameters)) for item in after.checklist
        ),
        time_limits=tuple(_time_limit(limit, own_text.get(limit.id), localizer) for limit in after.time_limits),
    )


def _time_limit(limit: TimeLimit, own_text: str | None, localizer: Localizer) -> TimeLimit:
    """Return the limit with the rule's own text, or that of its step where it has none."""
    text = own_text or texts().claim_steps[limit.step]
    written = localizer.format(text, within=str(limit.within), counted_in=limit.counted_in, runs_from=limit.runs_from)
    if limit.under is not None:
        written = localizer.format(texts().gap["limit_under"], limit=written, under=limit.under)
    return replace(
        limit,
        text=written,
        source=localizer.translate(limit.source),
    )
