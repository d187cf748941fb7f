"""Rules for recorded answers: each settles one term of a policy, or one fact, with a value that it can have."""

from collections.abc import Iterator, Sequence
from datetime import date

import msgspec

from hitchworth.model.fault import Fault
from hitchworth.model.policy import Answer, Policy
from hitchworth.model.request import GapRequest
from hitchworth.model.timeline import day_said
from hitchworth.reference.facts import vocabulary
from hitchworth.validation.bounds import bound_faults
from hitchworth.validation.classification_rules import fact_faults
from hitchworth.validation.fault_texts import describe_type, describe_type_error, shorten, with_suggestions
from hitchworth.validation.json_pointer import child_pointer
from hitchworth.validation.policy_rules import missing_policy_amounts, unknown_policy
from hitchworth.validation.type_inspection import is_scalar, record_fields

_TERMS = {field.name: field.type for field in record_fields(Policy) if field.name != "name" and is_scalar(field.type)}
"""The terms that one answer can settle, with their types: those with a single value."""


def invalid_answers(request: GapRequest) -> Iterator[Fault]:
    """What an answer settles exists, and its value is valid."""
    policies = {policy.name: policy for policy in request.policies}
    for index, answer in enumerate(request.answers):
        at = f"/answers/{index}"
        settles = _settles(answer)
        if settles.keys() not in ({"policy", "term"}, {"fact"}):
            yield Fault(
                pointer=at,
                detail="An answer settles one term of a policy, or one fact",
                expected="either policy and term, or fact",
                found=", ".join(sorted(settles)) or "nothing",
            )
        elif "fact" in settles:
            yield from _fact_faults(settles["fact"], answer, at)
        elif settles["policy"] in policies:
            yield from _term_faults(policies[settles["policy"]], answer, at)
        else:
            yield unknown_policy(settles["policy"], set(policies), f"{at}/policy")


def answers_in_future(request: GapRequest, today: date) -> Iterator[Fault]:
    """Nobody has given an answer after today."""
    for index, answer in enumerate(request.answers):
        if answer.said_on is not None and answer.said_on > today:
            yield Fault(
                pointer=f"/answers/{index}/said_on",
                detail="Date is in the future",
                expected=f"{today.isoformat()} or earlier",
                found=answer.said_on.isoformat(),
            )


def missing_amounts_after_answers(request: GapRequest) -> Iterator[Fault]:
    """Each policy has the amounts that its terms need once the answers are applied.

    Where an answer is what makes an amount missing, the fault is at that answer.
    """
    for index, policy in enumerate(request.policies):
        before = tuple(missing_policy_amounts(policy, f"/policies/{index}"))
        answered, applied = _apply_answers(policy, request.answers)
        for fault in missing_policy_amounts(answered, f"/policies/{index}"):
            if fault in before:
                yield fault
            else:
                latest = [number for term, number in applied.items() if term in ("basis", "amount", "limit")][-1]
                yield msgspec.structs.replace(fault, pointer=f"/answers/{latest}/value")


def _apply_answers(policy: Policy, answers: Sequence[Answer]) -> tuple[Policy, dict[str, int]]:
    """Return the policy with its valid answers applied, oldest first, and the index of the last answer to each term.

    The terms are in the order of those answers.
    """
    applied: dict[str, int] = {}
    for number, answer in sorted(enumerate(answers), key=lambda numbered: day_said(numbered[1])):
        term = answer.term
        if answer.policy == policy.name and term is not None and not any(_term_faults(policy, answer, "")):
            policy = msgspec.structs.replace(policy, **{term: msgspec.convert(answer.value, _TERMS[term])})
            applied.pop(term, None)
            applied[term] = number
    return policy, applied


def _settles(answer: Answer) -> dict[str, str]:
    """Return the fields that say what the answer settles, where they are given."""
    fields = {"policy": answer.policy, "term": answer.term, "fact": answer.fact}
    return {name: value for name, value in fields.items() if value is not None}


def _fact_faults(fact: str, answer: Answer, at: str) -> Iterator[Fault]:
    """Yield the faults of the fact, at the field of the answer that has its name or its value."""
    field = "value" if fact in vocabulary() else "fact"
    for fault in fact_faults({fact: answer.value}, ""):
        yield msgspec.structs.replace(fault, pointer=f"{at}/{field}")


def _term_faults(policy: Policy, answer: Answer, at: str) -> Iterator[Fault]:
    term = answer.term or ""
    if term not in _TERMS:
        yield Fault(
            pointer=f"{at}/term",
            detail="An answer cannot settle this term",
            expected=with_suggestions(term, _TERMS, f"one of {', '.join(_TERMS)}"),
            found=term,
        )
        return
    try:
        value = msgspec.convert(answer.value, _TERMS[term])
    except msgspec.ValidationError as error:
        yield Fault(
            pointer=f"{at}/value",
            detail=describe_type_error(str(error)),
            expected=describe_type(_TERMS[term]),
            found=shorten(msgspec.json.encode(answer.value).decode()),
        )
        return
    for fault in bound_faults(msgspec.structs.replace(policy, **{term: value})):
        if fault.pointer == child_pointer("", term):
            yield msgspec.structs.replace(fault, pointer=f"{at}/value")
