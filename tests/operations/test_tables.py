"""Records as CSV and as tab-separated text."""

import csv
import io
from decimal import Decimal

import pytest
from msgspec import Struct

from hitchworth.operations.tables import FilledTable, csv_table, tsv_table


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
