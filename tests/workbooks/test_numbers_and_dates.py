"""Numbers and dates as people write them, each read by hand."""

from datetime import date, timedelta
from decimal import Decimal

import pytest
from babel import Locale, localedata
from babel.core import UnknownLocaleError

from hitchworth.model.receipt_import import DecimalMark
from hitchworth.workbooks.cells import Cell
from hitchworth.workbooks.dates import date_orders, date_share, is_date, is_serial, read_date
from hitchworth.workbooks.numbers import currencies_in, decimal_marks, number_share, value_of, written


def value(text: str, mark: DecimalMark = "point") -> Decimal | None:
    number = written(text)
    return None if number is None else value_of(number, mark)


@pytest.mark.parametrize(
    ("text", "point", "comma"),
    [
        ("12.50", "12.50", None),
        ("12,50", None, "12.50"),
        ("1,234.56", "1234.56", None),
        ("1.234,56", None, "1234.56"),
        ("1,234", "1234", "1.234"),
        ("1.234", "1.234", "1234"),
        ("1,234,567", "1234567", None),
        ("1'234.50", "1234.50", None),
        ("1’234,50", None, "1234.50"),
        ("1 234,50", None, "1234.50"),
        ("1\u202f234.50", "1234.50", None),
        ("1,00,000.50", "100000.50", None),
        (".50", "0.50", None),
        ("12,-", "12", "12"),
        ("12.– €", "12", "12"),
        ("007", "7", "7"),
        ("0", "0", "0"),
    ],
)
def test_groups_and_fractions(text: str, point: str | None, comma: str | None) -> None:
    assert value(text, "point") == (None if point is None else Decimal(point))
    assert value(text, "comma") == (None if comma is None else Decimal(comma))


@pytest.mark.parametrize(
    ("text", "number"),
    [
        *(("(149.97)", "-149.97"), ("8.25-", "-8.25"), ("\u22123.10", "-3.10"), ("\u20133.10", "-3.10"), ("+4", "4")),
        *(
            ("12.00 CR", "-12.00"),
            ("12.00 DR", "12.00"),
            ("$-5", "-5"),
            ("-$5", "-5"),
            ("($5.00)", "-5.00"),
            ("5 €-", "-5"),
        ),
        *(("-0", "0"), ("US$ 5", "5"), ("5 USD", "5"), ("$5 USD", "5"), ("CHF 5", "5"), ("5 kr.", "5"), ("5 zł", "5")),
    ],
)
def test_signs_and_currencies(text: str, number: str) -> None:
    assert value(text) == Decimal(number)
    assert str(value(text)) != "-0"


@pytest.mark.parametrize(
    "text",
    [
        *("", "-", "NaN", "Infinity", "1e9", "1_000", "=1", "+1-555", "--5", "-(5)", "(5", "5)", "12 pcs", "$5 EUR"),
        *("abc", "1.2.3", "1,23,45", "12.5%", "٣"),
    ],
)
def test_what_is_no_number(text: str) -> None:
    number = written(text)
    assert number is None or value_of(number, "point") is None


def test_a_column_decides_its_decimal_mark_or_not() -> None:
    assert decimal_marks(["1,234", "12.50"]) == {"point"}
    assert decimal_marks(["1,234", "12,50"]) == {"comma"}
    assert decimal_marks(["1,234", "12"]) == {"point", "comma"}
    assert decimal_marks(["12.50", "12,50"]) == set()


def test_the_share_of_numbers_is_of_the_filled_cells() -> None:
    assert number_share(["1", None, "x", Decimal(2), "$3"]) == 0.75
    assert number_share([None]) == 0


@pytest.mark.parametrize(
    ("cells", "orders"),
    [
        (["03/04/2025"], ("day-first", "month-first")),
        (["03/04/2025", "25/08/2025"], ("day-first",)),
        (["03/04/2025", "08/25/2025"], ("month-first",)),
        (["25/08/2025", "08/25/2025"], ()),
        (["03/03/2025"], ("day-first",)),
        (["3.4.2025"], ("day-first",)),
        (["25-03-04"], ("year-first", "day-first")),
        (["2025-03-04"], ("year-first",)),
        (["4 Mar 2025"], ("year-first",)),
        ([], ("year-first",)),
    ],
)
def test_the_order_of_a_column(cells: list[Cell], orders: tuple[str, ...]) -> None:
    assert date_orders(cells) == orders


