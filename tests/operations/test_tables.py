"""Records as CSV and as tab-separated text."""

import csv
import io
from datetime import date
from decimal import Decimal

import pytest
from msgspec import Struct

from hitchworth.model.numbers import RoundedAmount, Share
from hitchworth.operations.tables import FilledTable, columns_of, csv_table, table_workbook, tsv_table


class Part(Struct):
    """A record inside a row."""

    size: Decimal


class Row(Struct):
    """A row with a cell of every kind."""

    name: str
    amount: Decimal | None = None
    sound: bool = True
    part: Part | None = None
    words: tuple[str, ...] = ()
    parts: tuple[Part, ...] = ()


def table(*rows: Row, locale: str = "en-US") -> FilledTable:
    return FilledTable(record=Row, rows=rows, locale=locale)


def test_a_table_has_plain_cells() -> None:
    rows = [
        Row("a, b", Decimal("1E+3"), words=("x", "y")),
        Row("two\nlines\tand a tab", Decimal("-0.50"), sound=False, part=Part(Decimal(2)), parts=(Part(Decimal(3)),)),
    ]
    assert list(csv.DictReader(io.StringIO(csv_table(table(*rows))))) == [
        {"name": "a, b", "amount": "1000", "sound": "true", "part.size": "", "words": "x; y"},
        {
            "name": "two\nlines\tand a tab",
            "amount": "-0.50",
            "sound": "false",
            "part.size": "2",
            "words": "",
        },
    ]
    assert tsv_table(table(*rows)).splitlines()[2].split("\t")[:3] == ["two lines and a tab", "-0.50", "false"]
    assert csv_table(table()) == "name,amount,sound,part.size,words\n"
    found = csv.reader(io.StringIO(csv_table(table(Row("a\r\nb\rc")))))
    assert list(found)[1][0] == "a\nb\nc"


@pytest.mark.parametrize("text", ["=1+1", "+1", "-1", "@A1", "\t=1", "\n=1"])
def test_a_text_that_looks_like_a_formula_is_marked(text: str) -> None:
    (row,) = csv.DictReader(io.StringIO(csv_table(table(Row(text))), newline=""))
    assert row["name"] == f"'{text}"


class Costed(Struct):
    """A row of every kind of number."""

    label: str
    cost: RoundedAmount
    share: Share
    age: Decimal
    on: date
    of: Part | str = ""


COSTED = Costed("=1+1", Decimal("1196.50"), Decimal("0.25"), Decimal("1.196"), date(2026, 11, 1), Part(Decimal(2)))


@pytest.mark.parametrize(
    ("locale", "written"),
    [
        ("en-US", "label,cost,share,age,on,of,of.size\n'=1+1,1196.50,0.25,1.196,2026-11-01,,2\n"),
        ("en-GB", "\ufefflabel,cost,share,age,on,of,of.size\n'=1+1,1196.50,0.25,1.196,2026-11-01,,2\n"),
        ("de-DE", "\ufefflabel;cost;share;age;on;of;of.size\n'=1+1;1196,50;0,25;1,196;2026-11-01;;2\n"),
        ("fr-CA", "\ufefflabel;cost;share;age;on;of;of.size\n'=1+1;1196,50;0,25;1,196;2026-11-01;;2\n"),
        ("de-CH", "\ufefflabel,cost,share,age,on,of,of.size\n'=1+1,1196.50,0.25,1.196,2026-11-01,,2\n"),
    ],
)
def test_csv_is_what_the_spreadsheet_of_the_locale_reads(locale: str, written: str) -> None:
    filled = FilledTable(record=Costed, rows=[COSTED], locale=locale)
    assert csv_table(filled) == written
    assert tsv_table(filled).splitlines()[1] == "'=1+1\t1196.50\t0.25\t1.196\t2026-11-01\t\t2"


@pytest.mark.parametrize(
    ("locale", "currency", "places", "sign"),
    [
        ("en-US", "USD", 2, ("$", "")),
        ("de-DE", "EUR", 2, ("", "\xa0€")),
        ("de-DE", "KWD", 3, ("", "\xa0KWD")),
        ("fr-CA", "JPY", 0, ("", "\xa0¥")),
        ("en-US", None, 2, ("", "")),
    ],
)
def test_a_sheet_knows_its_numbers(locale: str, currency: str | None, places: int, sign: tuple[str, str]) -> None:
    made = table_workbook(FilledTable(name="costs", record=Costed, rows=[COSTED], locale=locale, currency=currency))
    assert made.tables[0].rows[1] == (
        *("=1+1", Decimal("1196.50"), Decimal("0.25"), Decimal("1.196"), date(2026, 11, 1), None, Decimal(2)),
    )
    look = made.looks["costs"]
    assert [look.style_of(1, column) for column in range(4)] == ["text", "money", "share", "number"]
    assert look.style_of(1, 4) == "date"
    assert (made.money_places, made.currency_sign) == (places, sign)


class Nested(Struct):
    """A record that has another of its kind in it."""

    name: str
    inner: "Nested | None" = None


def test_a_record_in_itself_is_left_out() -> None:
    assert [column.name for column in columns_of(Nested)] == ["name"]
