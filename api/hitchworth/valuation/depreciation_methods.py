"""Depreciation as the published formulas have it: the share of the cost that is left at the end of each year, exactly.

The schedules are drawn from these. `tests/published` holds them against the functions of OpenFormula.
"""

from bisect import bisect_left
from collections.abc import Callable
from fractions import Fraction
from math import ceil

from hitchworth.valuation.curve import YearlyCurve
from hitchworth.valuation.money import half_up

OLDEST = 100
"""Years after which no balance is drawn any more: the share left stays what it is."""

WIDEST = 10**150
"""The greatest denominator that a balance is carried with."""

ONE = Fraction(1)
DEFAULT_FACTOR = Fraction(2)


class DecliningBalance:
    """Each year takes `rate` of what is left, down to the residual; after p years the power p of (1 - rate) is left.

    `switch_over` is the life in years, where the method is to go over to straight line: as soon as what remains, spread
    over the remaining life, makes more in a year. Once it does so, it does for good, because the balance that the rate
    takes from falls: so the year of going over is found by bisection. `first` is what the first year counts for.
    """

    __slots__ = ("_first", "_life", "_rate", "_residual", "left", "since", "switched")

    def __init__(
        self, rate: Fraction, residual: Fraction, *, switch_over: Fraction | None = None, first: Fraction = ONE
    ) -> None:
        self._rate, self._residual, self._life, self._first = rate, residual, switch_over, first
        self.switched = OLDEST + 1 if switch_over is None else self._switched(min(switch_over, self._drawn))
        """The number of the point from which straight line goes on."""
        self.since, self.left = self.age(self.switched), self.kept(self.switched)
        """The age and the share at that point."""

    def points(self) -> YearlyCurve:
        """A point for every year that the first one begins, and the end."""
        end = self._drawn if self._life is None else min(self._life, self._drawn)
        return YearlyCurve(self._share, end, first=self._first)

    def age(self, number: int) -> Fraction:
        """At the point of a number."""
        return self._first + number - 1 if number else Fraction(0)

    def kept(self, number: int) -> Fraction:
        """What the rate has left at the point of a number, the residual at least."""
        left = carried((1 - self._rate * self._first) * _power(1 - self._rate, number - 1)) if number else ONE
        return max(left, self._residual)

    @property
    def _drawn(self) -> Fraction:
        return self._first + OLDEST - (self._first == ONE)

    def _switched(self, end: Fraction) -> int:
        return bisect_left(range(ceil(end)), True, key=self._straight)

    def _straight(self, number: int) -> bool:
        share, life = self.kept(number), self._life
        return life is not None and share * self._rate * (life - self.age(number)) <= share - self._residual

    def _share(self, number: int, age: Fraction) -> Fraction:
        life = self._life
        if life is not None and age >= life:
            return self._residual
        if life is None or number <= self.switched:
            return self.kept(number)
        return self.left - (self.left - self._residual) * (age - self.since) / (life - self.since)


def sum_of_years(life: Fraction, residual: Fraction) -> YearlyCurve:
    """Each year takes its digit, counted down from the life, over the sum of the digits.

    After p years p(2L + 1 - p) / (L(L + 1)) of what can be lost is gone; at the end of a life L all of it.
    """

    def share(_: int, year: Fraction) -> Fraction:
        return 1 - (1 - residual) * year * (2 * life + 1 - year) / (life * (life + 1))

    return _over(life, share)


def present_worth(life: Fraction, discount_rate: Fraction) -> YearlyCurve:
    """Present worth of 1 a year for the remaining life over that for the whole life.

    California State Board of Equalization, Assessors' Handbook section 582 (1981, reprinted 2015). Exact at whole
    years of age; between them percent good runs in a straight line.
    """
    whole = annuity(life, discount_rate)
    return _over(life, lambda _, year: annuity(life - year, discount_rate) / whole)


def _over(life: Fraction, share: Callable[[int, Fraction], Fraction]) -> YearlyCurve:
    """At 0, 1, 2 ... and the life itself; or as far as a balance is drawn."""
    return YearlyCurve(share, min(life, Fraction(OLDEST)))


def annuity(years: Fraction, rate: Fraction) -> Fraction:
    """Present worth of 1 at the end of each year at a yearly rate of interest; part of a year in proportion."""
    complete = years.numerator // years.denominator
    begun = years - complete
    discounted = _power(1 / (1 + rate), complete)
    worth = Fraction(complete) if not rate else (1 - discounted) / rate
    return carried(worth + begun * discounted / (1 + rate) if begun else worth)


def carried(exact: Fraction) -> Fraction:
    """The value itself, unless it has outgrown WIDEST: then to that many parts, far below anything an amount shows.

    A rate of twelve decimals would else gather hundreds of digits, and the time that they take, year by year.
    """
    if exact.denominator <= WIDEST:
        return exact
    return Fraction(half_up(exact.numerator * WIDEST, exact.denominator), WIDEST)


def _power(base: Fraction, exponent: int) -> Fraction:
    """By squaring, each product carried; in whole numbers, because reducing is dear."""
    share, whole = 1, 1
    for bit in f"{exponent:b}":
        factor, of = base.as_integer_ratio() if bit == "1" else (1, 1)
        share, whole = share * share * factor, whole * whole * of
        if whole > WIDEST:
            share, whole = half_up(share * WIDEST, whole), WIDEST
    return Fraction(share, whole)
