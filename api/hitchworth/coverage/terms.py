"""The terms of a policy: which are open, what they may plausibly turn out to be, and how an answer settles one."""

from collections.abc import Iterable, Iterator, Mapping
from decimal import Decimal
from fractions import Fraction
from typing import Any, TypeAlias, get_args

import msgspec
from msgspec.structs import replace

from hitchworth.coverage.claim import COMPARABLE_PRICE, SALVAGE, VERDICT, Claim
from hitchworth.model.answer import Answer
from hitchworth.model.loss import Loss
from hitchworth.model.note import Note
from hitchworth.model.policy import ABSENT, AbsentTerm, Policy
from hitchworth.model.timeline import oldest_first
from hitchworth.reference.labor_depreciation_rules import labor_depreciation_rule_of
from hitchworth.reference.perils import same_peril
from hitchworth.reference.plausible_terms import (
    PlausibleValue,
    default_sales_tax_rate,
    labor_is_kept,
    plausible_values,
    source_of,
)

TermValue: TypeAlias = Any
"""A value as the field of the policy holds it; ABSENT for a term that the policy does not have."""

ABSENT_TERMS: frozenset[str] = frozenset(get_args(AbsentTerm))
AMOUNTS = ("amount", "limit", "deductible", "custom_equipment_limit", "contents_limit")
LABOR_TERM = "depreciates_labor"
VERDICTS = ("mismatch", "match")


def plausible_answers(term: str, claim: Claim) -> tuple[TermValue, ...]:
    """Return the plausible answers to an open term, as the policy would hold them."""
    if term == VERDICT:
        return VERDICTS
    if term == COMPARABLE_PRICE:
        return tuple(claim.plain_trailers)
    build, policy = claim.context.build, claim.policy
    values = plausible_values(term, policy.kind, build.jurisdiction, build.currency, _known_terms(policy))
    return tuple(dict.fromkeys(_resolved(value, term, claim) for value in values))


def source_of_answers(term: str, policy: Policy, jurisdiction: str | None, currency: str) -> str:
    """Return where the plausible answers to a term come from; empty where that is the law of another place."""
    return source_of(term, policy.kind, jurisdiction, currency, _known_terms(policy))


def with_answer(policy: Policy, term: str, value: TermValue) -> Policy:
    """Return the policy with one term settled; the value is one that the field can hold, or ABSENT."""
    name, _, key = term.partition(".")
    if key:
        others = {
            other: stated for other, stated in (getattr(policy, name) or {}).items() if not same_peril(other, key)
        }
        return replace(policy, **{name: {**others, key: value}})
    without = tuple(absent for absent in policy.without if absent != name)
    if value == ABSENT and name in ABSENT_TERMS:
        return replace(policy, **{name: None}, without=(*without, name))
    return replace(policy, **{name: value}, without=without)


def with_recorded_answers(policy: Policy, answers: Iterable[Answer]) -> Policy:
    """Return the policy with the recorded answers that concern it; the newest one counts.

    Raises msgspec.ValidationError when a value cannot be a value of its term.
    """
    for answer in oldest_first(answers):
        if answer.policy == policy.name and answer.term is not None:
            policy = with_answer(policy, answer.term, _converted(answer.term, answer.value))
    return policy


def with_recorded_salvage(loss: Loss, answers: Iterable[Answer]) -> Loss:
    """Return the loss with the newest recorded answer on what its wreck is worth; null leaves it open."""
    for answer in oldest_first(answers):
        if answer.loss == loss.name and answer.term == SALVAGE:
            loss = replace(loss, salvage_value=None if answer.value is None else Decimal(str(answer.value)))
    return loss


def recorded(policy: Policy, answers: Iterable[Answer], loss: str | None = None) -> tuple[Note, ...]:
    """Return what rests on recorded answers, and whose: terms of the policy, and of the loss if one is named.

    An answer of null leaves its term open.
    """
    about = {(policy.name, None), (None, loss)} - {(None, None)}
    own = (answer for answer in oldest_first(answers) if (answer.policy, answer.loss) in about)
    newest = {(answer.loss, answer.term): answer for answer in own if answer.term is not None}
    return tuple(_on_record(answer) for answer in newest.values() if answer.value is not None)


