"""Answers as tables: CSV and text between tabs."""

import csv
import io
from decimal import Decimal
from typing import Any

import msgspec
import pytest
from litestar import Litestar
from litestar.testing import TestClient
from msgspec import Struct

from hitchworth.operations.tables import csv_table, tsv_table
from web_server import JSON, client, example

Api = TestClient[Litestar]


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


@pytest.fixture(scope="module")
def api() -> Any:
    with client() as asking:
        yield asking


def test_a_table_has_plain_cells() -> None:
    rows = [
        Row("a, b", Decimal("1E+3"), words=("x", "y")),
        Row("two\nlines\tand a tab", Decimal("-0.50"), sound=False, part=Part(Decimal(2)), parts=(Part(Decimal(3)),)),
    ]
    assert list(csv.DictReader(io.StringIO(csv_table(rows)))) == [
        {"name": "a, b", "amount": "1000", "sound": "true", "part": "", "words": "x; y", "part.size": "", "parts": ""},
        {
            "name": "two\nlines\tand a tab",
            "amount": "-0.50",
            "sound": "false",
            "part": "",
            "words": "",
            "part.size": "2",
            "parts": "",
        },
    ]
    assert tsv_table(rows).splitlines()[2].split("\t")[:3] == ["two lines and a tab", "-0.50", "false"]
    assert csv_table([]) == "\n"
    assert list(csv.reader(io.StringIO(csv_table([Row("a\r\nb\rc")]))))[1][0] == "a\nb\nc"


@pytest.mark.parametrize("text", ["=1+1", "+1", "-1", "@A1", "\t=1", "\n=1"])
def test_no_text_is_a_formula(text: str) -> None:
    (row,) = csv.DictReader(io.StringIO(csv_table([Row(text)]), newline=""))
    assert row["name"] == f"'{text}"


@pytest.mark.parametrize(
    ("path", "body", "rows", "columns"),
    [
        ("/v1/estimates", "estimate", "lines", {"id", "replacement_cost", "actual_cash_value"}),
        ("/v1/settlements", "settlement", "matrix", {"policy", "loss", "payable", "gap"}),
    ],
)
def test_a_computation_with_rows_can_be_had_as_a_table(
    api: Api, path: str, body: str, rows: str, columns: set[str]
) -> None:
    def asked(query: str = "", **headers: str) -> Any:
        return api.post(f"{path}{query}", content=example(body), headers=JSON | headers)

    count = len(asked().json()[rows])
    table, tabs = asked(accept="text/csv"), asked("?format=tsv")
    assert table.headers["content-type"] == "text/csv; charset=utf-8"
    assert tabs.headers["content-type"] == "text/tab-separated-values; charset=utf-8"
    for found in (
        list(csv.DictReader(io.StringIO(table.text))),
        list(csv.DictReader(io.StringIO(tabs.text), delimiter="\t")),
    ):
        assert len(found) == count
        assert columns <= found[0].keys()


@pytest.mark.parametrize(
    ("path", "columns"),
    [
        ("/v1/schedules", {"name", "schedule.method", "schedule.life_years", "categories"}),
        ("/v1/definitions?jurisdiction=GB", {"id", "class", "citation"}),
        ("/v1/facts", {"name", "type", "unit"}),
        ("/v1/price-indexes", {"name", "month", "value"}),
        ("/v1/protections", {"name", "layer", "slows"}),
        ("/v1/questions", {"id", "topic", "text"}),
    ],
)
def test_reference_data_can_be_had_as_a_table(api: Api, path: str, columns: set[str]) -> None:
    response = api.get(path, headers={"accept": "text/csv"})
    assert response.headers["vary"] == "accept"
    found = list(csv.DictReader(io.StringIO(response.text)))
    assert columns <= found[0].keys()
    assert len(found) >= len(api.get(path).json()["items"])


def test_a_fault_is_no_table(api: Api) -> None:
    response = api.post("/v1/estimates?format=csv&faults=in-body", content=b"{}", headers=JSON)
    assert response.headers["content-type"] == "application/problem+json"
    assert msgspec.json.decode(response.content)["status"] == 422
