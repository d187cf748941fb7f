"""Percent good by each method: known points, the residual, and that it never rises."""

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from build_strategies import schedules
from hitchworth.model.schedule import PercentGoodPoint, Schedule
from hitchworth.reference.schedules import ScheduleRecord, library_schedules
from hitchworth.valuation.depreciation_methods import bound_denominator
from hitchworth.valuation.percent_good import curve_of, percent_good
from openformula import vdb
from textbook import share_left

ages = st.fractions(0, 60, max_denominator=1461)
TEN = Decimal(10)


def table(*points: tuple[str, str], interpolation: str = "step") -> Schedule:
    """A table of percent good."""
    return Schedule(
        method="table",
        interpolation="linear" if interpolation == "linear" else "step",
        points=tuple(PercentGoodPoint(age_years=Decimal(age), percent_good=Decimal(good)) for age, good in points),
    )


@settings(deadline=None)
@given(schedules, ages, ages)
def test_never_rises_with_age_and_never_falls_below_the_residual(
    schedule: Schedule, one: Fraction, other: Fraction
) -> None:
    early, late = sorted((one, other))
    residual = Fraction(schedule.residual)
    assert 1 >= percent_good(schedule, early) >= percent_good(schedule, late) >= residual


@settings(deadline=None, max_examples=200)
@given(schedules, ages)
def test_equals_the_textbook_exactly(schedule: Schedule, age: Fraction) -> None:
    assert percent_good(schedule, age) == share_left(schedule, age)


@settings(deadline=None)
@given(st.integers(1, 30), st.fractions(0, 1, max_denominator=100), st.booleans(), st.fractions(0, 1))
def test_declining_balance_is_what_vdb_leaves(life: int, residual: Fraction, no_switch: bool, part: Fraction) -> None:
    age, left = part * life, Decimal(residual.numerator) / Decimal(100)
    schedule = Schedule(
        method="declining_balance", life_years=Decimal(life), residual=left, switch_to_straight_line=not no_switch
    )
    assert percent_good(schedule, age) == 1 - vdb(1, left, life, 0, age, no_switch=no_switch)


@pytest.mark.parametrize(
    ("schedule", "age", "good"),
    [
        (Schedule(method="none"), "50", "1"),
        (Schedule(method="straight_line", life_years=TEN, residual=Decimal("0.1")), "5", "0.55"),
        (Schedule(method="straight_line", life_years=TEN, residual=Decimal("0.1")), "12", "0.1"),
        (Schedule(method="declining_balance", life_years=TEN), "1.5", "0.72"),
        (Schedule(method="declining_balance", rate=Decimal("0.3")), "2", "0.49"),
        (Schedule(method="declining_balance", rate=Decimal("0.3"), residual=Decimal("0.4")), "3", "0.4"),
        (Schedule(method="sum_of_years", life_years=Decimal(4)), "2", "0.3"),
        (Schedule(method="sum_of_years", life_years=Decimal(4)), "2.5", "0.2"),
        # A life of half a year has two points only, 1 at the start and 0 at the end: halfway, a half
        (Schedule(method="sum_of_years", life_years=Decimal("0.5")), "0.25", "0.5"),
        (Schedule(method="straight_line", life_years=TEN, convention="full_year"), "2.1", "0.7"),
        (Schedule(method="straight_line", life_years=TEN, convention="half_year"), "2.1", "0.75"),
        (table(("0", "0.85"), ("1", "0.7")), "0.99", "0.85"),
        (table(("0", "0.85"), ("1", "0.7")), "1", "0.7"),
        (table(("2", "0.6"), ("4", "0.2")), "1.9", "1"),
        (table(("2", "0.6"), ("4", "0.2"), interpolation="linear"), "1", "0.8"),
        (table(("2", "0.6"), ("4", "0.2"), interpolation="linear"), "3", "0.4"),
        (table(("2", "0.6"), ("4", "0.2"), interpolation="linear"), "9", "0.2"),
    ],
)
def test_known_points(schedule: Schedule, age: str, good: str) -> None:
    assert percent_good(schedule, Fraction(age)) == Fraction(good)


@pytest.mark.parametrize(("convention", "first"), [("by_day", "0.99"), ("half_year", "0.995")])
def test_a_balance_declines_for_a_hundred_years(convention: str, first: str) -> None:
    """By 1 percent a year, 0.99^100 remains; with a half year before that, 0.995 x 0.99^100."""
    schedule = Schedule(
        method="declining_balance",
        rate=Decimal("0.01"),
        convention="half_year" if convention == "half_year" else "by_day",
    )
    last = Fraction("0.99") ** (100 if convention == "half_year" else 99) * Fraction(first)
    good = percent_good(schedule, Fraction(150))
    assert good == percent_good(schedule, Fraction(101)) < percent_good(schedule, Fraction(99))
    assert abs(good - last) < Fraction(1, 10**140)  # as far as a share is computed


def test_a_long_denominator_is_bounded_to_a_hundred_and_fifty_digits() -> None:
    """A third and less than 10^-169 more: 150 threes over 10^150."""
    assert bound_denominator(Fraction(1, 3) + Fraction(1, 7**200)) == Fraction(int("3" * 150), 10**150)
    assert bound_denominator(Fraction(2, 3)) == Fraction(2, 3)


@pytest.mark.parametrize(
    "schedule",
    [
        Schedule(method="straight_line"),
        Schedule(method="declining_balance"),
        Schedule(method="declining_balance", rate=Decimal("0.2"), switch_to_straight_line=True),
        Schedule(method="present_worth", life_years=TEN),
    ],
)
def test_a_schedule_that_lacks_something_is_refused(schedule: Schedule) -> None:
    with pytest.raises(ValueError, match="needs"):
        percent_good(schedule, Fraction(1))


@pytest.mark.parametrize("record", library_schedules(), ids=lambda record: record.name)
def test_the_span_that_an_age_lies_on_holds_it(record: ScheduleRecord) -> None:
    age = Fraction(7, 2)
    span = curve_of(record.schedule).span(age)
    assert span.age <= age
    assert span.end_age > age or span.share == span.end_share
