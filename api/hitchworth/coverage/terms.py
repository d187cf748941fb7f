"""Terms that are not yet known, and what they may plausibly turn out to be."""

from collections.abc import Iterable, Iterator, Mapping
from functools import cache
from typing import TypeAlias

import msgspec

from hitchworth.coverage.claim import VERDICT, Claim
from hitchworth.model.note import Note
from hitchworth.model.policy import Answer, Policy
from hitchworth.model.timeline import oldest_first
from hitchworth.reference.labor_depreciation_rules import labor_depreciation_rule_of
from hitchworth.reference.plausible_terms import BASE_CURRENCY, labor_is_kept, values_in_place

LABOR_TERM = "depreciates_labor"

TermValue: TypeAlias = bool | int | float | str | None


@cache
def plausible_values(term: str, jurisdiction: str | None = None, currency: str = BASE_CURRENCY) -> tuple[object, ...]:
    """The plausible answers to a term, as a policy holds them; by custom the least favorable first.

    A published rule of the place may leave only some of them, and amounts are those that are customary in the currency.
    """
    some = Policy(name="any", basis="actual_cash_value")
    values = values_in_place(term, jurisdiction, currency)
    return tuple(getattr(with_term(some, term, value), term) for value in values)


def with_term(policy: Policy, term: str, value: TermValue) -> Policy:
    """The policy with one term settled. Raises msgspec.ValidationError when the value cannot be a value of the term."""
    return msgspec.convert({**msgspec.to_builtins(policy), term: value}, Policy)


def assumptions(policy: str, answers: Mapping[str, object]) -> tuple[Note, ...]:
    """Return a note for each answer that was assumed of an open term of the policy."""
    return tuple(_assumption(policy, term, value) for term, value in answers.items())


def _assumption(policy: str, term: str, value: object) -> Note:
    parameters = {} if term == VERDICT else {"value": _shown(value)}
    return Note(code=f"assumed_{term}", about=policy, parameters=parameters)


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
    is_open = claim.policy.depreciates_labor is None and any(line.labor_depreciation for line in claim.lost)
    if is_open and is_settled_by_rule(LABOR_TERM, place):
        citation = rule_on(LABOR_TERM, place)["citation"]
        yield Note(code="labor_kept_by_rule", about=claim.policy.name, parameters={"citation": citation})


def answered(policy: Policy, answers: Iterable[Answer]) -> Policy:
    """The policy with the recorded answers that concern it; the newest stands."""
    for answer in oldest_first(answers):
        if answer.policy == policy.name and answer.term is not None:
            policy = with_term(policy, answer.term, answer.value)
    return policy


def recorded(policy: Policy, answers: Iterable[Answer]) -> tuple[Note, ...]:
    """Which terms of the policy rest on recorded answers, and whose; an answer of null leaves its term open."""
    own = (answer for answer in oldest_first(answers) if answer.policy == policy.name)
    newest = {answer.term: answer for answer in own if answer.term is not None}
    return tuple(_on_record(policy, answer) for answer in newest.values() if answer.value is not None)


def _on_record(policy: Policy, answer: Answer) -> Note:
    said_on = answer.said_on.isoformat() if answer.said_on else None
    said = {"said_by": answer.said_by, "said_on": said_on, "reference": answer.reference}
    return Note(
        code=f"answered_{answer.term}",
        about=policy.name,
        parameters={"value": _shown(answer.value), **{name: text for name, text in said.items() if text}},
    )


def _shown(value: object) -> str:
    return str(value).lower() if isinstance(value, bool) else str(value)
