"""Read a fact as it was given (bare, with a unit, only planned, unknown) into the unit of the vocabulary, exactly."""

import math
from fractions import Fraction
from typing import TypeAlias

from msgspec import Struct

from hitchworth.model.build import FactValue, Measurement
from hitchworth.reference.facts import FactDefinition
from hitchworth.reference.quantity import read_quantity
from hitchworth.reference.units import Unit, convert, find_unit, units_like

Value: TypeAlias = bool | Fraction | str
Bare: TypeAlias = bool | int | float | str | None


class Reading(Struct, frozen=True, kw_only=True):
    """A fact as it is compared: `value` in the unit of the vocabulary, None when not known; `given` as written."""

    value: Value | None
    given: bool | int | str | None
    planned: bool = False


UNKNOWN = Reading(value=None, given=None)


class UnreadableFactError(ValueError):
    """A fact that is not of its type, its unit or its range. `member` is what of it is at fault: value or unit."""

    def __init__(self, expected: str, found: object, member: str = "value") -> None:
        super().__init__(f"expected {expected}, found {found}")
        self.expected = expected
        self.found = str(found).lower() if isinstance(found, bool) else str(found)
        self.member = member


def read_fact(fact: FactDefinition, given: FactValue) -> Reading:
    """The fact in the unit of the vocabulary. Raises UnreadableFactError."""
    measure = given if isinstance(given, Measurement) else Measurement(value=given)
    if measure.unit is not None and fact.unit is None:
        raise UnreadableFactError(f"no unit: {fact.name} has none", measure.unit, "unit")
    if measure.value is None:
        return Reading(value=None, given=None, planned=measure.planned)
    value = _number(fact, measure) if fact.type in {"integer", "number"} else _word(fact, measure.value)
    return Reading(value=value, given=_as_given(measure), planned=measure.planned)


def _word(fact: FactDefinition, value: Bare) -> Value:
    if fact.type == "boolean":
        if isinstance(value, bool):
            return value
        raise UnreadableFactError("true, false or null", value)
    if isinstance(value, str) and (value in fact.values or fact.type == "text"):
        return value
    raise UnreadableFactError(f"one of {', '.join(fact.values)}" if fact.values else "text", value)


def _number(fact: FactDefinition, measure: Measurement) -> Value:
    amount, written = _quantity(measure.value)
    unit = _named_unit(fact, measure.unit, written) if measure.unit else written
    if unit is not None:
        amount = _converted(fact, amount, unit, "unit" if measure.unit else "value")
    if fact.type == "integer" and amount.denominator != 1:
        raise UnreadableFactError("a whole number", measure.value)
    if not 0 <= amount <= Fraction(fact.greatest or 0):
        limit = f"{fact.greatest} {fact.unit or ''}".strip()
        raise UnreadableFactError(f"a number from 0 to {limit}", _as_given(measure))
    return amount


def _quantity(value: Bare) -> tuple[Fraction, Unit | None]:
    """A number as written, floats by their shortest text, and the unit that a text names."""
    if isinstance(value, bool) or (isinstance(value, float) and not math.isfinite(value)):
        raise UnreadableFactError("a number", value)
    try:
        return read_quantity(value) if isinstance(value, str) else (Fraction(str(value)), None)
    except ValueError:
        raise UnreadableFactError("a number, alone or with its unit: 2.59, 102 in, 8' 6\"", value) from None


def _named_unit(fact: FactDefinition, name: str, written: Unit | None) -> Unit:
    named = find_unit(name)
    if named is None:
        own = find_unit(fact.unit or "")
        raise UnreadableFactError(f"one of {', '.join(units_like(own))}" if own else "no unit", name, "unit")
    if written is not None and written != named:
        raise UnreadableFactError(f"the unit of the value, {written.name}", name, "unit")
    return named


def _converted(fact: FactDefinition, amount: Fraction, unit: Unit, member: str) -> Fraction:
    wanted = find_unit(fact.unit or "")
    if wanted is None:
        raise UnreadableFactError(f"no unit: {fact.name} has none", unit.name, member)
    if unit.quantity != wanted.quantity:
        raise UnreadableFactError(f"a unit of {wanted.quantity}: {', '.join(units_like(wanted))}", unit.name, member)
    return convert(amount, unit, wanted)


def _as_given(measure: Measurement) -> bool | int | str | None:
    value = str(measure.value) if isinstance(measure.value, float) else measure.value
    return f"{value} {measure.unit}" if measure.unit else value
