"""Responses as tables: CSV and tab-separated text."""

import csv
import io
from typing import Any

import msgspec
import pytest
from litestar import Litestar
from litestar.testing import TestClient

from web_server import JSON, client, example

Api = TestClient[Litestar]


@pytest.fixture(scope="module")
def api() -> Any:
    with client() as api:
        yield api


@pytest.mark.parametrize(
    ("path", "body", "rows", "columns"),
    [
        ("/v1/estimates", "estimate", "lines", {"id", "replacement_cost", "actual_cash_value"}),
        ("/v1/settlements", "settlement", "matrix", {"policy", "loss", "payable", "gap"}),
    ],
)
def test_an_appraisal_with_rows_is_available_as_a_table(
    api: Api, path: str, body: str, rows: str, columns: set[str]
) -> None:
    def post(query: str = "", **headers: str) -> Any:
        return api.post(f"{path}{query}", content=example(body), headers=JSON | headers)

    count = len(post().json()[rows])
    table, tabs = post(accept="text/csv"), post("?format=tsv")
    assert table.headers["content-type"] == "text/csv; charset=utf-8"
    assert table.content.count(b"\r\n") == table.content.count(b"\n") == count + 1  # RFC 4180
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
def test_reference_data_is_available_as_a_table(api: Api, path: str, columns: set[str]) -> None:
    response = api.get(path, headers={"accept": "text/csv"})
    assert response.headers["vary"] == "accept"
    found = list(csv.DictReader(io.StringIO(response.text)))
    assert columns <= found[0].keys()
    assert len(found) >= len(api.get(path).json()["items"])


def test_a_problem_is_a_table_only_where_faults_come_in_the_body(api: Api) -> None:
    response = api.post("/v1/estimates?format=csv", content=b"{}", headers=JSON)
    assert response.headers["content-type"] == "application/problem+json"
    assert msgspec.json.decode(response.content)["status"] == 422
