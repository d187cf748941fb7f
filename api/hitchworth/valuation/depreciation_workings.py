"""The workings of depreciation: age, the shares at whole years that a method computes, and percent good."""

from collections.abc import Iterator
from fractions import Fraction
from math import ceil

from hitchworth.model.options import DayCount
from hitchworth.model.schedule import Convention, Method, Schedule
from hitchworth.model.workings import Figure, Working, WorkingRule
from hitchworth.valuation.age import Age, counted_age
from hitchworth.valuation.depreciation_methods import DEFAULT_FACTOR
from hitchworth.valuation.depreciation_rules import (
    AGE_LIFE,
    UNDEPRECIATED,
    WORN_OUT,
    Depreciated,
    DepreciationRule,
)
from hitchworth.valuation.formula import Formula, format_number, working
from hitchworth.valuation.percent_good import HALF_YEAR, declining_balance_of

DAYS_PER_YEAR = Fraction(1461, 4)
MAX_DIGITS = 10
"""Up to so many years' digits are written out; for more, their count, the first and the last."""

AGE_RULES: dict[DayCount, WorkingRule] = {
    "days_365_25": "age_in_days",
    "complete_months": "age_in_months",
    "complete_years": "age_in_years",
}
PERCENT_GOOD_RULES: dict[Method, WorkingRule] = {
    "none": "good_by_none",
    "straight_line": "good_by_straight_line",
    "declining_balance": "good_by_declining_balance",
    "sum_of_years": "good_by_sum_of_years",
    "present_worth": "good_by_present_worth",
}


def depreciation_workings(depreciated: Depreciated, day_count: DayCount) -> Iterator[Working]:
    """Return the workings from the age to percent good."""
    schedule, age = depreciated.rule.schedule, depreciated.age
    yield working("age_years", _age(age, day_count), format_number(age.years))
    counted = counted_age(age, schedule.convention).years
    if schedule.convention != "by_day" and counted:
        yield working("counted_age", _counted(schedule.convention, counted), format_number(counted))
    if depreciated.rule.curve.at(counted) != Fraction(schedule.residual):
        yield from _year_shares(depreciated.rule, counted)
    yield working("percent_good", _percent_good(depreciated, counted), format_percent_good(depreciated))


def format_percent_good(depreciated: Depreciated) -> str:
    """Return percent good, condition included, as a number."""
    return format_number(Fraction(depreciated.numerator, depreciated.denominator))


def _age(age: Age, day_count: DayCount) -> Formula:
    elapsed = age.years - Fraction(age.stated or 0)
    texts = {
        "days_365_25": f"{format_number(elapsed * DAYS_PER_YEAR)} / 365.25",
        "complete_months": f"{format_number(elapsed * 12)} / 12",
        "complete_years": format_number(elapsed),
    }
    if age.stated is None:
        return AGE_RULES[day_count], texts[day_count]
    if not elapsed:
        return "age_effective", f"{age.stated:f}"
    return "age_effective_grown", f"{age.stated:f} + {texts[day_count]}"


def _counted(convention: Convention, counted: Fraction) -> Formula:
    if convention == "full_year":
        return "counted_full_year", format_number(counted)
    return "counted_half_year", f"{format_number(counted + HALF_YEAR)} - 1 / 2"


def _year_shares(rule: DepreciationRule, age: Fraction) -> Iterator[Working]:
    """The shares at the two points of the schedule that the age is between."""
    span = rule.curve.span(age)
    points: tuple[tuple[Figure, Fraction, Fraction], ...] = (
        ("share_at_start", span.age, span.share),
        ("share_at_end", span.end_age, span.end_share),
    )
    for figure, point_age, share in points if span.share != span.end_share and age != span.age else points[:1]:
        formula = _year_share(rule.schedule, point_age, share)
        if formula is not None:
            yield working(figure, formula, format_number(share))


def _year_share(schedule: Schedule, age: Fraction, share: Fraction) -> Formula | None:
    """The formula of the share at a whole year or at the end of the life; None if the schedule states that share."""
    if not age:
        return None
    match schedule.method:
        case "declining_balance" | "sum_of_years" if share == Fraction(schedule.residual):
            return "share_at_residual", f"{schedule.residual:f}"
        case "declining_balance":
            return _declining_balance(schedule, age)
        case "sum_of_years":
            return "share_by_sum_of_years", _digits(schedule, age)
        case "present_worth":
            return "share_by_present_worth", _annuities(schedule, age)
        case _:
            return None


