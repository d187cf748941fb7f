"""Terms that are not yet known, and what they may plausibly turn out to be."""

from collections.abc import Iterable

import msgspec

from hitchworth.model.note import Note
from hitchworth.model.policy import Answer, Policy
from hitchworth.reference.plausible_terms import PlausibleTerm, plausible_terms

TermValue = bool | int | float | str | None


def unknown_terms(policy: Policy) -> tuple[PlausibleTerm, ...]:
    """The terms of the policy that are null."""
    return tuple(term for term in plausible_terms() if getattr(policy, term.term) is None)


def with_term(policy: Policy, term: str, value: TermValue) -> Policy:
    """The policy with one term settled. Raises msgspec.ValidationError when the value cannot be a value of the term."""
    return msgspec.convert({**msgspec.to_builtins(policy), term: value}, Policy)


def least_favourable(policy: Policy, *, but: str = "") -> Policy:
    """The policy with every unknown term (but the named one) at its least favourable plausible answer."""
    return _at(policy, 0, but)


def most_favourable(policy: Policy, *, but: str = "") -> Policy:
    """The policy with every unknown term (but the named one) at its most favourable plausible answer."""
    return _at(policy, -1, but)


def assumptions(policy: Policy) -> tuple[Note, ...]:
    """What was assumed of the unknown terms, for the settlement to say."""
    return tuple(
        Note(
            code=f"assumed_{term.term}",
            about=policy.name,
            particulars={"value": msgspec.json.encode(term.values[0]).decode().strip('"')},
        )
        for term in unknown_terms(policy)
    )


def answered(policy: Policy, answers: Iterable[Answer]) -> Policy:
    """The policy with the recorded answers that concern it; a later answer stands over an earlier one."""
    for answer in answers:
        if answer.policy == policy.name and answer.term is not None:
            policy = with_term(policy, answer.term, answer.value)
    return policy


def _at(policy: Policy, place: int, but: str) -> Policy:
    for term in unknown_terms(policy):
        if term.term != but:
            policy = with_term(policy, term.term, term.values[place])
    return policy
