"""A curve of percent good: the share of the cost that remains at each age, drawn through points."""

from bisect import bisect_right
from collections.abc import Callable, Iterable
from fractions import Fraction
from math import ceil, gcd, lcm
from typing import NamedTuple, Protocol, TypeAlias

Point: TypeAlias = tuple[Fraction, Fraction]
"""An age in years, and the share of the cost that remains at it."""

ZERO = Fraction(0)
YEAR = Fraction(1)


class Span(NamedTuple):
    """The part of a curve between two points. A level part starts and ends with the same share."""

    age: Fraction
    share: Fraction
    end_age: Fraction
    end_share: Fraction


class Points(Protocol):
    """Points whose ages rise from 0. After the last one the curve is level."""

    def span_index(self, numerator: int, denominator: int) -> int:
        """Return the index of the span that holds an age of numerator / denominator years."""

    def span(self, index: int) -> Span:
        """Return the span with this index."""


class PointCurve:
    """Points that are all known, joined by straight lines or by steps."""

    __slots__ = ("_scale", "_spans", "_starts")

    def __init__(self, points: Iterable[Point], *, stepped: bool = False) -> None:
        """The first point must be at age 0."""
        known = list(points)
        self._spans = [
            Span(age, share, *((following[0], share) if stepped else following))
            for (age, share), following in zip(known, [*known[1:], known[-1]], strict=True)
        ]
        self._scale = lcm(*(span.age.denominator for span in self._spans))
        self._starts = [int(span.age * self._scale) for span in self._spans]

    def span_index(self, numerator: int, denominator: int) -> int:
        """Find the span by bisection, in whole numbers over a common denominator."""
        return bisect_right(self._starts, numerator * self._scale // denominator) - 1

    def span(self, index: int) -> Span:
        """Return the span from one point to the next."""
        return self._spans[index]


class YearlyCurve:
    """Points a year apart, joined by straight lines. A point is computed only when an age next to it is asked for."""

    __slots__ = ("_end", "_first", "_last", "_share")

    def __init__(self, share: Callable[[int, Fraction], Fraction], end: Fraction, *, first: Fraction = YEAR) -> None:
        """`share` returns what remains at a point, given its index and its age.

        The points are at age 0, at `first`, then a year apart, and at `end`.
        """
        self._share = share
        self._end = end
        self._first = first
        self._last = max(ceil(end - first), 0) + 1

    def span_index(self, numerator: int, denominator: int) -> int:
        """Return the number of years that began before the age."""
        end, first = self._end, self._first
        if numerator * end.denominator >= end.numerator * denominator:
            return self._last
        return (numerator * first.denominator - first.numerator * denominator) // (denominator * first.denominator) + 1

    def span(self, index: int) -> Span:
        """Return the span from one year to the next."""
        return Span(*self._point(index), *self._point(index + 1))

    def _point(self, index: int) -> Point:
        index = min(index, self._last)
        age = self._end if index == self._last else self._first + index - 1 if index else ZERO
        return age, self._share(index, age)


class Curve:
    """The line through points, nowhere below a floor. Computed exactly, in whole numbers over common denominators."""

    __slots__ = ("_floor", "_lines", "_points")

    def __init__(self, points: Points, *, floor: Fraction = ZERO) -> None:
        self._points = points
        self._floor = floor.as_integer_ratio()
        self._lines: dict[int, tuple[int, int, int]] = {}

    def at(self, age: Fraction) -> Fraction:
        """Return the exact share that remains at an age of 0 or more."""
        return Fraction(*self.ratio(*age.as_integer_ratio()))

    def ratio(self, numerator: int, denominator: int) -> tuple[int, int]:
        """Return the share at numerator / denominator years as a ratio, not reduced, because reducing is slow."""
        index = self._points.span_index(numerator, denominator)
        line = self._lines.get(index)
        if line is None:
            line = self._lines[index] = _line(self._points.span(index))
        start, slope, divisor = line
        share, one = start * denominator + slope * numerator, divisor * denominator
        floor_share, floor_one = self._floor
        return (floor_share, floor_one) if share * floor_one < floor_share * one else (share, one)

    def span(self, age: Fraction) -> Span:
        """Return the span that holds the age."""
        return self._points.span(self._points.span_index(*age.as_integer_ratio()))


def _line(span: Span) -> tuple[int, int, int]:
    """(start, slope, divisor): the share at any age of the span is (start + slope x age) / divisor."""
    (share, one), (end_share, end_one) = span.share.as_integer_ratio(), span.end_share.as_integer_ratio()
    if span.share == span.end_share:
        return share, 0, one
    age, age_unit = span.age.as_integer_ratio()
    width, width_unit = (span.end_age - span.age).as_integer_ratio()
    change = (end_share * one - share * end_one) * width_unit
    start = share * end_one * width * age_unit - change * age
    slope, divisor = change * age_unit, one * end_one * width * age_unit
    common = gcd(start, slope, divisor)
    return start // common, slope // common, divisor // common