def _declining_balance(schedule: Schedule, age: Fraction) -> Formula:
    """The power of what a year leaves; after the switch to straight line, in proportion down to the residual."""
    first = HALF_YEAR if schedule.convention == "half_year" else Fraction(1)
    point = ceil(age - first) + 1
    method = declining_balance_of(schedule)
    if point <= method.switch_point:
        return "share_by_declining_balance", _powers(schedule, point)
    share, switch_age = _powers(schedule, method.switch_point), format_number(method.switch_age)
    elapsed = f"({format_number(age)} - {switch_age}) / ({_life(schedule)} - {switch_age})"
    return "share_by_straight_line", f"{share} - ({share} - {schedule.residual:f}) x {elapsed}"


def _powers(schedule: Schedule, point: int) -> str:
    """What the rate leaves at a point: the half year first, if there is one, then the whole years."""
    rate = _rate(schedule)
    years = point if schedule.convention != "half_year" else point - 1
    factors = [f"(1 - {rate} x 1 / 2)"] if years < point and point else []
    factors += [f"(1 - {rate})^{years}"] if years > 0 else []
    return " x ".join(factors) or "1"


def _rate(schedule: Schedule) -> str:
    if schedule.rate is not None:
        return f"{schedule.rate:f}"
    factor = DEFAULT_FACTOR if schedule.factor is None else Fraction(schedule.factor)
    return "1" if factor >= Fraction(schedule.life_years or 0) else f"{format_number(factor)} / {_life(schedule)}"


def _digits(schedule: Schedule, age: Fraction) -> str:
    """1 - the depreciable share x the digits of the past years / the sum of all digits."""
    life, years = Fraction(schedule.life_years or 0), int(age)
    past = " + ".join(format_number(life - year) for year in range(years))
    if years > MAX_DIGITS:
        past = f"{years} x ({format_number(life)} + {format_number(life + 1 - years)}) / 2"
    return f"1 - (1 - {schedule.residual:f}) x ({past}) / ({format_number(life)} x {format_number(life + 1)} / 2)"


def _annuities(schedule: Schedule, age: Fraction) -> str:
    """The present worth of 1 a year for the remaining life / for the whole life."""
    life, rate = Fraction(schedule.life_years or 0), Fraction(schedule.discount_rate or 0)
    return f"({_annuity(life - age, rate)}) / ({_annuity(life, rate)})"


def _annuity(years: Fraction, rate: Fraction) -> str:
    if not rate or not years:
        return format_number(years)
    complete, begun = int(years), years - int(years)
    growth = format_number(1 + rate)
    terms = [f"(1 - 1 / {growth}^{complete}) / {format_number(rate)}"] if complete else []
    terms += [f"{format_number(begun)} / {growth}^{complete + 1}"] if begun else []
    return " + ".join(terms)


def _life(schedule: Schedule) -> str:
    return format_number(Fraction(schedule.life_years or 0))


def _percent_good(depreciated: Depreciated, counted: Fraction) -> Formula:
    formula, wear = _by_schedule(depreciated.rule, counted), depreciated.wear
    if wear.good_when_bought is not None:
        formula = f"({formula}) / {format_number(wear.good_when_bought)}"
    if wear.paid_share is not None:
        formula = f"({formula}) x {format_number(wear.paid_share)}"
    if wear.condition != 1:
        formula = f"({formula}) x {wear.condition:f}"
    return _percent_good_rule(depreciated), formula


def _percent_good_rule(depreciated: Depreciated) -> WorkingRule:
    if depreciated.rule is UNDEPRECIATED:
        return "good_undepreciated"
    if depreciated.rule is WORN_OUT or depreciated.wear.good_when_bought is not None:
        return "good_since_bought_used"
    if depreciated.wear.paid_share is not None:
        return "good_by_price_paid"
    if depreciated.rule.name == AGE_LIFE:
        return "good_by_age_life"
    schedule = depreciated.rule.schedule
    if schedule.method == "table":
        return "good_by_table_stepped" if schedule.interpolation == "step" else "good_by_table_interpolated"
    return PERCENT_GOOD_RULES[schedule.method]


def _by_schedule(rule: DepreciationRule, age: Fraction) -> str:
    """In proportion between the two points of the schedule that the age is between."""
    span, share = rule.curve.span(age), rule.curve.at(age)
    if age == span.age or span.share == span.end_share or share == Fraction(rule.schedule.residual):
        return format_number(share)
    start, end = format_number(span.share), format_number(span.end_share)
    if not span.age:
        return f"{start} - ({start} - {end}) x {format_number(age)} / {format_number(span.end_age)}"
    since, until = format_number(span.age), format_number(span.end_age)
    return f"{start} - ({start} - {end}) x ({format_number(age)} - {since}) / ({until} - {since})"
