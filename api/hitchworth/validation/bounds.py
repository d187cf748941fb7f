"""Numbers within the bounds that their fields state, and short enough to reckon with.

`Decimal` admits NaN, Infinity and 1E999999, and arithmetic on the last stops a process for many seconds. So no number
gets past here that is not finite, that has more than SIGNIFICANT_DIGITS digits, or that is closer to zero than 1E-12.
"""

from collections.abc import Callable, Iterator
from decimal import Clamped, Context, Decimal, Inexact, InvalidOperation, Overflow, Rounded, Subnormal, Underflow
from functools import cache
from operator import attrgetter
from typing import Any, NamedTuple, get_args

from msgspec import Struct

from hitchworth.model.fault import Fault
from hitchworth.model.numbers import SIGNIFICANT_DIGITS
from hitchworth.validation.kinds import Kind, bounds_of, fields, is_record, members, origin, unannotated
from hitchworth.validation.pointer import step

_EXACT = Context(
    prec=SIGNIFICANT_DIGITS,
    Emax=14,
    Emin=-12,
    traps=[Clamped, Inexact, InvalidOperation, Overflow, Rounded, Subnormal, Underflow],
)
_exact = _EXACT.plus


class _Limit(NamedTuple):
    """The bounds of a field that holds a decimal."""

    name: str
    default: object
    least: Decimal
    greatest: Decimal


class _Plan(NamedTuple):
    """What of a record must be looked at."""

    limits: tuple[_Limit, ...]
    numbers: Callable[[Struct], tuple[object, ...]]
    parts: tuple[str, ...]
    """The fields that hold records with numbers."""


def bound_faults(value: object, pointer: str = "") -> Iterator[Fault]:
    """Every number in the value that lies out of its field's bounds."""
    if not _sound(value):
        yield from _faults(value, pointer)


def _sound(value: object) -> bool:
    """Whether there is no fault: the quick way, without a word about where."""
    if isinstance(value, Struct):
        plan = _plan(type(value))
        return _admitted(plan.limits, plan.numbers(value)) and all(_sound(getattr(value, name)) for name in plan.parts)
    if isinstance(value, tuple):
        return all(map(_sound, value))
    return not isinstance(value, dict) or all(map(_sound, value.values()))


def _admitted(limits: tuple[_Limit, ...], numbers: tuple[Any, ...]) -> bool:
    """Whether every number is finite, short enough and within its limits; null is no number."""
    try:
        for (_, default, least, greatest), number in zip(limits, numbers, strict=True):
            # Most fields were left out and hold the very default: no need to look at it.
            if number is not default and number is not None and not least <= _exact(number) <= greatest:
                return False
    except ArithmeticError:
        return False
    return True


def _faults(value: object, pointer: str) -> Iterator[Fault]:
    if isinstance(value, Struct):
        plan = _plan(type(value))
        for limit, number in zip(plan.limits, plan.numbers(value), strict=True):
            if not _admitted((limit,), (number,)):
                yield _fault(limit, number, step(pointer, limit.name))
        for name in plan.parts:
            yield from _faults(getattr(value, name), step(pointer, name))
    elif isinstance(value, tuple):
        for index, item in enumerate(value):
            yield from _faults(item, step(pointer, index))
    elif isinstance(value, dict):
        for name, item in value.items():
            yield from _faults(item, step(pointer, name))


def _fault(limit: _Limit, number: object, pointer: str) -> Fault:
    return Fault(
        pointer=pointer,
        detail="Number out of bounds",
        expected=(
            f"a number from {limit.least} to {limit.greatest:,}, of at most {SIGNIFICANT_DIGITS} digits, "
            "and not closer to zero than 0.000000000001"
        ),
        found=str(number)[:60],
    )


@cache
def _plan(kind: type[Struct]) -> _Plan:
    stated = ((field, bounds_of(field.type)) for field in fields(kind))
    limits = tuple(
        _Limit(field.name, field.default, bounds.least, bounds.greatest)
        for field, bounds in stated
        if bounds is not None
    )
    parts = tuple(field.name for field in fields(kind) if _holds_numbers(field.type))
    return _Plan(limits, _getter(tuple(limit.name for limit in limits)), parts)


def _getter(names: tuple[str, ...]) -> Callable[[Struct], tuple[object, ...]]:
    if len(names) > 1:
        return attrgetter(*names)
    return lambda record: tuple(getattr(record, name) for name in names)


def _holds_numbers(kind: Kind) -> bool:
    """Whether the kind is, or is made of, records that hold decimals."""
    for member in map(unannotated, members(kind)):
        if is_record(member) and (_plan(member).limits or _plan(member).parts):
            return True
        if origin(member) in (tuple, dict) and any(map(_holds_numbers, get_args(member))):
            return True
    return False
