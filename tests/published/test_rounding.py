"""Rounding of money by the rules that states and the European Union publish, and the minor units of ISO 4217."""

from decimal import Decimal

import pytest

from hitchworth.money import Money
from hitchworth.reference.currencies import exponent_of


# Streamlined Sales and Use Tax Agreement, section 324 (R.I. Gen. Laws 44-18.1-25; Kan. Stat. 79-3676): carry to the
# third decimal, round up where it is greater than 4. Regulation (EC) 1103/97, article 5: exactly half way, up.
@pytest.mark.parametrize(
    ("exact", "rounded"),
    [
        ("1.234", "1.23"),
        ("1.235", "1.24"),
        ("0.125", "0.13"),
        ("10.005", "10.01"),
        ("2.345", "2.35"),
        ("18.405", "18.41"),
    ],
)
def test_half_way_goes_up(exact: str, rounded: str) -> None:
    money = Money("USD")
    assert str(money.from_minor_units(money.to_minor_units(Decimal(exact)))) == rounded


# ASME A112.18.1, annex A.2: half way, to the even digit
@pytest.mark.parametrize(
    ("exact", "rounded"),
    [
        ("1.655", "1.66"),
        ("1.625", "1.62"),
        ("0.125", "0.12"),
        ("10.005", "10.00"),
        ("2.345", "2.34"),
        ("0.685", "0.68"),
    ],
)
def test_half_way_goes_to_the_even_digit_on_request(exact: str, rounded: str) -> None:
    money = Money("USD", "half_even")
    assert str(money.from_minor_units(money.to_minor_units(Decimal(exact)))) == rounded


# ISO 4217, list one, 2026-01-01
@pytest.mark.parametrize(
    ("code", "exponent"),
    [
        *((code, 2) for code in ("USD", "EUR", "MRU", "COP", "IDR", "HUF")),
        *((code, 0) for code in ("JPY", "KRW", "CLP", "ISK")),
        *((code, 3) for code in ("KWD", "BHD", "IQD")),
        *((code, 4) for code in ("CLF", "UYW")),
        *((code, None) for code in ("XAU", "XXX", "ZZZ")),
    ],
)
def test_minor_units(code: str, exponent: int | None) -> None:
    assert exponent_of(code) == exponent
