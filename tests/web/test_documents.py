"""Documents over HTTP: the same file for every computation, a build alone, the format, and two to compare."""

import json
from collections.abc import Iterator
from typing import Any

import pytest
from litestar import Litestar
from litestar.testing import TestClient

from hitchworth.demo import demo_body
from hitchworth.web.app import create_app

BUILD = {"name": "Camper", "currency": "USD", "jurisdiction": "US-WA"}
FROM_A_DOCUMENT = (
    "/v1/estimates",
    "/v1/classifications",
    "/v1/settlements",
    "/v1/gap-statements",
    "/v1/protection-checks",
    "/v1/reports/all",
)


@pytest.fixture(scope="module")
def api() -> Iterator[TestClient[Litestar]]:
    with TestClient(create_app()) as client:
        yield client


@pytest.mark.parametrize("path", FROM_A_DOCUMENT)
def test_one_document_and_its_bare_build_go_everywhere(api: TestClient[Litestar], path: str) -> None:
    document = {**json.loads(demo_body()), "format": 1}
    assert api.post(path, json=document).status_code == 200
    written_out, alone = (api.post(path, json=body) for body in ({"build": BUILD}, BUILD))
    assert written_out.status_code == alone.status_code == 200
    assert written_out.content == alone.content


@pytest.mark.parametrize("path", FROM_A_DOCUMENT)
def test_a_newer_format_is_a_fault_at_its_place(api: TestClient[Litestar], path: str) -> None:
    problem = api.post(path, json={"format": 2, "anything": []})
    (fault,) = problem.json()["errors"]
    assert (problem.status_code, fault["pointer"], fault["found"]) == (422, "/format", "2")


def test_the_format_does_not_change_the_answer(api: TestClient[Litestar]) -> None:
    request = json.loads(demo_body())
    assert api.post("/v1/gap-statements", json={**request, "format": 1}).content == (
        api.post("/v1/gap-statements", json=request).content
    )


def compared(api: TestClient[Litestar], before: Any, after: Any, **fields: Any) -> Any:
    return api.post("/v1/document-comparisons", json={"before": before, "after": after, **fields})


def test_two_documents_are_compared_each_on_its_date(api: TestClient[Litestar]) -> None:
    before = {"build": BUILD, "as_of": "2026-01-01"}
    found = compared(api, before, {**BUILD, "name": "Other"}, locale="de-DE").json()
    assert [change["text"] for change in found["changes"]] == ["Anhänger: Name von Camper zu Other"]
    assert (found["before"]["as_of"], found["locale"]) == ("2026-01-01", "de-DE")


def test_the_faults_of_both_are_told_where_they_were_sent(api: TestClient[Litestar]) -> None:
    # The first is a build alone, so its currency stands directly in it; the second holds its build.
    problem = compared(api, {**BUILD, "currency": "usd"}, {"build": {**BUILD, "currency": "usd"}})
    assert [fault["pointer"] for fault in problem.json()["errors"]] == ["/before/currency", "/after/build/currency"]


def test_a_newer_document_is_refused_in_a_comparison_too(api: TestClient[Litestar]) -> None:
    problem = compared(api, BUILD, {"format": 99, "build": 1})
    assert [fault["pointer"] for fault in problem.json()["errors"]] == ["/after/format"]


def test_a_rate_that_is_missing_is_a_fault_of_its_document(api: TestClient[Litestar]) -> None:
    part = {
        "id": "stove",
        "description": "Stove",
        "category": "stove",
        "quantity": 1,
        "unit_cost": 5,
        "currency": "EUR",
        "acquired_on": "2026-03-01",
    }
    problem = compared(api, BUILD, {**BUILD, "components": [part]})
    assert [fault["pointer"] for fault in problem.json()["errors"]] == ["/after/components/0/exchange_rate"]


@pytest.mark.parametrize("body", [[], {}, {"before": 1, "after": None}, {"before": {}, "after": []}, "x"])
def test_what_is_no_comparison_is_a_problem(api: TestClient[Litestar], body: Any) -> None:
    assert api.post("/v1/document-comparisons", json=body).status_code == 422


def test_the_changes_come_as_a_table(api: TestClient[Litestar]) -> None:
    body = {"before": BUILD, "after": {**BUILD, "vin": "A"}}
    lines = api.post("/v1/document-comparisons?format=csv", json=body).text.splitlines()
    assert lines[0].startswith("kind,action,name")
    assert len(lines) == 2
