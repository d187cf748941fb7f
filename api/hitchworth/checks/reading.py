"""The way in: a body read into a typed value that every rule has passed."""

from collections.abc import Iterator, Sequence
from datetime import date
from typing import TypeVar

from hitchworth.checks.body import MOST_FAULTS, Faulty
from hitchworth.checks.bounds import bound_faults
from hitchworth.checks.decode import decode
from hitchworth.checks.pointer import record_of, within
from hitchworth.checks.rules import rule_faults
from hitchworth.model.fault import Fault

T = TypeVar("T")


def read(body: bytes, kind: type[T], today: date | None = None) -> T:
    """The body as a value of the kind. Where the door knows the date, days to come are found out as well.

    Raises Faulty with every fault of its fields, its numbers and its sense at once, BadBody when it is no JSON text.
    """
    value, faults = decode(body, kind)
    if len(faults) < MOST_FAULTS:
        faults.extend(_further(value, faults, today))
    if faults:
        raise Faulty(faults)
    return value


def _further(value: object, faults: Sequence[Fault], today: date | None) -> Iterator[Fault]:
    """The faults of numbers and sense, but none where a stand-in for what could not be read may be to blame."""
    yield from bound_faults(value)
    unread = [fault.pointer for fault in faults]
    doubtful = {record_of(pointer) for pointer in unread}
    for fault in rule_faults(value, today):
        if record_of(fault.pointer) not in doubtful and not any(within(fault.pointer, place) for place in unread):
            yield fault
