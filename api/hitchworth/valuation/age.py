"""Age: years from the day a thing went into service to the valuation date, and what a schedule counts of them."""

from datetime import date
from decimal import Decimal
from fractions import Fraction

from msgspec import Struct

from hitchworth.model.options import DayCount
from hitchworth.model.schedule import Convention


class Age(Struct, frozen=True, gc=False):
    """An exact age in years: numerator / denominator, not reduced."""

    numerator: int
    denominator: int
    stated: Decimal | None = None
    """The part of it that somebody judged: the effective age."""

    @property
    def years(self) -> Fraction:
        """The age as a fraction."""
        return Fraction(self.numerator, self.denominator)


ZERO_AGE = Age(0, 1)


def age_at(as_of: date, in_service_on: date, day_count: DayCount) -> Age:
    """Return the age on a date: 0 if the thing goes into service on that date or later.

    days_365_25: calendar days / 365.25. complete_months: whole months / 12. A month is complete on the day with the
    same number, so a thing that went into service on the 31st completes no month within a month of 30 days.
    complete_years: whole years, counted the same way.
    """
    if in_service_on >= as_of:
        return ZERO_AGE
    if day_count == "days_365_25":
        return Age(4 * (as_of - in_service_on).days, 1461)
    months = 12 * (as_of.year - in_service_on.year) + as_of.month - in_service_on.month
    months -= as_of.day < in_service_on.day
    return Age(months, 12) if day_count == "complete_months" else Age(months // 12, 1)


def effective_age(stated: Decimal, elapsed: Age) -> Age:
    """Return the effective age that somebody stated, plus the age that has elapsed since that day."""
    numerator, denominator = stated.as_integer_ratio()
    return Age(
        numerator * elapsed.denominator + elapsed.numerator * denominator, denominator * elapsed.denominator, stated
    )


def counted_age(age: Age, convention: Convention) -> Age:
    """Return the age that a schedule counts.

    by_day: the age itself. full_year: a year that has begun counts in full. half_year: the same, but the first year
    counts as a half.
    """
    if convention == "by_day" or not age.numerator:
        return age
    begun = -(-age.numerator // age.denominator)
    return Age(begun, 1) if convention == "full_year" else Age(2 * begun - 1, 2)
