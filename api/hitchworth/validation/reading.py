"""The way in: a body read into a typed value that every rule has passed."""

from collections.abc import Iterator, Sequence
from datetime import date
from decimal import Context, localcontext
from typing import Any, TypeVar

import msgspec

from hitchworth.model.fault import Fault
from hitchworth.validation.bounds import bound_faults
from hitchworth.validation.decode import decode
from hitchworth.validation.errors import MOST_FAULTS, InvalidInputError
from hitchworth.validation.kinds import expected
from hitchworth.validation.pointer import record_of, within
from hitchworth.validation.rules import rule_faults
from hitchworth.validation.type_errors import type_error

T = TypeVar("T")

_LENIENT = Context(traps=[])
"""The rules also see numbers that are out of bounds: with NaN or 1E999999 they must go on."""


def read(body: bytes, kind: type[T], today: date | None = None) -> T:
    """The body as a value of the type. Given today's date, dates in the future are checked as well.

    Raises InvalidInputError with every fault of its fields, numbers and rules at once, MalformedBodyError when the body
    is not JSON.
    """
    value, faults = decode(body, kind)
    if len(faults) < MOST_FAULTS:
        with localcontext(_LENIENT):
            faults.extend(_further(value, faults, today))
    if faults:
        raise InvalidInputError(faults)
    return value


def read_text(text: str, kind: Any) -> Any:
    """A single value of the kind, as it stands in an address or on a command line. Raises InvalidInputError."""
    try:
        return msgspec.convert(text, kind, strict=False)
    except msgspec.ValidationError as error:
        raise InvalidInputError(
            [Fault(pointer="", detail=type_error(str(error)), expected=expected(kind), found=text[:60])]
        ) from None


def _further(value: object, faults: Sequence[Fault], today: date | None) -> Iterator[Fault]:
    """The faults of numbers and sense, but none where a stand-in for what could not be read may be to blame."""
    yield from bound_faults(value)
    unread = [fault.pointer for fault in faults]
    doubtful = {record_of(pointer) for pointer in unread}
    for fault in rule_faults(value, today):
        if record_of(fault.pointer) not in doubtful and not any(within(fault.pointer, place) for place in unread):
            yield fault
