"""Recorded answers: each settles one term of one policy on the table, or one fact, with a value that it can have."""

from collections.abc import Iterator, Sequence

import msgspec

from hitchworth.model.fault import Fault
from hitchworth.model.policy import Answer, Policy
from hitchworth.model.timeline import day_said
from hitchworth.reference.facts import vocabulary
from hitchworth.validation.bounds import bound_faults
from hitchworth.validation.facts import fact_faults
from hitchworth.validation.kinds import expected, fields, is_scalar
from hitchworth.validation.pointer import step
from hitchworth.validation.policies import missing_amounts
from hitchworth.validation.type_errors import type_error

_TERMS = {field.name: field.type for field in fields(Policy) if field.name != "name" and is_scalar(field.type)}
"""The terms that one answer can settle: those with a single value."""


def invalid_answers(answers: tuple[Answer, ...], policies: tuple[Policy, ...]) -> Iterator[Fault]:
    """What an answer settles is there, and its value fits."""
    by_name = {policy.name: policy for policy in policies}
    for index, answer in enumerate(answers):
        at = f"/answers/{index}"
        if _settles(answer) not in ({"policy", "term"}, {"fact"}):
            yield Fault(
                pointer=at,
                detail="An answer settles one thing",
                expected="either policy and term, or fact",
                found=", ".join(sorted(_settles(answer))) or "nothing",
            )
        elif answer.fact is not None:
            yield from _fact_faults(answer.fact, answer, at)
        elif answer.policy in by_name:
            yield from _term_faults(by_name[answer.policy], answer, at)
        else:
            yield Fault(
                pointer=f"{at}/policy",
                detail="No policy has this name",
                expected="the name of a policy",
                found=str(answer.policy),
            )


def amounts_missing_once_answered(policies: Sequence[Policy], answers: Sequence[Answer]) -> Iterator[Fault]:
    """Every policy has the amounts that its terms need, as answered; an answer that takes one away is to blame."""
    for index, policy in enumerate(policies):
        before = tuple(missing_amounts(policy, f"/policies/{index}"))
        settled, said = _answered(policy, answers)
        for fault in missing_amounts(settled, f"/policies/{index}"):
            if fault in before:
                yield fault
            else:
                latest = [number for term, number in said.items() if term in ("basis", "amount", "limit")][-1]
                yield msgspec.structs.replace(fault, pointer=f"/answers/{latest}/value")


def _answered(policy: Policy, answers: Sequence[Answer]) -> tuple[Policy, dict[str, int]]:
    """The policy with the answers that fit it, and by term, the newest last, the number of the one that stands."""
    said: dict[str, int] = {}
    for number, answer in sorted(enumerate(answers), key=lambda numbered: day_said(numbered[1])):
        term = answer.term
        if answer.policy == policy.name and term is not None and not any(_term_faults(policy, answer, "")):
            policy = msgspec.structs.replace(policy, **{term: msgspec.convert(answer.value, _TERMS[term])})
            said.pop(term, None)
            said[term] = number
    return policy, said


def _settles(answer: Answer) -> set[str]:
    return {name for name in ("policy", "term", "fact") if getattr(answer, name) is not None}


def _fact_faults(fact: str, answer: Answer, at: str) -> Iterator[Fault]:
    """The faults of the fact, at the fields of the answer: its name at `fact`, its value at `value`."""
    for fault in fact_faults({fact: answer.value}, ""):
        field = "value" if fact in vocabulary() else "fact"
        yield msgspec.structs.replace(fault, pointer=f"{at}/{field}")


def _term_faults(policy: Policy, answer: Answer, at: str) -> Iterator[Fault]:
    term = answer.term or ""
    if term not in _TERMS:
        yield Fault(
            pointer=f"{at}/term", detail="No term of a policy", expected=f"one of {', '.join(_TERMS)}", found=term
        )
        return
    try:
        value = msgspec.convert(answer.value, _TERMS[term])
    except msgspec.ValidationError as error:
        found = msgspec.json.encode(answer.value).decode()
        yield Fault(pointer=f"{at}/value", detail=type_error(str(error)), expected=expected(_TERMS[term]), found=found)
        return
    settled = msgspec.structs.replace(policy, **{term: value})
    yield from (
        msgspec.structs.replace(fault, pointer=f"{at}/value")
        for fault in bound_faults(settled)
        if fault.pointer == step("", term)
    )
