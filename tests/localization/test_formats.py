"""Money, dates, shares and measures as each locale writes them."""

from datetime import date
from decimal import Decimal
from unicodedata import normalize

import pytest

from hitchworth.localization.formats import formats_of


def plain(text: str) -> str:
    """With ordinary spaces: CLDR uses several kinds, and changes them between its versions."""
    return normalize("NFKC", text)


# Minor units: ISO 4217, list one (JPY 0, KWD 3, IQD 3, USD and EUR 2). CLDR would print no decimals of IQD.
@pytest.mark.parametrize(
    ("locale", "amount", "currency", "shown"),
    [
        ("en-US", "1234567.9", "USD", "$1,234,567.90"),
        ("en-US", "-5", "EUR", "-€5.00"),
        ("en-US", "1250", "JPY", "¥1,250"),
        ("en-US", "1.5", "KWD", "KWD 1.500"),
        ("en-US", "1250.25", "IQD", "IQD 1,250.250"),
        ("de-DE", "1234567.9", "EUR", "1.234.567,90 €"),
        ("de-DE", "-1234.5", "USD", "-1.234,50 $"),
        ("de-DE", "1.5", "KWD", "1,500 KWD"),
        ("en-GB", "99.5", "GBP", "£99.50"),
    ],
)
def test_money(locale: str, amount: str, currency: str, shown: str) -> None:
    assert plain(formats_of(locale).money(Decimal(amount), currency)) == shown


def test_half_a_cent_goes_up() -> None:
    assert formats_of("en-US").money(Decimal("2.345"), "USD") == "$2.35"


def test_money_of_no_known_currency_is_a_number() -> None:
    assert formats_of("de-DE").money(Decimal("1234.5"), None) == "1.234,50"


@pytest.mark.parametrize(
    ("locale", "short", "long"),
    [("en-US", "Nov 5, 2026", "November 5, 2026"), ("de-DE", "05.11.2026", "5. November 2026")],
)
def test_dates(locale: str, short: str, long: str) -> None:
    formats = formats_of(locale)
    assert formats.day(date(2026, 11, 5)) == short
    assert formats.long_day(date(2026, 11, 5)) == long


@pytest.mark.parametrize(
    ("locale", "share", "shown"),
    [("en-US", "0.0875", "8.75%"), ("en-US", "1", "100%"), ("de-DE", "0.0875", "8,75 %"), ("de-DE", "0.8", "80 %")],
)
def test_shares(locale: str, share: str, shown: str) -> None:
    assert plain(formats_of(locale).percent(Decimal(share))) == shown


# 1 ft = 0.3048 m, 1 lb = 0.45359237 kg exactly: international yard and pound agreement of 1959.
@pytest.mark.parametrize(
    ("locale", "value", "unit", "shown"),
    [
        ("en-US", "907.18474", "kg", "2,000 lb (907.18 kg)"),
        ("en-US", "2.4384", "m", "8 ft (2.44 m)"),
        # 5.54736 m / 0.3048 = 18.2 ft, and 0.2 x 12 = 2.4 in; 0.2286 m is 9 in; 11.96 in and more are the next foot.
        ("en-US", "5.54736", "m", "18 ft 2.4 in (5.55 m)"),
        ("en-US", "0.2286", "m", "9 in (0.23 m)"),
        ("en-US", "2.43835", "m", "8 ft (2.44 m)"),
        ("en-US", "-2.5908", "m", "-8 ft 6 in (-2.59 m)"),
        ("en-US", "0", "m", "0 ft (0 m)"),
        ("en-US", "37.161216", "m2", "400 sq ft (37.16 m2)"),
        # 80 L / 3.785411784 = 21.13 gal; 88.51392 km/h / 1.609344 = 55 mph.
        ("en-US", "80", "L", "21.1 gal (80 L)"),
        ("en-US", "88.51392", "km/h", "55 mph (88.51 km/h)"),
        ("en-US", "3", "years", "3 yrs"),
        ("en-GB", "2.5908", "m", "2.59 m (8 ft 6 in)"),
        ("en-GB", "907.18474", "kg", "907.18 kg"),
        ("es-US", "2.5908", "m", "8 ft 6 in (2.59 m)"),
        ("fr-CA", "2.5908", "m", "2,59 m"),
        ("de-DE", "907.18474", "kg", "907,18 kg"),
        ("de-DE", "1234.5", "L", "1.234,5 l"),
        ("de-DE", "2", None, "2"),
        ("en-US", "12.5", "%", "12.5 %"),
    ],
)
def test_measures(locale: str, value: str, unit: str | None, shown: str) -> None:
    assert plain(formats_of(locale).measure(Decimal(value), unit)) == shown


def test_whole_places_stay_whole_in_both_units() -> None:
    # 3,175.14659 kg / 0.45359237 = 7,000 lb.
    assert plain(formats_of("en-US").measure(Decimal("3175.14659"), "kg", 0)) == "7,000 lb (3,175 kg)"


def test_an_amount_without_a_currency_has_two_places() -> None:
    shown = [formats_of("en-US").money(Decimal(amount), None) for amount in ("12", "12.345", "-1234.5")]
    assert shown == ["12.00", "12.35", "-1,234.50"]


def test_a_weight_of_a_law_in_pounds_is_told_in_kilograms_abroad() -> None:
    # 3,000 x 0.45359237 = 1,360.78
    shown = {locale: plain(formats_of(locale).pounds(Decimal(3000))) for locale in ("en-US", "es-US", "en-GB", "de-DE")}
    assert (shown["en-US"], shown["es-US"]) == ("3,000 lb", "3,000 lb")
    assert (shown["en-GB"], shown["de-DE"]) == ("3,000 lb (1,361 kg)", "3.000 lb (1.361 kg)")


def test_no_amount_is_too_large_to_be_written() -> None:
    amount = Decimal("123456789012345678901234567890123456.785")
    formats = formats_of("en-US")
    assert formats.money(amount, "USD") == "$123,456,789,012,345,678,901,234,567,890,123,456.79"
    assert formats.number(amount) == "123,456,789,012,345,678,901,234,567,890,123,456.79"
    assert formats.percent(amount) == "12,345,678,901,234,567,890,123,456,789,012,345,678.5%"
    assert plain(formats_of("en-GB").measure(amount, "L")) == "123,456,789,012,345,678,901,234,567,890,123,456.79 l"


@pytest.mark.parametrize(
    ("day", "short", "long"),
    [
        (date(2026, 11, 1), "1er nov. 2026", "1er novembre 2026"),
        (date(2026, 11, 21), "21 nov. 2026", "21 novembre 2026"),
    ],
)
def test_the_first_of_a_month_in_french(day: date, short: str, long: str) -> None:
    formats = formats_of("fr-CA")
    assert (plain(formats.day(day)), plain(formats.long_day(day))) == (short, long)
