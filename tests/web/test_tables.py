"""Responses as tables: CSV, tab-separated text, and sheets with typed cells."""

import csv
import io
from decimal import Decimal
from typing import Any

import msgspec
import pytest
from litestar import Litestar
from litestar.testing import TestClient

from hitchworth.operations.renderings import AS_TABLE, ODS, XLSX
from hitchworth.operations.tables import columns_of
from hitchworth.web.api import OPERATIONS
from hitchworth.web.examples import example_body, example_of
from hitchworth.web.examples.kept import EXAMPLE_LINK, example_store
from hitchworth.web.operation import Operation
from hitchworth.workbooks.reading import read_tables
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
        ("/v1/settlements", "settlement", "settlements", {"policy", "loss", "payable", "gap"}),
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
    assert response.headers["vary"] == "accept, accept-encoding"
    found = list(csv.DictReader(io.StringIO(response.text)))
    assert columns <= found[0].keys()
    assert len(found) >= len(api.get(path).json()["items"])


def test_a_problem_is_a_table_only_where_faults_come_in_the_body(api: Api) -> None:
    response = api.post("/v1/estimates?format=csv", content=b"{}", headers=JSON)
    assert response.headers["content-type"] == "application/problem+json"
    assert msgspec.json.decode(response.content)["status"] == 422


WITH_TABLES = [operation for operation in OPERATIONS if operation.tables]


@pytest.fixture(scope="module")
def kept_api() -> Any:
    with client(example_store()) as api:
        yield api


def ask(api: Api, operation: Operation, **query: str) -> Any:
    """The answer to an operation as its example asks, with more in the query."""
    values = {parameter: example_of(operation, parameter) for parameter in operation.parameters}
    given = {parameter.name: value for parameter, value in values.items() if value is not None}
    in_path = {name: value for name, value in given.items() if f"{{{name}}}" in operation.path}
    path = operation.path.format(**in_path, link=EXAMPLE_LINK)
    content = None if operation.request_type is None else example_body(operation)
    params = {name: str(value) for name, value in given.items() if name not in in_path} | query
    headers = {"x-request-id": "tables"}  # a row with a problem names the request
    return api.request(operation.method, path, params=params, content=content, headers=headers)


@pytest.mark.parametrize("operation", WITH_TABLES, ids=lambda operation: operation.operation_id)
def test_every_table_is_there_in_every_format_with_the_same_columns(kept_api: Api, operation: Operation) -> None:
    formats = [rendering.name for rendering in operation.renderings if rendering in AS_TABLE]
    assert formats == (["csv"] if operation.streams else ["csv", "tsv", "xlsx", "ods"])  # lines are for programs
    for table in operation.tables:
        names = [column.name for column in columns_of(table.record)]
        answered = {name: ask(kept_api, operation, format=name, table=table.name) for name in formats}
        assert {each.status_code for each in answered.values()} == {200}
        rows = list(csv.reader(io.StringIO(answered["csv"].text)))
        assert rows[0] == names
        assert "tsv" not in formats or answered["tsv"].text.splitlines()[0].split("\t") == names
        for name, media_type in {"xlsx": XLSX, "ods": ODS}.items() if "xlsx" in formats else ():
            assert answered[name].headers["content-type"] == media_type
            (sheet,) = read_tables(answered[name].content).tables
            assert list(sheet.rows[0]) == names
            assert len(sheet.rows) == len(rows)
        assert ask(kept_api, operation, format="csv", table=table.name, table_locale="de-DE").text.startswith(
            "\ufeff" + ";".join(names)
        )
    default, first = (
        ask(kept_api, operation, format="csv", **query).text for query in ({}, {"table": operation.tables[0].name})
    )
    assert default.splitlines()[0] == first.splitlines()[0]
    assert default == first or operation.operation_id == "list_access"  # the log has the request for it


