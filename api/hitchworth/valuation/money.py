"""Money: the one place that knows a currency's minor unit, how an amount is rounded, and how one is split.

Inside the valuation an amount is a whole number of minor units (cents, yen, fils), so every sum is exact; at its
edges it is a Decimal with the decimals of its currency.
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
"""The context of the valuation.

A product of quantity, price and exchange rate has at most 63 digits and is exact. A quotient that is not exact differs
from every half minor unit by more than its hundredth digit, so rounding it once more cannot go astray.
"""

_SCALES = tuple((int(10**places), Decimal(1).scaleb(-places)) for places in range(13))


P = ParamSpec("P")
R = TypeVar("R")


def precisely(function: Callable[P, R]) -> Callable[P, R]:
    """Have a function reckon in the precise context, whatever context it is called in."""

    @wraps(function)
    def computed(*args: P.args, **kwargs: P.kwargs) -> R:
        with localcontext(PRECISE):
            return function(*args, **kwargs)

    return computed


class Division(Protocol):
    """A division of whole numbers whose result is a whole number."""

    def __call__(self, numerator: int, denominator: int, /) -> int:
        """The quotient, rounded. The numerator is not negative, the denominator is positive."""


def half_up(numerator: int, denominator: int, /) -> int:
    """The nearest whole number; from half way, up. (Regulation (EC) 1103/97, article 5: exactly half goes up.)"""
    return (2 * numerator + denominator) // (2 * denominator)


def half_even(numerator: int, denominator: int, /) -> int:
    """The nearest whole number; from half way, to the even one."""
    whole, rest = divmod(numerator, denominator)
    return whole + (2 * rest > denominator or (2 * rest == denominator and whole % 2))


def printed(numerator: int, denominator: int, places: int) -> Decimal:
    """An exact ratio that is not negative, rounded half up to so many decimals, 12 at most."""
    scale, unit = _SCALES[places]
    return (2 * scale * numerator + denominator) // (2 * denominator) * unit


def split(total: int, weights: Sequence[int]) -> list[int]:
    """Split a whole number in proportion to weights by largest remainder: the parts add up to the total.

    What is left after every part has been cut down to a whole number goes, one each, to the parts that lost most;
    among equals to the first. Where all weights are 0, so must be the total.
    """
    whole = sum(weights)
    if not total:
        return [0] * len(weights)
    if not whole:
        raise ValueError("nothing to split over: every weight is 0")
    shares = [total * weight // whole for weight in weights]
    losses = [total * weight % whole for weight in weights]
    rest = total - sum(shares)
    for place in sorted(range(len(losses)), key=losses.__getitem__, reverse=True)[:rest]:
        shares[place] += 1
    return shares


class Money:
    """The currency of an estimate with its minor unit, and the rounding that was asked for."""

    __slots__ = ("_mode", "_scale", "divide", "exponent", "unit")

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
        """One minor unit as an amount: 0.01 of a dollar."""

    def minor(self, amount: Decimal) -> int:
        """An exact amount, rounded to whole minor units."""
        return int((amount * self._scale).to_integral_value(self._mode))

    def whole(self, minor: Decimal) -> int:
        """Minor units, rounded to whole ones."""
        return int(minor.to_integral_value(self._mode))

    def amount(self, minor: int) -> Decimal:
        """Whole minor units as an amount with the decimals of the currency."""
        return minor * self.unit

    def rounded(self, exact: Fraction) -> Decimal:
        """An exact amount that is not negative, rounded to the decimals of the currency."""
        return self.amount(self.divide(exact.numerator * 10**self.exponent, exact.denominator))

    def part(self, minor: int, share: Fraction) -> int:
        """A share of an amount, rounded to whole minor units."""
        return self.divide(minor * share.numerator, share.denominator)