def test_no_locale_writes_the_month_first_with_points() -> None:
    """The short dates of CLDR, as Babel has them: with points they begin with the day, or with the year."""
    checked = 0
    for name in localedata.locale_identifiers():
        try:
            pattern = Locale.parse(name).date_formats["short"].pattern.lower()
        except (UnknownLocaleError, ValueError):
            continue
        if "." in pattern and "m" in pattern:
            checked += 1
            assert pattern.find("d") < pattern.find("m") or pattern.find("y") < pattern.find("m"), name
    assert checked > 50


def test_eight_digits_are_year_month_and_day() -> None:
    assert read_date("20251231", "day-first") == date(2025, 12, 31)
    assert read_date("20251331", "day-first") is None


@pytest.mark.parametrize(
    ("text", "day"),
    [
        ("Mar 5, 2025", date(2025, 3, 5)),
        ("5. März 2025", date(2025, 3, 5)),
        ("Tue 4-Mar-25", date(2025, 3, 4)),
        ("2025 March 4th", date(2025, 3, 4)),
        ("1er mars 2025", date(2025, 3, 1)),
        ("4 de marzo de 2025", date(2025, 3, 4)),
        ("Mar 4 2025 Apr", None),  # two months
        ("Mar 4 5 2025", None),  # three numbers
        ("Mar 4, 2025 sale", None),  # a word that stands beside no date
        ("Mar 4 025", None),  # a year of three digits
    ],
)
def test_a_date_with_the_name_of_its_month(text: str, day: date | None) -> None:
    assert read_date(text, "day-first") == day


def test_numbers_count_days_from_1900_or_1904() -> None:
    """Day 45720 from December 30, 1899 is March 4, 2025; from 1904 it is day 44258."""
    assert read_date(Decimal(45720), "day-first") == date(2025, 3, 4)
    assert read_date(Decimal("45720.75"), "day-first") == date(2025, 3, 4)
    assert read_date(Decimal(44258), "day-first", from_1904=True) == date(2025, 3, 4)
    assert read_date("45720", "day-first") == date(2025, 3, 4)
    # the first and the last day that counts: 25,720 days before and 34,280 after that one
    assert read_date(Decimal(20_000), "day-first") == date(2025, 3, 4) - timedelta(25_720)
    assert read_date(Decimal(80_000), "day-first") == date(2025, 3, 4) + timedelta(34_280)
    for number in (19_999, 80_001, 12, -5, Decimal("1E+20")):
        assert read_date(Decimal(number), "day-first") is None
    assert is_serial("45720")
    assert not is_serial("12.50")
    assert not is_serial("9" * 5_000)  # more digits than Python reads
    assert not is_serial(Decimal(12))


@pytest.mark.parametrize(
    "text", ["12.50", "May", "10:30", "2025", "1.234", "13.13.2025", "2025-02-30", "Mar 2025", "x"]
)
def test_what_is_no_date(text: str) -> None:
    assert not is_date(text)
    assert all(read_date(text, order) is None for order in ("year-first", "day-first", "month-first"))


def test_a_number_is_no_date_by_its_looks() -> None:
    assert not is_date(Decimal(45720))
    assert date_share([date(2025, 3, 4), "2025-03-04", Decimal(45720), None]) == pytest.approx(2 / 3)


def test_a_part_of_three_digits_is_no_part_of_a_date() -> None:
    assert read_date("012/03/2025", "day-first") is None
    assert read_date("12/03/2025", "day-first") == date(2025, 3, 12)


def test_a_currency_in_a_header_is_a_sign_or_a_code_in_capitals() -> None:
    assert currencies_in("PRICE (USD), net/€") == ("USD", "€")
    assert currencies_in("Price all usd") == ()  # "all" and "usd" are no codes here, though ALL and USD are some