def test_a_kept_builds_table_is_in_the_locale_of_its_document(kept_api: Api) -> None:
    document = msgspec.json.decode(example("kept-build")) | {"locale": "de-DE"}
    made = kept_api.post("/v1/builds", json=document, headers={"idempotency-key": "tables"}).json()
    answered = kept_api.get(f"/v1/builds/{made['id']}/estimate?format=csv").text
    assert answered.startswith("\ufeffid;kind;")
    single = kept_api.post("/v1/estimates?format=csv", json=document | {"as_of": "2026-06-01"}).text
    assert single.startswith("\ufeffid;kind;")


def test_the_tables_of_a_gap_statement_add_up(api: Api) -> None:
    def rows(table: str) -> list[dict[str, str]]:
        answered = api.post(f"/v1/gap-statements?format=csv&table={table}", content=example("gap-statement"))
        return list(csv.DictReader(io.StringIO(answered.text)))

    settlements = {(row["policy"], row["loss"]): row for row in rows("settlements")}
    causes: dict[tuple[str, str], Decimal] = {}
    for row in rows("gap_by_cause"):
        key = row["policy"], row["loss"]
        causes[key] = causes.get(key, Decimal(0)) + Decimal(row["amount"])
    assert causes == {key: Decimal(row["gap"]) for key, row in settlements.items() if Decimal(row["gap"])}
    last = {(row["policy"], row["loss"]): row["running"] for row in rows("steps")}
    assert len(last) == len(settlements)
    statement = api.post("/v1/gap-statements", content=example("gap-statement")).json()
    assert [row["id"] for row in rows("questions")] == [each["id"] for each in statement["questions"]]


def test_a_sheet_has_numbers_and_dates_and_no_formula(api: Api) -> None:
    body = msgspec.json.decode(example("estimate"))
    body["build"]["components"][0]["description"] = "=1+1"
    answered = api.post("/v1/estimates?format=xlsx", json=body)
    assert answered.headers["content-type"] == XLSX
    (sheet,) = read_tables(answered.content).tables
    head, first = sheet.rows[0], sheet.rows[1]
    assert first[head.index("description")] == "=1+1"
    assert isinstance(first[head.index("replacement_cost")], Decimal)
    assert sheet.formulas == ()
    accepted = api.post("/v1/estimates", json=body, headers={"accept": ODS})
    assert accepted.headers["content-type"] == ODS


@pytest.mark.parametrize("name", ["csv", "tsv", "xlsx", "ods"])
def test_faults_in_the_body_keep_the_format(api: Api, name: str) -> None:
    answered = api.post(f"/v1/estimates?format={name}&faults=in-body&table_locale=de-DE", content=b'{"build": {}}')
    assert answered.status_code == 200
    read = read_tables(answered.content).tables[0].rows
    assert read[0] == ("problem", "pointer", "detail", "expected", "found")
    assert {row[0] for row in read[1:]} == {"invalid-input"}
    assert "/build/name" in {row[1] for row in read[1:]}


def test_a_table_of_faults_is_in_the_locale_of_the_body(api: Api) -> None:
    body = b'{"build": {"name": 1}, "locale": "de-DE"}'
    answered = api.post("/v1/estimates?format=csv&faults=in-body", content=body)
    assert answered.text.startswith("\ufeffproblem;pointer;")
    no_locale = body.replace(b'"de-DE"', b"1")
    for sent in (no_locale, b"[", b"{}"):
        assert api.post("/v1/estimates?format=csv&faults=in-body", content=sent).text.startswith("problem,pointer,")


@pytest.mark.parametrize("query", ["table=nothing", "table_locale=German", "table_locale="])
def test_a_table_that_is_not_there(api: Api, query: str) -> None:
    answered = api.post(f"/v1/estimates?format=csv&{query}", content=example("estimate"))
    assert (answered.status_code, answered.json()["type"]) == (400, "/problems/invalid-parameter")
    health = api.get("/health?table=lines")
    assert health.status_code == 400
