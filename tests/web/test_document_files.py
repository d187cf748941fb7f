"""POST /v1/documents: the same document from every kind of file that holds one."""

import json
from collections.abc import Iterator
from importlib.resources import files
from typing import Any

import pytest
from litestar import Litestar
from litestar.testing import TestClient

from hitchworth.demo import demo_body
from web_server import assert_problem, client

YAML = files("hitchworth.web.examples").joinpath("camper.yaml").read_bytes()
TOML = b"""
[build]
name = "Camper"
currency = "USD"
[[build.components]]
id = "stove"
description = "Two-burner stove"
category = "stove"
quantity = 1
unit_cost = 268.00
acquired_on = 2026-02-14
"""
BUILD = {"name": "Camper", "currency": "USD"}
STOVE = {
    "id": "stove",
    "description": "Two-burner stove",
    "category": "stove",
    "quantity": "1",
    "unit_cost": "268.00",
    "acquired_on": "2026-02-14",
}


@pytest.fixture(scope="module")
def api() -> Iterator[TestClient[Litestar]]:
    with client() as opened:
        yield opened


def read(api: TestClient[Litestar], content: bytes, **headers: str) -> Any:
    response = api.post("/v1/documents", content=content, headers=headers)
    assert response.status_code == 200, response.text
    return response.json()


@pytest.mark.parametrize("content", [YAML, YAML.decode().encode("utf-16"), b"\xef\xbb\xbf" + YAML, TOML])
def test_a_text_is_the_document_that_it_stands_for(api: TestClient[Litestar], content: bytes) -> None:
    build = read(api, content)["build"]
    assert (build["name"], build["components"]) == ("Camper", [STOVE])


def test_a_build_alone_is_a_document_and_defaults_are_left_out(api: TestClient[Litestar]) -> None:
    assert read(api, json.dumps(BUILD).encode()) == {"format": 1, "build": BUILD}


def test_a_workbook_is_the_document_that_it_was_made_of(api: TestClient[Litestar]) -> None:
    workbook = api.get("/v1/workbook-template?demo=true").content
    from_workbook, from_json = read(api, workbook), read(api, demo_body())
    assert from_workbook["as_of"] == from_json["as_of"] == "2026-11-01"
    deductibles = [[policy.get("deductible") for policy in each["policies"]] for each in (from_workbook, from_json)]
    assert deductibles == [["500", "1000", None], ["500.00", "1000.00", None]]
    assert len(from_workbook["build"]["components"]) == len(from_json["build"]["components"])


def test_what_it_answers_it_takes_again(api: TestClient[Litestar]) -> None:
    once = read(api, demo_body())
    assert read(api, json.dumps(once).encode()) == once


def test_faults_are_named_at_once(api: TestClient[Litestar]) -> None:
    response = api.post("/v1/documents", content=b"build: {name: Camper, currency: dollars}\npolicies: [{}]\n")
    assert_problem(response, 422, "invalid-input")
    assert [fault["pointer"] for fault in response.json()["errors"]] == ["/build/currency", "/policies/0/name"]


@pytest.mark.parametrize("content", [b"a: [", b"PK and no more", b"\xff\xfe\x00"])
def test_what_cannot_be_read_is_told(api: TestClient[Litestar], content: bytes) -> None:
    assert_problem(api.post("/v1/documents", content=content), 422, "invalid-input")


@pytest.mark.parametrize("content", [b"{", b'{"build": '])
def test_json_that_breaks_off_is_malformed(api: TestClient[Litestar], content: bytes) -> None:
    assert_problem(api.post("/v1/documents", content=content), 400, "malformed-body")


def test_a_form_is_refused(api: TestClient[Litestar]) -> None:
    response = api.post("/v1/documents", files={"file": YAML})
    assert_problem(response, 415, "unsupported-media-type")
