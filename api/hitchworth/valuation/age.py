"""Age: years from the day a thing went into service to the valuation date, and what a first year counts for."""

from datetime import date
from decimal import Decimal
from fractions import Fraction

from msgspec import Struct

from hitchworth.model.build import Convention
from hitchworth.model.options import DayCount


class Age(Struct, frozen=True, gc=False):
    """An age in years, exactly: numerator / denominator, not reduced."""

    numerator: int
    denominator: int
    stated: Decimal | None = None
    """The part of it that somebody judged: an effective age."""

    @property
    def years(self) -> Fraction:
        """As a fraction."""
        return Fraction(self.numerator, self.denominator)


def age_at(as_of: date, in_service_on: date, day_count: DayCount) -> Age:
    """The age on a date; 0 for what goes into service on that date or after it.

    days_365_25: calendar days / 365.25. complete_months: whole months / 12; a month is complete on the day of the same
    number, so what began on the 31st completes none in a month of 30 days. complete_years: whole years, likewise.
    """
    if in_service_on >= as_of:
        return Age(0, 1)
    if day_count == "days_365_25":
        return Age(4 * (as_of - in_service_on).days, 1461)
    months = 12 * (as_of.year - in_service_on.year) + as_of.month - in_service_on.month
    months -= as_of.day < in_service_on.day
    return Age(months, 12) if day_count == "complete_months" else Age(months // 12, 1)


def stated_age(years: Decimal, since: Age | None = None) -> Age:
    """An effective age, as somebody judged it, and the age that came on since that day."""
    numerator, denominator = years.as_integer_ratio()
    if since is None:
        return Age(numerator, denominator, years)
    return Age(numerator * since.denominator + since.numerator * denominator, denominator * since.denominator, years)


def counted_age(age: Age, convention: Convention) -> Age:
    """The age that a schedule counts.

    by_day: the age itself. full_year: every year begun counts in full. half_year: so, but the first counts for a half.
    """
    if convention == "by_day" or not age.numerator:
        return age
    begun = -(-age.numerator // age.denominator)
    return Age(begun, 1) if convention == "full_year" else Age(2 * begun - 1, 2)
