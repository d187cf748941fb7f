"""Rules for recorded answers: each settles a term of a policy, a fact, or what a wreck is worth, with a fit value."""

from collections.abc import Iterator
from datetime import date
from decimal import Decimal
from typing import Any, get_args

import msgspec

from hitchworth.model.answer import Answer
from hitchworth.model.build import Base
from hitchworth.model.document import Document
from hitchworth.model.fault import Fault
from hitchworth.model.loss import Situation
from hitchworth.model.policy import ABSENT, AbsentTerm, Policy
from hitchworth.reference.facts import vocabulary
from hitchworth.validation.bounds import bound_faults
from hitchworth.validation.classification_rules import fact_faults
from hitchworth.validation.fault_texts import describe_type, describe_type_error, shorten
from hitchworth.validation.json_pointer import child_pointer
from hitchworth.validation.names import unknown_name
from hitchworth.validation.policy_rules import unknown_policy
from hitchworth.validation.type_inspection import is_list_of_scalars, is_scalar, record_fields

_TERMS = {
    field.name: field.type
    for field in record_fields(Policy)
    if field.name not in {"name", "without"} and (is_scalar(field.type) or is_list_of_scalars(field.type))
}
"""The terms that one answer can settle, with their types: those with a single value, or a list of names."""

BUILD_AMOUNTS = frozenset({"comparable_price", "market_value"})
"""Amounts of the build that an answer settles like a fact."""

SALVAGE = "salvage_value"
"""What an answer settles of a loss."""

_ABSENT_TERMS = get_args(AbsentTerm)
_SITUATIONS = get_args(Situation)
_KEYED = "covers_perils.NAME, covers_situations.NAME"


def invalid_answers(request: Document) -> Iterator[Fault]:
    """What an answer settles exists, and its value is valid."""
    policies = {policy.name: policy for policy in request.policies}
    losses = {loss.name for loss in request.losses}
    for index, answer in enumerate(request.answers):
        at = f"/answers/{index}"
        settles = _settles(answer)
        if settles.keys() not in ({"policy", "term"}, {"fact"}, {"loss", "term"}):
            yield Fault(
                pointer=at,
                detail="An answer settles one term of a policy, one fact, or what the wreck of a loss is worth",
                expected="policy and term, or fact, or loss and term",
                found=", ".join(sorted(settles)) or "nothing",
            )
        elif "fact" in settles:
            yield from _fact_faults(settles["fact"], answer, at)
        elif "loss" in settles:
            yield from _loss_faults(answer, losses, at)
        elif settles["policy"] in policies:
            yield from _term_faults(policies[settles["policy"]], answer, at)
        else:
            yield from unknown_policy(settles["policy"], set(policies), f"{at}/policy")


def answers_in_future(request: Document, today: date) -> Iterator[Fault]:
    """Nobody has given an answer after today."""
    for index, answer in enumerate(request.answers):
        if answer.said_on is not None and answer.said_on > today:
            yield Fault(
                pointer=f"/answers/{index}/said_on",
                detail="Date is in the future",
                expected=f"{today.isoformat()} or earlier",
                found=answer.said_on.isoformat(),
            )


def _settles(answer: Answer) -> dict[str, str]:
    """Return the fields that say what the answer settles, where they are given."""
    fields = {"policy": answer.policy, "term": answer.term, "fact": answer.fact, "loss": answer.loss}
    return {name: value for name, value in fields.items() if value is not None}


def _loss_faults(answer: Answer, losses: set[str], at: str) -> Iterator[Fault]:
    """Yield the faults of an answer about a loss: its name, its term, its amount."""
    loss, term = answer.loss or "", answer.term or ""
    yield from unknown_name(loss, losses, f"{at}/loss", "No loss has this name", "the name of a loss in the request")
    if term == SALVAGE:
        yield from _amount_faults(answer, at)
    else:
        yield Fault(pointer=f"{at}/term", detail="An answer cannot settle this of a loss", expected=SALVAGE, found=term)


def _fact_faults(fact: str, answer: Answer, at: str) -> Iterator[Fault]:
    """Yield the faults of the fact, at the field of the answer that has its name or its value."""
    if fact in BUILD_AMOUNTS:
        if not (fact == "comparable_price" and answer.value == ABSENT):
            yield from _amount_faults(answer, at)
        return
    if isinstance(answer.value, tuple):
        found = shorten(msgspec.json.encode(answer.value).decode())
        yield Fault(pointer=f"{at}/value", detail="A fact has one value", expected="one value, or null", found=found)
        return
    field = "value" if fact in vocabulary() else "fact"
    for fault in fact_faults({fact: answer.value}, ""):
        yield msgspec.structs.replace(fault, pointer=f"{at}/{field}")


def _amount_faults(answer: Answer, at: str) -> Iterator[Fault]:
    """Yield the faults of an amount, in the build's currency."""
    faults = tuple(_type_faults(Decimal | None, answer, at))
    yield from faults
    if not faults and answer.value is not None:
        base = Base(kind="base", comparable_price=msgspec.convert(answer.value, Decimal))
        for fault in bound_faults(base):
            found = answer.value if isinstance(answer.value, str) else fault.found
            yield msgspec.structs.replace(fault, pointer=f"{at}/value", found=shorten(found))


def _term_faults(policy: Policy, answer: Answer, at: str) -> Iterator[Fault]:
    term = answer.term or ""
    name, _, key = term.partition(".")
    if key and (name == "covers_perils" or (name == "covers_situations" and key in _SITUATIONS)):
        yield from _type_faults(bool | None, answer, at)
        return
    if term not in _TERMS:
        detail, expected = "An answer cannot settle this term", f"one of {', '.join(_TERMS)}, {_KEYED}"
        yield from unknown_name(term, _TERMS, f"{at}/term", detail, expected)
        return
    if answer.value == ABSENT and term in _ABSENT_TERMS:
        return
    faults = tuple(_type_faults(_TERMS[term], answer, at))
    yield from faults
    if not faults:
        yield from _bound_faults(policy, term, answer, at)


def _type_faults(term_type: Any, answer: Answer, at: str) -> Iterator[Fault]:
    try:
        msgspec.convert(answer.value, term_type)
    except msgspec.ValidationError as error:
        yield Fault(
            pointer=f"{at}/value",
            detail=describe_type_error(str(error)),
            expected=describe_type(term_type),
            found=shorten(msgspec.json.encode(answer.value).decode()),
        )


def _bound_faults(policy: Policy, term: str, answer: Answer, at: str) -> Iterator[Fault]:
    value = msgspec.convert(answer.value, _TERMS[term])
    for fault in bound_faults(msgspec.structs.replace(policy, **{term: value})):
        at_term = child_pointer("", term)
        if fault.pointer == at_term or fault.pointer.startswith(f"{at_term}/"):
            found = answer.value if isinstance(answer.value, str) else fault.found
            yield msgspec.structs.replace(fault, pointer=f"{at}/value", found=shorten(found))
