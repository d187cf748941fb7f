"""Workbooks over HTTP: a template out, a workbook in, the same workbook with its results back."""

from typing import Any

import pytest
from litestar import Litestar
from litestar.testing import TestClient

from hitchworth.operations.renderings import ODS, XLSX
from hitchworth.workbooks.reading import read_tables
from hitchworth.workbooks.table import Table
from hitchworth.workbooks.writing import xlsx_bytes
from web_server import assert_problem, client

Api = TestClient[Litestar]
TEMPLATE, FILL = "/v1/workbook-template", "/v1/workbooks"


@pytest.fixture(scope="module")
def api() -> Any:
    with client() as api:
        yield api


def sheets(content: bytes) -> list[str]:
    return [table.name for table in read_tables(content).tables]


@pytest.mark.parametrize(("media_type", "form"), [(XLSX, "xlsx"), (ODS, "ods")])
def test_a_template_comes_by_accept_in_the_language_asked_for(api: Api, media_type: str, form: str) -> None:
    answer = api.get(TEMPLATE, headers={"accept": media_type}, params={"locale": "de-DE"})
    assert (answer.status_code, answer.headers["content-type"]) == (200, media_type)
    assert answer.headers["content-language"] == "de-DE"
    assert sheets(answer.content)[0] == "Aufbau"
    assert api.get(TEMPLATE, params={"locale": "de-DE", "format": form}).content == answer.content


def test_the_demo_filled_in_comes_back_with_results(api: Api) -> None:
    demo = api.get(TEMPLATE, params={"demo": "true"}).content
    answer = api.post(FILL, content=demo, params={"locale": "fr-CA"})
    assert answer.status_code == 200
    assert (answer.headers["fault-count"], answer.headers["content-language"]) == ("0", "fr-CA")
    assert sheets(answer.content)[:3] == ["Résultats", "Valeurs des lignes", "Questions"]


def test_wrong_cells_are_a_problem_or_come_back_marked(api: Api) -> None:
    build = Table(name="Build", rows=(("Name of the trailer", "Camper"), ("Currency", "dollars")))
    content = xlsx_bytes([build])
    answer = api.post(FILL, content=content, headers={"content-type": XLSX})
    assert_problem(answer, 422, "invalid-input")
    assert [fault["cell"] for fault in answer.json()["errors"]] == ["Build!B2"]
    marked = api.post(FILL, content=content, params={"mark_faults": "true", "format": "ods"})
    assert (marked.status_code, marked.headers["fault-count"]) == (200, "1")
    assert sheets(marked.content) == ["Faults", "Build"]
    in_body = api.post(FILL, content=content, params={"faults": "in-body"})
    assert (in_body.status_code, in_body.json()["status"]) == (200, 422)


@pytest.mark.parametrize("content", [b"", b"PK\x03\x04broken", b"{}", b"a,b\n1,2\n"])
def test_what_is_no_workbook_is_a_fault(api: Api, content: bytes) -> None:
    assert_problem(api.post(FILL, content=content), 422, "invalid-input")


def test_the_description_names_the_formats(api: Api) -> None:
    described = api.get("/openapi.json").json()["paths"][FILL]["post"]
    assert set(described["requestBody"]["content"]) == {XLSX, ODS}
    assert set(described["responses"]["200"]["content"]) == {XLSX, ODS}
