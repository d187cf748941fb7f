"""Quantities as people write them: 31.2, 3000 lb, 8' 6", 8 ft 6 1/2 in. What can be read two ways is refused."""

import re
from decimal import Decimal
from fractions import Fraction
from functools import cache

from hitchworth.reference.units import Unit, convert, find_unit, units

_NUMBER = r"(?:\d+(?:\.\d+)?(?:[ -]\d+/[1-9]\d*)?|\d+/[1-9]\d*)"


@cache
def _pattern() -> re.Pattern[str]:
    names = sorted((name for unit in units() for name in (unit.name, *unit.also)), key=len, reverse=True)
    unit = "|".join(map(re.escape, names))
    return re.compile(
        rf"\s*({_NUMBER})\s*(?:({unit})(?:\s*-?\s*({_NUMBER})\s*({unit}))?)?\s*", flags=re.IGNORECASE | re.ASCII
    )


def read_quantity(text: str) -> tuple[Fraction, Unit | None]:
    """The value and its unit; the unit is None when the text names none, and the first where it names two.

    Raises ValueError for anything else, and for a comma, which is a point to some and nothing to others.
    """
    match = _pattern().fullmatch(text)
    if not match:
        raise ValueError(f"no quantity: {text}")
    first, first_unit, second, second_unit = match.groups()
    if second is None:
        return _number(first), find_unit(first_unit) if first_unit else None
    return _sum(first, first_unit, second, second_unit)


def _sum(first: str, first_unit: str, second: str, second_unit: str) -> tuple[Fraction, Unit]:
    larger, smaller = find_unit(first_unit), find_unit(second_unit)
    if larger is None or smaller is None or Fraction(smaller.ratio) >= Fraction(larger.ratio):
        raise ValueError(f"no quantity: {first} {first_unit} {second} {second_unit}")
    return _number(first) + convert(_number(second), smaller, larger), larger


def _number(text: str) -> Fraction:
    return sum((Fraction(part) for part in re.split(r"[ -]", text)), Fraction(0))


SHOWN_PLACES = 6


def decimal_text(value: Fraction) -> str:
    """The value written out in full where its decimals end, else to six places. To be shown, never to be compared."""
    rest, twos, fives = value.denominator, 0, 0
    while rest % 2 == 0:
        rest, twos = rest // 2, twos + 1
    while rest % 5 == 0:
        rest, fives = rest // 5, fives + 1
    places = max(twos, fives) if rest == 1 else SHOWN_PLACES
    return f"{Decimal(round(value * 10**places)).scaleb(-places):f}"
