"""Terms that are not yet known, and what they may plausibly turn out to be."""

from collections.abc import Iterable
from functools import cache
from typing import TypeAlias

import msgspec

from hitchworth.model.note import Note
from hitchworth.model.policy import Answer, Policy
from hitchworth.model.timeline import oldest_first
from hitchworth.reference.plausible_terms import BASE_CURRENCY, plausible_terms, values_in_place

TermValue: TypeAlias = bool | int | float | str | None


def unknown_terms(policy: Policy) -> tuple[str, ...]:
    """The terms of the policy that are null and have plausible answers."""
    return tuple(term.term for term in plausible_terms().values() if getattr(policy, term.term) is None)


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


def assumptions(assumed: Policy, terms: Iterable[str]) -> tuple[Note, ...]:
    """What was assumed of unknown terms, for the settlement to say."""
    given = msgspec.to_builtins(assumed)
    return tuple(
        Note(
            code=f"assumed_{term}",
            about=assumed.name,
            parameters={"value": _shown(given[term])} if term in given else {},
        )
        for term in terms
    )


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
