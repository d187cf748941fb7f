"""Percent good: the share of the replacement cost that remains at an age, by a schedule."""

from fractions import Fraction
from functools import lru_cache

from hitchworth.model.schedule import Schedule
from hitchworth.valuation.age import Age, counted_age
from hitchworth.valuation.curve import Curve, PointCurve, Points
from hitchworth.valuation.depreciation_methods import (
    DEFAULT_FACTOR,
    ONE,
    DecliningBalance,
    present_worth,
    sum_of_years,
)

NEW = Fraction(0)
HALF_YEAR = Fraction(1, 2)


def percent_good(schedule: Schedule, age: Fraction) -> Fraction:
    """Return the exact share that remains at an age in years.

    It falls with age from 1, and never below the residual of the schedule. The observed condition is not part of the
    schedule: it multiplies the result, and may take it below the residual, because a part in poor condition can be
    worth less. Raises ValueError if the schedule lacks a term that its method needs.
    """
    counted = counted_age(Age(*age.as_integer_ratio()), schedule.convention)
    return curve_of(schedule).at(counted.years)


class Curves(dict[Schedule, Curve]):
    """The curve of each schedule of one request, which may value a build with many of them on many days."""

    def __missing__(self, schedule: Schedule) -> Curve:
        """Raise ValueError as `percent_good` does."""
        curve = self[schedule] = curve_of(schedule)
        return curve


@lru_cache(maxsize=512)
def curve_of(schedule: Schedule) -> Curve:
    """Return the curve of a schedule over the age that it counts. Raises ValueError as `percent_good` does."""
    return Curve(_points(schedule), floor=Fraction(schedule.residual))


def _points(schedule: Schedule) -> Points:
    residual = Fraction(schedule.residual)
    match schedule.method:
        case "none":
            return PointCurve([(NEW, ONE)])
        case "straight_line":
            return PointCurve([(NEW, ONE), (_life(schedule), residual)])
        case "declining_balance":
            return declining_balance_of(schedule).curve()
        case "sum_of_years":
            return sum_of_years(_life(schedule), residual)
        case "present_worth":
            discount_rate = schedule.discount_rate
            if discount_rate is None:
                raise ValueError("present_worth needs discount_rate")
            return present_worth(_life(schedule), Fraction(discount_rate))
        case "table":
            return _table(schedule)


def declining_balance_of(schedule: Schedule) -> DecliningBalance:
    """Return the declining balance of a schedule with this method. Raises ValueError as `percent_good` does."""
    if schedule.rate is not None:
        rate = Fraction(schedule.rate)
    else:
        factor = DEFAULT_FACTOR if schedule.factor is None else Fraction(schedule.factor)
        rate = min(factor / _life(schedule), ONE)
    return DecliningBalance(
        rate,
        Fraction(schedule.residual),
        life=_life(schedule) if schedule.switch_to_straight_line else None,
        first=HALF_YEAR if schedule.convention == "half_year" else ONE,
    )


def _table(schedule: Schedule) -> Points:
    """The points of the table. If the first one is after age 0, the curve starts with 1 at age 0."""
    points = [(Fraction(point.age_years), Fraction(point.percent_good)) for point in schedule.points]
    complete = points if points and not points[0][0] else [(NEW, ONE), *points]
    return PointCurve(complete, stepped=schedule.interpolation == "step")


def _life(schedule: Schedule) -> Fraction:
    if not schedule.life_years:
        raise ValueError(f"{schedule.method} needs life_years above 0")
    return Fraction(schedule.life_years)
