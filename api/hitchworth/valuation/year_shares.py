"""Year shares: how percent good at whole years of age comes about, where the method reckons it year by year."""

from fractions import Fraction
from math import ceil

from hitchworth.model.build import Schedule
from hitchworth.valuation.depreciation_methods import DEFAULT_FACTOR
from hitchworth.valuation.formula import Formula, number
from hitchworth.valuation.percent_good import HALF_YEAR, declining_balance_of

LISTED = 10
"""So many digits are written out; of more, their count, the first and the last."""


def year_share(schedule: Schedule, age: Fraction, share: Fraction) -> Formula | None:
    """The formula of the share at a whole year, or at the end of the life; None where it is given, not reckoned."""
    if not age:
        return None
    match schedule.method:
        case "declining_balance" | "sum_of_years" if share == Fraction(schedule.residual):
            return "share_at_residual", f"{schedule.residual:f}"
        case "declining_balance":
            return _declining(schedule, age)
        case "sum_of_years":
            return "share_by_digits", _digits(schedule, age)
        case "present_worth":
            return "share_by_annuities", _annuities(schedule, age)
        case _:
            return None


def _declining(schedule: Schedule, age: Fraction) -> Formula:
    """The power of what a year leaves; after going over to straight line, in proportion down to the residual."""
    first = HALF_YEAR if schedule.convention == "half_year" else Fraction(1)
    place = ceil(age - first) + 1
    terms = declining_balance_of(schedule)
    if place <= terms.switched:
        return "share_by_declining_balance", _kept(schedule, place)
    left, since = _kept(schedule, terms.switched), number(terms.since)
    elapsed = f"({number(age)} - {since}) / ({_life(schedule)} - {since})"
    return "share_by_straight_line", f"{left} - ({left} - {schedule.residual:f}) x {elapsed}"


def _kept(schedule: Schedule, place: int) -> str:
    yearly = _rate(schedule)
    whole = place if schedule.convention != "half_year" else place - 1
    parts = [f"(1 - {yearly} x 1 / 2)"] if whole < place and place else []
    parts += [f"(1 - {yearly})^{whole}"] if whole > 0 else []
    return " x ".join(parts) or "1"


def _rate(schedule: Schedule) -> str:
    if schedule.rate is not None:
        return f"{schedule.rate:f}"
    factor = DEFAULT_FACTOR if schedule.factor is None else Fraction(schedule.factor)
    return "1" if factor >= Fraction(schedule.life_years or 0) else f"{number(factor)} / {_life(schedule)}"


def _digits(schedule: Schedule, age: Fraction) -> str:
    """1 - what can be lost x the digits of the years past / the sum of all digits."""
    life, years = Fraction(schedule.life_years or 0), int(age)
    past = " + ".join(number(life - year) for year in range(years))
    if years > LISTED:
        past = f"{years} x ({number(life)} + {number(life + 1 - years)}) / 2"
    return f"1 - (1 - {schedule.residual:f}) x ({past}) / ({number(life)} x {number(life + 1)} / 2)"


def _annuities(schedule: Schedule, age: Fraction) -> str:
    """Present worth of 1 a year for the remaining life / for the whole life."""
    life, rate = Fraction(schedule.life_years or 0), Fraction(schedule.discount_rate or 0)
    return f"({_annuity(life - age, rate)}) / ({_annuity(life, rate)})"


def _annuity(years: Fraction, rate: Fraction) -> str:
    if not rate or not years:
        return number(years)
    complete, begun = int(years), years - int(years)
    parts = [f"(1 - 1 / {number(1 + rate)}^{complete}) / {number(rate)}"] if complete else []
    parts += [f"{number(begun)} / {number(1 + rate)}^{complete + 1}"] if begun else []
    return " + ".join(parts)


def _life(schedule: Schedule) -> str:
    return number(Fraction(schedule.life_years or 0))
