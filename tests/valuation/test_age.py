"""Age by each day count, and what the conventions of a schedule make of it."""

from datetime import date
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hitchworth.valuation.age import Age, age_at, counted_age


@pytest.mark.parametrize(
    ("since", "until", "days", "months", "years"),
    [
        ("2020-01-01", "2024-01-01", "1461", 48, 4),
        ("2024-02-29", "2025-02-28", "365", 11, 0),
        ("2024-02-29", "2025-03-01", "366", 12, 1),
        ("2025-01-31", "2025-04-30", "89", 2, 0),
        ("2025-06-15", "2026-06-14", "364", 11, 0),
        ("2026-06-15", "2026-06-15", "0", 0, 0),
        ("2026-06-16", "2026-06-15", "0", 0, 0),
    ],
)
def test_day_counts(since: str, until: str, days: str, months: int, years: int) -> None:
    start, end = date.fromisoformat(since), date.fromisoformat(until)

    assert age_at(end, start, "days_365_25").years == Fraction(days) * 4 / 1461
    assert age_at(end, start, "complete_months").years == Fraction(months, 12)
    assert age_at(end, start, "complete_years").years == years


@given(st.dates(), st.dates(), st.dates())
def test_age_never_falls_with_time(since: date, one: date, other: date) -> None:
    early, late = sorted((one, other))
    assert 0 <= age_at(early, since, "complete_months").years <= age_at(late, since, "complete_months").years
    assert 0 <= age_at(early, since, "days_365_25").years <= age_at(late, since, "days_365_25").years


@pytest.mark.parametrize(
    ("age", "full_year", "half_year"), [("0", "0", "0"), ("0.2", "1", "0.5"), ("1", "1", "0.5"), ("1.2", "2", "1.5")]
)
def test_conventions(age: str, full_year: str, half_year: str) -> None:
    assert counted_age(Age(*Fraction(age).as_integer_ratio()), "by_day").years == Fraction(age)
    assert counted_age(Age(*Fraction(age).as_integer_ratio()), "full_year").years == Fraction(full_year)
    assert counted_age(Age(*Fraction(age).as_integer_ratio()), "half_year").years == Fraction(half_year)
