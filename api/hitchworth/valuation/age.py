"""Age: years from the day a thing went into service to the valuation date, and what a first year counts for."""

from datetime import date
from fractions import Fraction
from math import ceil

from hitchworth.model.build import Convention
from hitchworth.model.options import DayCount

NEW = Fraction(0)
HALF_YEAR = Fraction(1, 2)


def age_in_years(in_service_on: date, as_of: date, day_count: DayCount) -> Fraction:
    """The age in years, exactly; 0 for what goes into service on the valuation date or after it.

    days_365_25: calendar days / 365.25. complete_months: whole months / 12; a month is complete on the day of the
    same number, so what began on the 31st completes none in a month of 30 days. complete_years: whole years by the
    same rule.
    """
    if in_service_on >= as_of:
        return NEW
    if day_count == "days_365_25":
        return Fraction(4 * (as_of.toordinal() - in_service_on.toordinal()), 1461)
    months = 12 * (as_of.year - in_service_on.year) + as_of.month - in_service_on.month
    months -= as_of.day < in_service_on.day
    return Fraction(months, 12) if day_count == "complete_months" else Fraction(months // 12)


def counted_age(age: Fraction, convention: Convention) -> Fraction:
    """The age that a schedule counts, in years.

    by_day: the age itself. full_year: every year begun counts in full. half_year: so, but the first counts for a half.
    """
    if convention == "by_day" or not age:
        return age
    begun = Fraction(ceil(age))
    return begun if convention == "full_year" else begun - HALF_YEAR
