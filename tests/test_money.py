"""Money: minor units, rounding, and splitting without loss."""

import random
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hitchworth.money import Money, half_even, half_up, round_ratio, split

weights = st.lists(st.integers(0, 10**12), min_size=1, max_size=30)


def names(count: int) -> list[str]:
    return [f"part {number:02}" for number in range(count)]


@given(weights.filter(any), st.integers(0, 10**12))
def test_a_split_loses_nothing_and_stays_within_one_unit_of_the_exact_part(overrides: list[int], total: int) -> None:
    parts = split(total, overrides, names(len(overrides)))
    assert sum(parts) == total
    assert all(
        abs(part - Fraction(total * weight, sum(overrides))) < 1 for part, weight in zip(parts, overrides, strict=True)
    )


def test_the_largest_remainder_gets_the_unit_and_among_equals_the_first_name() -> None:
    assert split(10, [1, 1, 1], "abc") == [4, 3, 3]
    assert split(10, [1, 1, 1], "bca") == [3, 3, 4]
    assert split(11, [1, 1, 1], "cba") == [3, 4, 4]
    assert split(100, [1, 2, 4], "abc") == [14, 29, 57]


@given(weights.filter(any), st.integers(0, 10**12), st.randoms())
def test_the_order_of_the_parts_makes_no_difference(given: list[int], total: int, dice: random.Random) -> None:
    named = dict(zip(names(len(given)), given, strict=True))
    shuffled = dice.sample(list(named), len(named))
    parts = dict(zip(shuffled, split(total, [named[name] for name in shuffled], shuffled), strict=True))
    assert parts == dict(zip(named, split(total, given, list(named)), strict=True))


def test_nothing_is_split_into_nothings() -> None:
    assert split(0, [0, 0], "ab") == [0, 0]
    with pytest.raises(ValueError, match="nothing to split over"):
        split(5, [0, 0], "ab")


@given(st.integers(0, 10**18), st.integers(1, 10**9))
def test_rounding_is_to_the_nearest(numerator: int, denominator: int) -> None:
    exact = Fraction(numerator, denominator)
    assert abs(half_up(numerator, denominator) - exact) <= Fraction(1, 2)
    assert half_even(numerator, denominator) == round(exact)


@pytest.mark.parametrize(
    ("code", "text"), [("JPY", "1235"), ("USD", "1234.57"), ("KWD", "1234.568"), ("CLF", "1234.5678")]
)
def test_an_amount_has_the_decimals_of_its_currency(code: str, text: str) -> None:
    money = Money(code)
    assert f"{money.from_minor_units(money.to_minor_units(Decimal('1234.5678')))}" == text


def test_a_currency_that_is_none_is_refused() -> None:
    with pytest.raises(ValueError, match="ZZZ is no currency"):
        Money("ZZZ")


def test_a_part_is_rounded_once() -> None:
    assert Money("USD").multiply(1000, Fraction(1, 3)) == 333
    assert Money("USD").multiply(5, Fraction(1, 2)) == 3
    assert Money("USD", "half_even").multiply(5, Fraction(1, 2)) == 2


def test_printed_ratios_are_rounded_half_up() -> None:
    assert str(round_ratio(2, 3, 6)) == "0.666667"
    assert str(round_ratio(1, 8, 2)) == "0.13"
    assert str(round_ratio(0, 1, 3)) == "0.000"
