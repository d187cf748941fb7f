"""Money: the minor unit of a currency, and how amounts are rounded and split.

Inside the core an amount is a whole number of minor units (cents, yen, fils), so every sum is exact. Records hold
a Decimal with the decimals of the currency.
"""

from collections.abc import Callable, Sequence
from decimal import (
    ROUND_HALF_EVEN,
    ROUND_HALF_UP,
    Context,
    Decimal,
    DivisionByZero,
    InvalidOperation,
    Overflow,
    localcontext,
)
from fractions import Fraction
from functools import wraps
from typing import ParamSpec, Protocol, TypeVar

from hitchworth.model.options import Rounding
from hitchworth.reference.currencies import exponent_of

PRECISE = Context(prec=100, rounding=ROUND_HALF_EVEN, traps=[InvalidOperation, DivisionByZero, Overflow])
"""The decimal context of the core.

The product of a quantity, a price and an exchange rate has at most 63 digits, so it is exact. A quotient that is not
exact differs from every half of a minor unit before its hundredth digit, so rounding it a second time changes nothing.
"""

_SCALES = tuple((int(10**places), Decimal(1).scaleb(-places)) for places in range(13))


P = ParamSpec("P")
R = TypeVar("R")


def precisely(function: Callable[P, R]) -> Callable[P, R]:
    """Run a function in the context PRECISE, whatever the context of its caller."""

    @wraps(function)
    def computed(*args: P.args, **kwargs: P.kwargs) -> R:
        with localcontext(PRECISE):
            return function(*args, **kwargs)

    return computed


class Division(Protocol):
    """A division of whole numbers that rounds to a whole number."""

    def __call__(self, numerator: int, denominator: int, /) -> int:
        """Return the rounded quotient. The numerator must be 0 or more, the denominator positive."""


def half_up(numerator: int, denominator: int, /) -> int:
    """Return the nearest whole number; a half goes up (Regulation (EC) 1103/97, article 5)."""
    return (2 * numerator + denominator) // (2 * denominator)


def half_even(numerator: int, denominator: int, /) -> int:
    """Return the nearest whole number; a half goes to the even neighbor."""
    quotient, remainder = divmod(numerator, denominator)
    return quotient + (2 * remainder > denominator or (2 * remainder == denominator and quotient % 2))


def round_ratio(numerator: int, denominator: int, places: int) -> Decimal:
    """Return an exact ratio of 0 or more, rounded half up to a number of decimal places, at most 12."""
    scale, unit = _SCALES[places]
    return (2 * scale * numerator + denominator) // (2 * denominator) * unit


def split(total: int, weights: Sequence[int], names: Sequence[str]) -> list[int]:
    """Split a whole number in proportion to weights by largest remainder, so that the parts add up to the total.

    Each part is first rounded down. What is left goes, one unit each, to the parts with the largest remainders; among
    equal remainders to the name that comes first in the alphabet, so that the order of the parts makes no difference.
    `names`: one for each weight, all different. Raises ValueError if every weight is 0 and the total is not.
    """
    if not total:
        return [0] * len(weights)
    weight_sum = sum(weights)
    if not weight_sum:
        raise ValueError("nothing to split over: every weight is 0")
    parts = [total * weight // weight_sum for weight in weights]
    undistributed = total - sum(parts)
    if undistributed:
        for index in _largest([total * weight % weight_sum for weight in weights], undistributed, names):
            parts[index] += 1
    return parts


def _largest(numbers: Sequence[int], count: int, names: Sequence[str]) -> list[int]:
    """Return the indexes of the largest numbers; among those that equal the last of them, by name."""
    last = sorted(numbers, reverse=True)[count - 1]
    larger = [index for index, number in enumerate(numbers) if number > last]
    equal = [index for index, number in enumerate(numbers) if number == last]
    return larger + sorted(equal, key=names.__getitem__)[: count - len(larger)]


class Money:
    """The currency of an estimate with its minor unit, and the rounding mode of the options."""

    __slots__ = ("_mode", "_scale", "divide", "exponent", "unit", "zero")

    def __init__(self, currency: str, rounding: Rounding = "half_up") -> None:
        """Raise ValueError for a code that ISO 4217 does not list with a minor unit."""
        exponent = exponent_of(currency)
        if exponent is None:
            raise ValueError(f"{currency} is no currency of ISO 4217 with a minor unit")
        self.exponent = exponent
        self.divide: Division = half_up if rounding == "half_up" else half_even
        self._mode = ROUND_HALF_UP if rounding == "half_up" else ROUND_HALF_EVEN
        self._scale = Decimal(10**exponent)
        self.unit = Decimal(1).scaleb(-exponent)
        """One minor unit as an amount: 0.01 for a dollar."""
        self.zero = 0 * self.unit

    def to_minor_units(self, amount: Decimal) -> int:
        """Return an exact amount rounded to whole minor units."""
        return int((amount * self._scale).to_integral_value(self._mode))

    def from_minor_units(self, minor_units: int) -> Decimal:
        """Return whole minor units as an amount with the decimals of the currency."""
        return minor_units * self.unit

    def round_minor_units(self, minor_units: Decimal) -> int:
        """Return a fractional number of minor units rounded to a whole number."""
        return int(minor_units.to_integral_value(self._mode))

    def multiply(self, minor_units: int, ratio: Fraction) -> int:
        """Return minor units times a ratio, rounded to whole minor units."""
        return self.divide(minor_units * ratio.numerator, ratio.denominator)

    def rounded(self, exact: Fraction) -> Decimal:
        """Return an exact amount of 0 or more, rounded to the decimals of the currency."""
        return self.from_minor_units(self.divide(exact.numerator * 10**self.exponent, exact.denominator))
