"""Units of measurement, exact conversion between them, and quantities as people write them.

Ratios are exact, so rounding never carries a value across a threshold. A quantity that can be read two ways is refused.
"""

import re
from decimal import Decimal
from fractions import Fraction
from functools import cache

from msgspec import Struct

from hitchworth.reference.load import read

SHOWN_PLACES = 6
_NUMBER = r"(?:\d+(?:\.\d+)?(?:[ -]\d+/[1-9]\d*)?|\d+/[1-9]\d*)"


class Unit(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A unit of measurement. `ratio` is its size in the base unit of the quantity, as a ratio of integers."""

    name: str
    quantity: str
    ratio: str
    aliases: tuple[str, ...] = ()


@cache
def units() -> tuple[Unit, ...]:
    """Return every unit in which a fact may be given."""
    return read("units.yaml", tuple[Unit, ...])


@cache
def _by_name() -> dict[str, Unit]:
    return {name.casefold(): unit for unit in units() for name in (unit.name, *unit.aliases)}


def find_unit(name: str) -> Unit | None:
    """Return the unit of this name or alias, or None: lb, lbs and pounds are the same unit."""
    return _by_name().get(name.strip().casefold())


def units_like(unit: Unit) -> tuple[str, ...]:
    """Return the names of the units that measure the same quantity."""
    return tuple(other.name for other in units() if other.quantity == unit.quantity)


def convert(value: Fraction, source: Unit, target: Unit) -> Fraction:
    """Return the value in another unit, exactly. Raises ValueError when the units measure different quantities."""
    if source.quantity != target.quantity:
        raise ValueError(f"{source.name} is not a unit of {target.quantity}")
    return value * Fraction(source.ratio) / Fraction(target.ratio)


@cache
def _pattern() -> re.Pattern[str]:
    names = sorted((name for unit in units() for name in (unit.name, *unit.aliases)), key=len, reverse=True)
    unit = "|".join(map(re.escape, names))
    return re.compile(
        rf"\s*({_NUMBER})\s*(?:({unit})(?:\s*-?\s*({_NUMBER})\s*({unit}))?)?\s*", flags=re.IGNORECASE | re.ASCII
    )


def parse_quantity(text: str) -> tuple[Fraction, Unit | None]:
    """Return the value and its unit: None when the text names no unit, the first unit when it names two (8 ft 6 in).

    Raises ValueError for any other text, and for a comma, which is a decimal point in some countries.
    """
    match = _pattern().fullmatch(text)
    if not match:
        raise ValueError(f"not a quantity: {text}")
    first, first_unit, second, second_unit = match.groups()
    if second is None:
        return _number(first), find_unit(first_unit) if first_unit else None
    return _sum(first, first_unit, second, second_unit)


def _sum(first: str, first_unit: str, second: str, second_unit: str) -> tuple[Fraction, Unit]:
    larger, smaller = find_unit(first_unit), find_unit(second_unit)
    if larger is None or smaller is None or Fraction(smaller.ratio) >= Fraction(larger.ratio):
        raise ValueError(f"not a quantity: {first} {first_unit} {second} {second_unit}")
    return _number(first) + convert(_number(second), smaller, larger), larger


def _number(text: str) -> Fraction:
    return sum((Fraction(part) for part in re.split(r"[ -]", text)), Fraction(0))


def decimal_text(value: Fraction) -> str:
    """Return the value as a decimal: in full if it ends, else to six places. For display only, not for comparison."""
    rest, twos, fives = value.denominator, 0, 0
    while rest % 2 == 0:
        rest, twos = rest // 2, twos + 1
    while rest % 5 == 0:
        rest, fives = rest // 5, fives + 1
    places = max(twos, fives) if rest == 1 else SHOWN_PLACES
    return f"{Decimal(round(value * 10**places)).scaleb(-places):f}"
