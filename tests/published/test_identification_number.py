"""The check digit of the vehicle identification number: 49 CFR 565.15.

Widely printed examples (1M8GDM9AXKP042788 and seventeen ones), and numbers computed by the table of that section.
"""

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hitchworth.classification.vin import check_digit, decode_vin

AS_OF = date(2026, 11, 25)
ALPHABET = "0123456789ABCDEFGHJKLMNPRSTUVWXYZ"


@pytest.mark.parametrize(
    "number",
    [
        "1M8GDM9AXKP042788",
        "11111111111111111",
        "4ZZUT1010N1000017",
        "1ZZBF1215M1234567",
        "5ZZTR222XPA000321",
        "1ZZCA1015R0004711",
    ],
)
def test_the_check_digit_is_the_published_one(number: str) -> None:
    assert check_digit(number) == number[8]
    for wrong in set("0123456789X") - {number[8]}:
        check = decode_vin(number[:8] + wrong + number[9:], ("US",), AS_OF).check_digit
        assert check
        assert not check.holds


@given(st.text(ALPHABET, min_size=17, max_size=17), st.integers(0, 16), st.sampled_from("123456789"))
def test_one_wrong_figure_is_found(number: str, place: int, other: str) -> None:
    """A single figure for a figure always shows: its difference times its weight is no multiple of eleven."""
    if place != 8 and number[place].isdigit() and number[place] != other:
        assert check_digit(number[:place] + other + number[place + 1 :]) != check_digit(number)


def test_the_places_are_read() -> None:
    found = decode_vin("1m8 gdm9axkp042788", ("US-WA", "US"), AS_OF)
    assert (found.number, found.shape, found.region) == ("1M8GDM9AXKP042788", "standard", "United States")
    assert found.model_years == (1989, 2019)
    assert not found.small_manufacturer
    assert [note.code for note in found.notes] == ["vin_tells_not"]


@pytest.mark.parametrize(
    ("tenth", "years"),
    [("A", (1980, 2010)), ("Y", (2000,)), ("1", (2001,)), ("9", (2009,)), ("V", (1997, 2027)), ("0", ()), ("Z", ())],
)
def test_the_tenth_place_is_the_model_year(tenth: str, years: tuple[int, ...]) -> None:
    """Places of thirty years each, from A for 1980; a year after the next one is not offered."""
    assert decode_vin(f"1ZZCA1015{tenth}0004711", ("US",), AS_OF).model_years == years


@pytest.mark.parametrize(
    ("number", "region"),
    [
        ("4", "United States"),
        ("2", "Canada"),
        ("3", "Mexico"),
        ("7A8", "New Zealand"),
        ("7Z", "United States"),
        ("W", "Europe"),
    ],
)
def test_the_first_characters_name_the_region(number: str, region: str) -> None:
    assert decode_vin(number.ljust(17, "1"), ("US",), AS_OF).region == region


def test_a_wrong_check_digit_is_a_hint_where_it_is_no_duty() -> None:
    for chain, code, required in (
        (("US-OR", "US"), "vin_check_digit", True),
        (("DE", "EU"), "vin_check_digit_hint", False),
    ):
        found = decode_vin("1M8GDM9A1KP042788", chain, AS_OF)
        assert found.check_digit
        assert found.check_digit.required is required
        assert found.notes[0].code == code


@pytest.mark.parametrize(
    ("number", "code"), [("WA123456", "vin_length"), ("1M8GDM9AXKP04278O", "vin_alphabet"), ("TR-ÄÖ-4", "vin_length")]
)
def test_a_number_of_another_shape_only_warns(number: str, code: str) -> None:
    found = decode_vin(number, ("US",), AS_OF)
    assert (found.shape, found.check_digit, found.model_years) == ("other", None, ())
    assert [note.code for note in found.notes] == [code, "vin_home_built", "vin_tells_not"]


def test_a_small_maker_has_a_nine_in_the_third_place() -> None:
    assert decode_vin("1Z9CA1015R0004711", ("US",), AS_OF).small_manufacturer
