"""Columns of cells: many rows in one request, each figure that of the single cell, each fault in its own line."""

import csv
import io
from pathlib import Path
from typing import Any
from urllib.parse import urlencode

import msgspec
import pytest
from litestar import Litestar
from litestar.testing import TestClient

import hitchworth.web.examples
from hitchworth.operations.cell_columns import MAX_ROWS
from web_server import assert_problem, client

Api = TestClient[Litestar]
CELLS = ("percent-good", "depreciated-value", "indexed-price")
CSV = {"content-type": "text/csv"}


@pytest.fixture(scope="module")
def api() -> Any:
    with client() as served:
        yield served


def lines(api: Api, path: str, content: bytes) -> list[str]:
    response = api.post(f"/v1/cells/{path}", content=content, headers=CSV)
    assert (response.status_code, response.headers["content-type"]) == (200, "text/plain; charset=utf-8"), response.text
    assert response.text.endswith("\n")
    return response.text[:-1].split("\n")


@pytest.mark.parametrize("name", CELLS)
def test_a_row_has_the_text_of_the_single_cell(api: Api, name: str) -> None:
    content = (Path(hitchworth.web.examples.__path__[0]) / f"{name}.csv").read_bytes()
    rows = list(csv.DictReader(io.StringIO(content.decode())))
    singly = [
        api.get(f"/v1/cells/{name}?faults=in-body&{urlencode({key: text for key, text in row.items() if text})}").text
        for row in rows
    ]
    assert lines(api, name, content) == singly
    as_json = msgspec.json.encode([{key: text for key, text in row.items() if text} for row in rows])
    assert lines(api, name, as_json) == singly


def test_a_wrong_row_says_so_in_its_line_and_an_empty_one_is_empty(api: Api) -> None:
    # 899 x 0.6 = 539.40 and 5 x 0.9 x 0.5 = 2.25, straight line over 10 years
    table = b"""cost,method,life_years,age_years,condition
899,straight_line,10,4,
much,straight_line,10,4,
899,straight_line,0,4,
,,,,
5,straight_line,10,1,0.5
"""
    found = lines(api, "depreciated-value", table)
    assert [found[0], found[3], found[4]] == ["539.40", "", "2.25"]
    assert found[1].startswith("Error: cost: Not a number")
    assert found[2].startswith("Error: life_years: Must be greater than 0")
    answer = api.post("/v1/cells/depreciated-value?format=json", content=table).json()["cells"]
    assert [cell["value"] for cell in answer] == ["539.40", None, None, None, "2.25"]
    wrong = [[fault["pointer"] for fault in cell["errors"]] for cell in answer]
    assert wrong == [[], ["/cost"], ["/life_years"], [], []]


def test_a_table_of_a_spreadsheet_with_decimal_commas(api: Api) -> None:
    table = "\ufeffcost;method;life_years;age_years\r\n899,50;straight_line;10;2,5\r\n1.196,00;straight_line;10;1\r\n"
    found = lines(api, "depreciated-value?decimal=comma", table.encode())
    assert found[0] == "674,62"  # 899.50 less 25 percent, 224.875, which is rounded to 224.88
    assert found[1].startswith("Error: cost: Not a number")  # no thousands separators
    answer = api.post("/v1/cells/depreciated-value?decimal=comma&format=csv&table_locale=de-DE", content=table.encode())
    assert answer.text.splitlines()[:2] == ["\ufefftext;value", "674,62;674,62"]


def test_the_date_of_the_request_is_that_of_the_rows_without_one(api: Api) -> None:
    body = b"cost,method,life_years,in_service_on,as_of\n100,straight_line,4,2024-11-01,\n"
    assert lines(api, "depreciated-value?as_of=2026-11-01", body) == ["50.03"]  # 1 - 730 / 365.25 / 4
    own = body.replace(b",\n", b",2025-11-01\n")
    assert lines(api, "depreciated-value?as_of=2026-11-01", own) == ["75.02"]  # 1 - 365 / 365.25 / 4


@pytest.mark.parametrize(
    ("content", "fault"),
    [
        (b"", "The body is empty"),
        (b" \n", "The body is empty"),
        *((mark, "The body is empty") for mark in (b"\xff\xfe", b"\xfe\xff", b"sep=;", b"sep=,\n")),
        (b"{}", "The body is no array"),
        (b"cost,prize\n1,2\n", "B1: Unknown column (expected one of"),
        (b"cost,cost\n1,2\n", "B1: The column stands twice"),
        (b"cost,\n1,2\n", "B1: Unknown column"),
        (b"cost\n" + b"1\n" * (MAX_ROWS + 1), "Too many rows"),
        (b"[" + b"{}," * MAX_ROWS + b"{}]", "Too many rows"),
        (b"\x00\x01\x02", "The file is not text"),
    ],
)
def test_a_body_that_is_no_table(api: Api, content: bytes, fault: str) -> None:
    assert_problem(api.post("/v1/cells/depreciated-value", content=content), 422, "invalid-input")
    answer = api.post("/v1/cells/depreciated-value?faults=in-body", content=content)
    assert (answer.status_code, answer.text[:7]) == (200, "Error: ")
    assert fault in answer.text


def test_an_array_that_ends_too_early(api: Api) -> None:
    assert_problem(api.post("/v1/cells/percent-good", content=b'[{"schedule"'), 400, "malformed-body")


def test_a_row_that_is_no_object(api: Api) -> None:
    found = lines(api, "percent-good", b'[1, null, {}, {"schedule": "general", "age_years": 0}]')
    assert found[0].startswith("Error: Wrong type (expected an object")
    assert found[1:] == ["", "", "1.000000"]


def test_five_hundred_rows_in_their_order(api: Api) -> None:
    # straight line over 10 years without a residual: cost x (1 - age / 10)
    rows = "".join(f"{cost},straight_line,10,{cost % 10}\n" for cost in range(500))
    found = lines(api, "depreciated-value", f"cost,method,life_years,age_years\n{rows}".encode())
    assert found == [f"{cost * (10 - cost % 10) / 10:.2f}" for cost in range(500)]
