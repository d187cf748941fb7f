"""Depreciation methods: the exact share of the cost that remains at the end of each year, by the published formulas.

`tests/published` compares them with the functions of OpenFormula.
"""

from bisect import bisect_left
from collections.abc import Callable
from fractions import Fraction
from math import ceil

from hitchworth.money import half_up
from hitchworth.valuation.curve import YearlyCurve

MAX_YEARS = 100
"""After this many years the remaining share no longer changes."""

MAX_DENOMINATOR = 10**150
"""The greatest denominator that a share is computed with."""

ONE = Fraction(1)
DEFAULT_FACTOR = Fraction(2)


class DecliningBalance:
    """Declining balance: each year takes `rate` of what remains, down to the residual.

    After p years (1 - rate)^p remains. `first` is the length of the first year. With `life`, the method switches to
    straight line as soon as spreading the rest over the remaining life takes more in a year. From then on it always
    does, because the balance that the rate applies to keeps falling; so bisection finds the year of the switch.
    """

    __slots__ = ("_first", "_life", "_rate", "_residual", "switch_age", "switch_point", "switch_share")

    def __init__(
        self, rate: Fraction, residual: Fraction, *, life: Fraction | None = None, first: Fraction = ONE
    ) -> None:
        """`life`: in years, only if the method is to switch to straight line."""
        self._rate, self._residual, self._life, self._first = rate, residual, life, first
        self.switch_point = MAX_YEARS + 1 if life is None else self._find_switch()
        """The index of the point from which straight line goes on."""
        self.switch_age = self._age_at(self.switch_point)
        self.switch_share = self._share_by_rate(self.switch_point)

    def curve(self) -> YearlyCurve:
        """Return the curve, with a point at the start of each year and one at the end."""
        end = self._last_age if self._life is None else min(self._life, self._last_age)
        return YearlyCurve(self._share, end, first=self._first)

    def _share(self, point: int, age: Fraction) -> Fraction:
        life = self._life
        if life is not None and age >= life:
            return self._residual
        if life is None or point <= self.switch_point:
            return self._share_by_rate(point)
        elapsed = (age - self.switch_age) / (life - self.switch_age)
        return self.switch_share - (self.switch_share - self._residual) * elapsed

    def _share_by_rate(self, point: int) -> Fraction:
        """What the rate leaves at a point, at least the residual."""
        if not point:
            return ONE
        share = bound_denominator((1 - self._rate * self._first) * _power(1 - self._rate, point - 1))
        return max(share, self._residual)

    def _age_at(self, point: int) -> Fraction:
        return self._first + point - 1 if point else Fraction(0)

    @property
    def _last_age(self) -> Fraction:
        return self._first + MAX_YEARS - (self._first == ONE)

    def _find_switch(self) -> int:
        return bisect_left(range(ceil(self._last_age)), True, key=self._is_straight_line_faster)

    def _is_straight_line_faster(self, point: int) -> bool:
        share, life = self._share_by_rate(point), self._life
        return life is not None and share * self._rate * (life - self._age_at(point)) <= share - self._residual


def sum_of_years(life: Fraction, residual: Fraction) -> YearlyCurve:
    """Return the curve of sum of years' digits: each year takes its digit over the sum of the digits.

    The digits count down from the life L. After p years, p(2L + 1 - p) / (L(L + 1)) of the depreciable share is gone;
    at the end of the life all of it.
    """

    def share(_: int, year: Fraction) -> Fraction:
        return 1 - (1 - residual) * year * (2 * life + 1 - year) / (life * (life + 1))

    return _yearly_curve(life, share)


def present_worth(life: Fraction, discount_rate: Fraction) -> YearlyCurve:
    """Return the curve of present worth: of 1 a year for the remaining life, over that for the whole life.

    California State Board of Equalization, Assessors' Handbook section 582 (1981, reprinted 2015). Exact at whole
    years of age; between them percent good runs in a straight line.
    """
    whole_life = annuity(life, discount_rate)
    return _yearly_curve(life, lambda _, year: annuity(life - year, discount_rate) / whole_life)


def _yearly_curve(life: Fraction, share: Callable[[int, Fraction], Fraction]) -> YearlyCurve:
    return YearlyCurve(share, min(life, Fraction(MAX_YEARS)))


def annuity(years: Fraction, rate: Fraction) -> Fraction:
    """Return the present worth of 1 at the end of each year at a yearly rate of interest; part of a year in proportion.

    (1 - (1 + rate)^-n) / rate for n complete years.
    """
    complete = years.numerator // years.denominator
    begun = years - complete
    discount = _power(1 / (1 + rate), complete)
    worth = Fraction(complete) if not rate else (1 - discount) / rate
    return bound_denominator(worth + begun * discount / (1 + rate) if begun else worth)


def bound_denominator(exact: Fraction) -> Fraction:
    """Return the value itself, or, if its denominator exceeds MAX_DENOMINATOR, the nearest value with that one.

    A rate of twelve decimals would otherwise add digits, and computing time, with every year. The difference is far
    below anything that an amount shows.
    """
    if exact.denominator <= MAX_DENOMINATOR:
        return exact
    return Fraction(half_up(exact.numerator * MAX_DENOMINATOR, exact.denominator), MAX_DENOMINATOR)


def _power(base: Fraction, exponent: int) -> Fraction:
    """By squaring, with a bounded denominator; in whole numbers, because reducing fractions is slow."""
    numerator, denominator = 1, 1
    for bit in f"{exponent:b}":
        factor, divisor = base.as_integer_ratio() if bit == "1" else (1, 1)
        numerator, denominator = numerator * numerator * factor, denominator * denominator * divisor
        if denominator > MAX_DENOMINATOR:
            numerator, denominator = half_up(numerator * MAX_DENOMINATOR, denominator), MAX_DENOMINATOR
    return Fraction(numerator, denominator)
