"""Numbers within the bounds that their fields state, and short enough to compute with.

`Decimal` allows NaN, Infinity and 1E999999, and arithmetic on the last one blocks a process for many seconds. So every
number must be finite, have at most SIGNIFICANT_DIGITS digits, and be 0 or at least 1E-12.
"""

from collections.abc import Callable, Iterable, Iterator, Sequence
from decimal import Clamped, Context, Decimal, Inexact, InvalidOperation, Overflow, Rounded, Subnormal, Underflow
from functools import cache
from itertools import chain
from operator import attrgetter
from typing import Any, NamedTuple, get_args

from msgspec import Struct

from hitchworth.model.fault import Fault
from hitchworth.model.numbers import SIGNIFICANT_DIGITS
from hitchworth.validation.fault_texts import OUT_OF_RANGE, shorten
from hitchworth.validation.json_pointer import child_pointer
from hitchworth.validation.type_inspection import (
    TypeForm,
    bounds_of,
    generic_origin,
    is_record,
    record_fields,
    strip_annotations,
    union_members,
)

_EXACT = Context(
    prec=SIGNIFICANT_DIGITS,
    Emax=14,
    Emin=-12,
    traps=[Clamped, Inexact, InvalidOperation, Overflow, Rounded, Subnormal, Underflow],
)
_exact = _EXACT.plus
_is_finite = Decimal.is_finite
_ZERO = Decimal(0)


class _BoundedField(NamedTuple):
    """A field that holds a decimal, with its bounds."""

    name: str
    default: object
    least: Decimal
    greatest: Decimal
    below_zero_with: str
    """The field without which the least is 0."""
    get: Callable[[Any], Any]


class _Plan(NamedTuple):
    """Which fields of a record to check."""

    signed: tuple[_BoundedField, ...]
    unsigned: tuple[_BoundedField, ...]
    """The same fields with 0 as the least of those that are signed only with another field."""
    below_zero_with: str
    """The field that decides between the two; empty: they are the same."""
    nested: tuple[str, ...]
    """The fields that hold records with numbers."""
    nested_values: tuple[Callable[[Any], Any], ...]
    """Return the value of each of these fields."""


def bound_faults(value: object, pointer: str = "") -> Iterator[Fault]:
    """Yield a fault for each number in the value that is outside the bounds of its field."""
    if not _are_sound([value]):
        yield from _faults(value, pointer)


def _are_sound(values: Sequence[Any]) -> bool:
    """Return whether there is no fault. Faster than looking for the place of one, and almost always true.

    Records of one kind are looked at together, field by field: a build has few kinds and many records.
    """
    for kind in set(map(type, values)):
        of_kind: list[Any] = [value for value in values if type(value) is kind]
        if issubclass(kind, Struct):
            sound = _records_are_sound(of_kind, _plan(kind))
        elif kind is tuple:
            sound = _are_sound(list(chain.from_iterable(of_kind)))
        else:
            sound = kind is not dict or all(_are_sound(list(value.values())) for value in of_kind)
        if not sound:
            return False
    return True


def _records_are_sound(records: Sequence[Struct], plan: _Plan) -> bool:
    signed = [record for record in records if _has_sign(record, plan)] if plan.below_zero_with else []
    unsigned = [record for record in records if not _has_sign(record, plan)] if signed else records
    return (
        all(_in_bounds(field, map(field.get, unsigned)) for field in plan.unsigned)
        and (not signed or all(_in_bounds(field, map(field.get, signed)) for field in plan.signed))
        and all(_are_sound(list(map(get, records))) for get in plan.nested_values)
    )


def _has_sign(record: Struct, plan: _Plan) -> bool:
    return getattr(record, plan.below_zero_with) is not None


def _in_bounds(field: _BoundedField, numbers: Iterable[Any]) -> bool:
    """Return whether every number is null, or is finite, short enough and within the bounds of its field."""
    default = field.default
    # Most fields are left out and hold the default object itself: nothing to check.
    given = [number for number in numbers if number is not default and number is not None]
    if not given:
        return True
    try:
        exact = list(map(_exact, given))
    except ArithmeticError:
        return False
    return all(map(_is_finite, exact)) and field.least <= min(exact) and max(exact) <= field.greatest


def _faults(value: Any, pointer: str) -> Iterator[Fault]:
    if isinstance(value, Struct):
        plan = _plan(type(value))
        for field in plan.signed if plan.below_zero_with and _has_sign(value, plan) else plan.unsigned:
            number = field.get(value)
            if not _in_bounds(field, [number]):
                yield _fault(field, number, child_pointer(pointer, field.name))
        for name in plan.nested:
            yield from _faults(getattr(value, name), child_pointer(pointer, name))
    elif isinstance(value, tuple):
        for index, item in enumerate(value):
            yield from _faults(item, child_pointer(pointer, index))
    elif isinstance(value, dict):
        for name, item in value.items():
            yield from _faults(item, child_pointer(pointer, name))


def _fault(field: _BoundedField, number: Any, pointer: str) -> Fault:
    if number.is_finite() and field.least <= number <= field.greatest:
        return Fault(
            pointer=pointer,
            detail="Number is too precise",
            expected=f"at most {SIGNIFICANT_DIGITS} digits, and 0 or at least 0.000000000001",
            found=shorten(str(number)),
        )
    needs_field = field.below_zero_with and not field.least
    below_zero = f"; below 0 for a refund, with {field.below_zero_with}: what it takes back" if needs_field else ""
    return Fault(
        pointer=pointer,
        detail=OUT_OF_RANGE,
        expected=f"a number from {field.least:,} to {field.greatest:,}" + below_zero,
        found=shorten(str(number)),
    )


@cache
def _plan(kind: type[Struct]) -> _Plan:
    fields = record_fields(kind)
    bounded = tuple(
        _BoundedField(
            field.name,
            field.default,
            bounds.least,
            bounds.greatest,
            bounds.below_zero_with,
            attrgetter(field.name),
        )
        for field in fields
        if (bounds := bounds_of(field.type)) is not None
    )
    nested = tuple(field.name for field in fields if _holds_numbers(field.type))
    unsigned = tuple(each._replace(least=max(each.least, _ZERO)) for each in bounded)
    below_zero_with = next((each.below_zero_with for each in bounded if each.below_zero_with), "")
    return _Plan(bounded, unsigned, below_zero_with, nested, tuple(map(attrgetter, nested)))


def _holds_numbers(kind: TypeForm) -> bool:
    """Return whether the type is, or contains, a record with decimals."""
    for member in map(strip_annotations, union_members(kind)):
        if is_record(member) and (_plan(member).signed or _plan(member).nested):
            return True
        if generic_origin(member) in (tuple, dict) and any(map(_holds_numbers, get_args(member))):
            return True
    return False
