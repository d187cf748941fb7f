"""Read a body into a typed value that has passed every rule."""

from codecs import BOM_UTF8
from collections.abc import Iterator, Sequence
from datetime import date, datetime
from decimal import Context, localcontext
from itertools import chain, islice
from typing import Any, TypeVar

import msgspec
from msgspec.structs import replace

from hitchworth.model.fault import Fault
from hitchworth.validation.bounds import bound_faults
from hitchworth.validation.categories import with_one_spelling
from hitchworth.validation.decode import decode
from hitchworth.validation.document_format import present_form
from hitchworth.validation.errors import MAX_COUNTED, InvalidInputError
from hitchworth.validation.fault_texts import describe_type, describe_type_error, limited_suggestions, shorten
from hitchworth.validation.json_pointer import containers, parent_pointer
from hitchworth.validation.rules import rule_faults, sent_faults
from hitchworth.validation.type_inspection import is_decimal

T = TypeVar("T")

_WITHOUT_TRAPS = Context(traps=[])
"""The rules also see numbers that are out of bounds. They must not stop at NaN or 1E999999."""


def read(body: bytes, kind: type[T], today: date | None = None) -> T:
    """Return the body as a value of the type. With `today`, it is judged as sent on that day.

    A document of an older format is upgraded, and a build alone is a document.

    Raises InvalidInputError with every fault of its fields, numbers and rules at once, and MalformedBodyError when the
    body is not JSON.
    """
    content, bare_builds = present_form(body.removeprefix(BOM_UTF8), kind)
    with limited_suggestions():
        decoded, decoding_faults = decode(content, kind)
        value: T = with_one_spelling(decoded)
        rules = rule_faults(value) if today is None else chain(rule_faults(value, today), sent_faults(value, today))
        further = _bound_and_rule_faults(value, decoding_faults, rules)
        with localcontext(_WITHOUT_TRAPS):
            faults = tuple(islice(chain(decoding_faults, further), MAX_COUNTED))
    if faults:
        raise InvalidInputError([_as_sent(fault, bare_builds) for fault in faults])
    return value


def check(value: object, today: date | None = None) -> None:
    """Check a value that was not read from a body as one. Raises InvalidInputError with every fault at once."""
    with limited_suggestions(), localcontext(_WITHOUT_TRAPS):
        faults = tuple(islice(_bound_and_rule_faults(value, (), rule_faults(value, today)), MAX_COUNTED))
    if faults:
        raise InvalidInputError(faults)


def _as_sent(fault: Fault, bare_builds: Sequence[str]) -> Fault:
    """Return the fault with its place in the body as it was sent, where a build alone stood for a document."""
    for document in bare_builds:
        if fault.pointer.startswith(f"{document}/build/"):
            return replace(fault, pointer=document + fault.pointer.removeprefix(f"{document}/build"))
    return fault


def with_point(text: str, kind: Any) -> str:
    """Return a number that is written with a decimal comma as with a point; what is no number of the type as it is."""
    return text.replace(",", ".") if is_decimal(kind) and "." not in text else text


def read_text(text: str, kind: Any) -> Any:
    """Return a single value, written as in a URL or on a command line, as the type. Raises InvalidInputError."""
    try:
        value = msgspec.convert(text, kind, strict=False)
        if isinstance(value, datetime) and ":" not in text:  # a number would be taken for seconds since 1970
            raise msgspec.ValidationError("Invalid RFC3339 encoded datetime")
        return value
    except msgspec.ValidationError as error:
        fault = Fault(
            pointer="", detail=describe_type_error(str(error)), expected=describe_type(kind), found=shorten(text)
        )
        raise InvalidInputError([fault]) from None


def _bound_and_rule_faults(value: object, decoding_faults: Sequence[Fault], rules: Iterator[Fault]) -> Iterator[Fault]:
    """Yield the faults of numbers and rules, without those that a field with a fault of its own may cause.

    A placeholder stands for a field that could not be read, so the rules cannot judge the record that holds it.
    """
    unread = [fault.pointer for fault in decoding_faults]
    incomplete = {parent_pointer(pointer) for pointer in unread}
    out_of_bounds = tuple(bound_faults(value))
    yield from out_of_bounds
    reported = {*unread, *(fault.pointer for fault in out_of_bounds)}
    for fault in rules:
        if parent_pointer(fault.pointer) in incomplete:
            continue
        if reported.isdisjoint(containers(fault.pointer)):
            yield fault
