"""A curve of percent good: what is left at each age, drawn through points."""

from bisect import bisect_right
from collections.abc import Iterable
from fractions import Fraction
from math import lcm
from typing import NamedTuple

FLAT = Fraction(0)


class Span(NamedTuple):
    """The part of a curve that an age lies on. A level part begins and ends with the same share."""

    age: Fraction
    share: Fraction
    end_age: Fraction
    end_share: Fraction


class Curve:
    """Points of age and share left, rising in age: straight lines between them, or steps; level past the last.

    Reckoned in whole numbers over common denominators, exactly.
    """

    __slots__ = ("_floor", "_lines", "_scale", "_starts", "spans")

    def __init__(
        self, points: Iterable[tuple[Fraction, Fraction]], *, floor: Fraction = FLAT, stepped: bool = False
    ) -> None:
        """The first point must lie at age 0; below the floor the curve is level."""
        known = list(points)
        self.spans = [
            Span(age, share, *((following[0], share) if stepped else following))
            for (age, share), following in zip(known, [*known[1:], known[-1]], strict=True)
        ]
        self._floor = floor.as_integer_ratio()
        self._scale = lcm(*(span.age.denominator for span in self.spans))
        self._starts = [int(span.age * self._scale) for span in self.spans]
        self._lines = [_line(span) for span in self.spans]

    def at(self, age: Fraction) -> Fraction:
        """The share left at an age of 0 or more, exactly."""
        return Fraction(*self.ratio(*age.as_integer_ratio()))

    def ratio(self, numerator: int, denominator: int) -> tuple[int, int]:
        """The same at numerator / denominator years, and not reduced: a line needs no more, and reducing is dear."""
        start, slope, whole = self._lines[self._place(numerator, denominator)]
        share, whole = start * denominator + slope * numerator, whole * denominator
        least, of = self._floor
        return (least, of) if share * of < least * whole else (share, whole)

    def span(self, age: Fraction) -> Span:
        """The part of the curve that the age lies on."""
        return self.spans[self._place(*age.as_integer_ratio())]

    def _place(self, numerator: int, denominator: int) -> int:
        return bisect_right(self._starts, numerator * self._scale // denominator) - 1


def _line(span: Span) -> tuple[int, int, int]:
    """The share left at any age of the span is (start + slope x age) / denominator."""
    slope = FLAT if span.share == span.end_share else (span.end_share - span.share) / (span.end_age - span.age)
    start = span.share - slope * span.age
    whole = lcm(start.denominator, slope.denominator)
    return int(start * whole), int(slope * whole), whole
