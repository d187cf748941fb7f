"""A curve of percent good: what is left at each age, drawn through points."""

from bisect import bisect_right
from collections.abc import Callable, Iterable
from fractions import Fraction
from math import ceil, gcd, lcm
from typing import NamedTuple, Protocol, TypeAlias

Point: TypeAlias = tuple[Fraction, Fraction]
"""An age in years, and the share of the cost that is left at it."""

FLAT = Fraction(0)
YEAR = Fraction(1)


class Span(NamedTuple):
    """The part of a curve that an age lies on. A level part begins and ends with the same share."""

    age: Fraction
    share: Fraction
    end_age: Fraction
    end_share: Fraction


class Points(Protocol):
    """Points that rise in age from 0. Past the last all is level."""

    def place(self, numerator: int, denominator: int) -> int:
        """The number of the span that an age of numerator / denominator years lies on."""

    def span(self, place: int) -> Span:
        """The span of this number."""


class PointCurve:
    """Points that are all known, with straight lines between them, or steps."""

    __slots__ = ("_scale", "_spans", "_starts")

    def __init__(self, points: Iterable[Point], *, stepped: bool = False) -> None:
        """The first point must lie at age 0."""
        known = list(points)
        self._spans = [
            Span(age, share, *((following[0], share) if stepped else following))
            for (age, share), following in zip(known, [*known[1:], known[-1]], strict=True)
        ]
        self._scale = lcm(*(span.age.denominator for span in self._spans))
        self._starts = [int(span.age * self._scale) for span in self._spans]

    def place(self, numerator: int, denominator: int) -> int:
        """By bisection, in whole numbers over a common denominator."""
        return bisect_right(self._starts, numerator * self._scale // denominator) - 1

    def span(self, place: int) -> Span:
        """From one point to the next."""
        return self._spans[place]


class YearlyCurve:
    """Points a year apart, straight lines between them; a point is reckoned when an age beside it is asked for."""

    __slots__ = ("_end", "_first", "_last", "_share")

    def __init__(self, share: Callable[[int, Fraction], Fraction], end: Fraction, *, first: Fraction = YEAR) -> None:
        """`share` gives what is left at a point, by its number and its age.

        Points lie at 0, at `first`, from there a year apart, and at the end.
        """
        self._share = share
        self._end = end
        self._first = first
        self._last = max(ceil(end - first), 0) + 1

    def place(self, numerator: int, denominator: int) -> int:
        """The years begun before the age."""
        end, first = self._end, self._first
        if numerator * end.denominator >= end.numerator * denominator:
            return self._last
        return (numerator * first.denominator - first.numerator * denominator) // (denominator * first.denominator) + 1

    def span(self, place: int) -> Span:
        """From one year to the next."""
        return Span(*self._point(place), *self._point(place + 1))

    def _point(self, number: int) -> Point:
        number = min(number, self._last)
        age = self._end if number == self._last else self._first + number - 1 if number else FLAT
        return age, self._share(number, age)


class Curve:
    """The line through points, nowhere below a floor. Reckoned in whole numbers over common denominators, exactly."""

    __slots__ = ("_floor", "_lines", "_points")

    def __init__(self, points: Points, *, floor: Fraction = FLAT) -> None:
        self._points = points
        self._floor = floor.as_integer_ratio()
        self._lines: dict[int, tuple[int, int, int]] = {}

    def at(self, age: Fraction) -> Fraction:
        """The share left at an age of 0 or more, exactly."""
        return Fraction(*self.ratio(*age.as_integer_ratio()))

    def ratio(self, numerator: int, denominator: int) -> tuple[int, int]:
        """The same at numerator / denominator years, and not reduced: a line needs no more, and reducing is dear."""
        place = self._points.place(numerator, denominator)
        line = self._lines.get(place)
        if line is None:
            line = self._lines[place] = _line(self._points.span(place))
        start, slope, whole = line
        share, whole = start * denominator + slope * numerator, whole * denominator
        least, of = self._floor
        return (least, of) if share * of < least * whole else (share, whole)

    def span(self, age: Fraction) -> Span:
        """The part of the curve that the age lies on."""
        return self._points.span(self._points.place(*age.as_integer_ratio()))


def _line(span: Span) -> tuple[int, int, int]:
    """The share left at any age of the span is (start + slope x age) / whole."""
    (share, of), (end_share, end_of) = span.share.as_integer_ratio(), span.end_share.as_integer_ratio()
    if span.share == span.end_share:
        return share, 0, of
    age, unit = span.age.as_integer_ratio()
    width, width_unit = (span.end_age - span.age).as_integer_ratio()
    fall = (end_share * of - share * end_of) * width_unit
    start, slope, whole = share * end_of * width * unit - fall * age, fall * unit, of * end_of * width * unit
    common = gcd(start, slope, whole)
    return start // common, slope // common, whole // common