def assumptions(policy: str, answers: Mapping[str, TermValue]) -> tuple[Note, ...]:
    """Return a note for each answer that was assumed of an open term of the policy."""
    return tuple(_term_note("assumed", policy, term, value) for term, value in answers.items())


def shown_value(value: TermValue) -> str:
    """Return a value as the parameters of a note hold it: true, false, a number, or names with commas between."""
    if isinstance(value, tuple):
        return ", ".join(value)
    return str(value).lower() if isinstance(value, bool) else str(value)


def rule_on(term: str, jurisdiction: str | None) -> dict[str, str]:
    """Return what is published on the term there, and where, as parameters of a question; empty if nothing is."""
    rule = labor_depreciation_rule_of(jurisdiction) if term == LABOR_TERM else None
    return {"rule": rule.text, "citation": rule.citation} if rule else {}


def is_settled_by_rule(term: str, jurisdiction: str | None) -> bool:
    """Return whether a rule leaves one answer to the term. No money depends on it; the insurer should confirm it."""
    return term == LABOR_TERM and labor_is_kept(jurisdiction)


def taken_from_rule(claim: Claim) -> Iterator[Note]:
    """Yield what the settlement takes from a rule of the place because the policy does not say it."""
    place = claim.context.build.jurisdiction
    is_needed = claim.policy.depreciates_labor is None and bool(claim.lost.labor_depreciation)
    if is_needed and is_settled_by_rule(LABOR_TERM, place):
        citation = rule_on(LABOR_TERM, place)["citation"]
        yield Note(code="labor_kept_by_rule", about=claim.policy.name, parameters={"citation": citation})


def _known_terms(policy: Policy) -> tuple[str, ...]:
    """Return the terms on which the plausibility of others depends and that are known."""
    return ("amount",) if policy.amount is not None else ()


def _resolved(value: PlausibleValue, term: str, claim: Claim) -> TermValue:
    """Return a value of the data file as the policy would hold it: words become amounts or rates."""
    money = claim.money
    match value:
        case "plain_trailer":
            return money.from_minor_units(min(lines.replacement_cost for lines in claim.plain_trailers.values()))
        case "actual_cash_value":
            if term != "basis":
                return money.from_minor_units(_actual_cash_value(claim))
        case "replacement_cost":
            if term != "basis":
                return money.from_minor_units(claim.whole.replacement_cost)
        case "sales_tax_rate":
            return claim.context.build.indirect_costs.sales_tax_rate or default_sales_tax_rate()
        case "none":
            return ABSENT
    if term == SALVAGE:
        return money.from_minor_units(money.multiply(_actual_cash_value(claim), Fraction(str(value))))
    answer = _converted(term, value)
    return money.from_minor_units(money.to_minor_units(answer)) if term in AMOUNTS else answer


def _actual_cash_value(claim: Claim) -> int:
    """Return that of the whole trailer before the loss, after wear and obsolescence, with labor at its full value."""
    return claim.whole.replacement_cost - claim.whole.depreciation - claim.whole.obsolescence


_TYPES = {field.name: field.type for field in msgspec.structs.fields(Policy)}


def _converted(term: str, value: object) -> TermValue:
    """Return a value as the field of the term holds it; that of one peril or situation is true or false."""
    if "." in term or (value == ABSENT and term in ABSENT_TERMS):
        return value
    return msgspec.convert(value, _TYPES[term])


def _on_record(answer: Answer) -> Note:
    said_on = answer.said_on.isoformat() if answer.said_on else None
    said = {"said_by": answer.said_by, "said_on": said_on, "reference": answer.reference}
    note = _term_note("answered", answer.policy or answer.loss or "", answer.term or "", answer.value)
    return replace(note, parameters=note.parameters | {name: text for name, text in said.items() if text})


def _term_note(how: str, policy: str, term: str, value: TermValue) -> Note:
    name, _, key = term.partition(".")
    parameters = {} if term == VERDICT else {"value": shown_value(value)} | ({"key": key} if key else {})
    return Note(code=f"{how}_{name}", about=policy, parameters=parameters)
