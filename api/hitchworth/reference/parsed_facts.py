"""Convert facts as people give them (with or without a unit, planned, unknown) into the units of the vocabulary."""

import math
from fractions import Fraction
from typing import TypeAlias

from msgspec import Struct

from hitchworth.model.build import FactValue, Measurement
from hitchworth.reference.facts import FactDefinition
from hitchworth.reference.units import Unit, convert, find_unit, parse_quantity, units_like

Value: TypeAlias = bool | Fraction | str
GivenValue: TypeAlias = bool | int | float | str | None


class ParsedFact(Struct, frozen=True, kw_only=True):
    """A fact: its `value` in the unit of the vocabulary, or None when not known, and what was `given`.

    A `preset` fact was not given: it follows from the registered class.
    """

    value: Value | None
    given: bool | int | str | None
    planned: bool = False
    preset: bool = False


UNKNOWN = ParsedFact(value=None, given=None)


class InvalidFactError(ValueError):
    """A fact of the wrong type, unit or range. `member` is the part at fault: value or unit."""

    def __init__(self, expected: str, found: object, member: str = "value") -> None:
        super().__init__(f"expected {expected}, found {found}")
        self.expected = expected
        self.found = str(found).lower() if isinstance(found, bool) else str(found)
        self.member = member


def parse_fact(fact: FactDefinition, given: FactValue) -> ParsedFact:
    """Return the fact in the unit of the vocabulary. Raises InvalidFactError."""
    measure = given if isinstance(given, Measurement) else Measurement(value=given)
    if measure.unit is not None and fact.unit is None:
        raise InvalidFactError(f"no unit: {fact.name} has none", measure.unit, "unit")
    if measure.value is None:
        return ParsedFact(value=None, given=None, planned=measure.planned)
    value = _number(fact, measure) if fact.type in {"integer", "number"} else _boolean_or_text(fact, measure.value)
    return ParsedFact(value=value, given=_as_given(measure), planned=measure.planned)


def _boolean_or_text(fact: FactDefinition, value: GivenValue) -> Value:
    if fact.type == "boolean":
        if isinstance(value, bool):
            return value
        raise InvalidFactError("true, false or null", value)
    if isinstance(value, str) and (value in fact.values or fact.type == "text"):
        return value
    raise InvalidFactError(f"one of {', '.join(fact.values)}" if fact.values else "text", value)


def _number(fact: FactDefinition, measure: Measurement) -> Value:
    amount, written = _quantity(measure.value)
    unit = _named_unit(fact, measure.unit, written) if measure.unit else written
    if unit is not None:
        amount = _converted(fact, amount, unit, "unit" if measure.unit else "value")
    if fact.type == "integer" and amount.denominator != 1:
        raise InvalidFactError("a whole number", measure.value)
    if not 0 <= amount <= Fraction(fact.maximum or 0):
        limit = f"{fact.maximum} {fact.unit or ''}".strip()
        raise InvalidFactError(f"a number from 0 to {limit}", _as_given(measure))
    return amount


def _quantity(value: GivenValue) -> tuple[Fraction, Unit | None]:
    """Return the number (a float by its shortest text), and the unit that a text names."""
    if isinstance(value, bool) or (isinstance(value, float) and not math.isfinite(value)):
        raise InvalidFactError("a number", value)
    try:
        return parse_quantity(value) if isinstance(value, str) else (Fraction(str(value)), None)
    except ValueError:
        raise InvalidFactError("a number, alone or with its unit: 2.59, 102 in, 8' 6\"", value) from None


def _named_unit(fact: FactDefinition, name: str, written: Unit | None) -> Unit:
    named = find_unit(name)
    if named is None:
        own = find_unit(fact.unit or "")
        raise InvalidFactError(f"one of {', '.join(units_like(own))}" if own else "no unit", name, "unit")
    if written is not None and written != named:
        raise InvalidFactError(f"the unit of the value, {written.name}", name, "unit")
    return named


def _converted(fact: FactDefinition, amount: Fraction, unit: Unit, member: str) -> Fraction:
    wanted = find_unit(fact.unit or "")
    if wanted is None:
        raise InvalidFactError(f"no unit: {fact.name} has none", unit.name, member)
    if unit.quantity != wanted.quantity:
        raise InvalidFactError(f"a unit of {wanted.quantity}: {', '.join(units_like(wanted))}", unit.name, member)
    return convert(amount, unit, wanted)


def _as_given(measure: Measurement) -> bool | int | str | None:
    value = str(measure.value) if isinstance(measure.value, float) else measure.value
    return f"{value} {measure.unit}" if measure.unit else value
