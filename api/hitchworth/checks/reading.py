"""The way in: a body read into a typed value that every rule has passed."""

from collections.abc import Iterator, Sequence
from datetime import date
from decimal import Context, localcontext
from typing import Any, TypeVar

import msgspec

from hitchworth.checks.body import MOST_FAULTS, Faulty
from hitchworth.checks.bounds import bound_faults
from hitchworth.checks.decode import decode
from hitchworth.checks.kinds import expected
from hitchworth.checks.misfits import misfit
from hitchworth.checks.pointer import record_of, within
from hitchworth.checks.rules import rule_faults
from hitchworth.model.fault import Fault

T = TypeVar("T")

_LENIENT = Context(traps=[])
"""The rules also see numbers that are out of bounds: with NaN or 1E999999 they must go on."""


def read(body: bytes, kind: type[T], today: date | None = None) -> T:
    """The body as a value of the kind. Where the door knows the date, days to come are found out as well.

    Raises Faulty with every fault of its fields, its numbers and its sense at once, BadBody when it is no JSON text.
    """
    value, faults = decode(body, kind)
    if len(faults) < MOST_FAULTS:
        with localcontext(_LENIENT):
            faults.extend(_further(value, faults, today))
    if faults:
        raise Faulty(faults)
    return value


def read_text(text: str, kind: Any) -> Any:
    """A single value of the kind, as it stands in an address or on a command line. Raises Faulty."""
    try:
        return msgspec.convert(text, kind, strict=False)
    except msgspec.ValidationError as error:
        raise Faulty([Fault(pointer="", detail=misfit(str(error)), expected=expected(kind), found=text[:60])]) from None


def _further(value: object, faults: Sequence[Fault], today: date | None) -> Iterator[Fault]:
    """The faults of numbers and sense, but none where a stand-in for what could not be read may be to blame."""
    yield from bound_faults(value)
    unread = [fault.pointer for fault in faults]
    doubtful = {record_of(pointer) for pointer in unread}
    for fault in rule_faults(value, today):
        if record_of(fault.pointer) not in doubtful and not any(within(fault.pointer, place) for place in unread):
            yield fault
