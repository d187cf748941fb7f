"""A curve of percent good: what is left at each age, drawn through points."""

from bisect import bisect_right
from collections.abc import Iterable
from fractions import Fraction

FLAT = Fraction(0)


class Curve:
    """Points of age and share left, rising in age: straight lines between them, or steps; level past the last."""

    __slots__ = ("_ages", "_floor", "_lines")

    def __init__(
        self, points: Iterable[tuple[Fraction, Fraction]], *, floor: Fraction = FLAT, stepped: bool = False
    ) -> None:
        """The first point must lie at age 0; below the floor the curve is level."""
        ages, shares = zip(*points, strict=True)
        slopes = [
            FLAT if stepped else (shares[place + 1] - shares[place]) / (ages[place + 1] - ages[place])
            for place in range(len(ages) - 1)
        ]
        self._ages = ages
        self._floor = floor
        self._lines: list[tuple[Fraction, Fraction]] = [
            (share - slope * age, slope) for age, share, slope in zip(ages, shares, [*slopes, FLAT], strict=True)
        ]

    def at(self, age: Fraction) -> Fraction:
        """The share left at an age of 0 or more, exactly."""
        start, slope = self._lines[bisect_right(self._ages, age) - 1]
        return max(start + slope * age if slope else start, self._floor)
