"""A file as the body: receipts in, entries of a build and questions out."""

import json
from typing import Any

import pytest
from litestar import Litestar
from litestar.testing import TestClient

from hitchworth.model.receipt_import import ImportSettings
from hitchworth.workbooks.table import Table
from hitchworth.workbooks.writing import xlsx_bytes
from web_server import assert_problem, client

Api = TestClient[Litestar]
PATH = "/v1/receipt-imports"
RECEIPTS = b"Date,Item,Amount\n2025-03-04,Stove,12.50\n"


@pytest.fixture(scope="module")
def api() -> Any:
    with client() as api:
        yield api


def post(api: Api, content: bytes, content_type: str = "text/csv", **parameters: str) -> Any:
    return api.post(PATH, content=content, headers={"content-type": content_type}, params=parameters)


@pytest.mark.parametrize("content_type", ["text/csv", "application/octet-stream", "application/x-www-form-urlencoded"])
def test_a_file_is_read_whatever_it_is_called(api: Api, content_type: str) -> None:
    answer = post(api, RECEIPTS, content_type)
    assert answer.status_code == 200
    (part,) = answer.json()["components"]
    assert (part["description"], part["unit_cost"], part["acquired_on"]) == ("Stove", "12.50", "2025-03-04")
    assert part["category"] == "stove"


def test_a_workbook_is_read_too(api: Api) -> None:
    rows = (("Date", "Item", "Amount"), ("2025-03-04", "Stove", "12.50"))
    answer = post(api, xlsx_bytes([Table(name="Receipts", rows=rows)]), "application/zip")
    assert len(answer.json()["components"]) == 1


def test_a_question_is_answered_with_the_settings_of_the_answer(api: Api) -> None:
    table = b"Date,Item,Amount\n03/04/2025,Stove,12.50\n"
    asked = post(api, table, locale="de-DE").json()
    assert asked["components"] == []
    (question,) = asked["questions"]
    assert question["text"] == "Welcher Tag ist 03/04/2025? Nichts in der Spalte entscheidet es."
    settings = asked["settings"] | {question["setting"]: question["choices"][0]["value"]}
    answered = post(api, table, settings=json.dumps(settings)).json()
    assert answered["questions"] == []
    assert answered["components"][0]["acquired_on"] == question["choices"][0]["reading"]


def test_the_texts_are_in_the_language_asked_for(api: Api) -> None:
    answer = post(api, RECEIPTS, locale="fr-CA")
    assert answer.headers["content-language"] == "fr-CA"
    assert answer.json()["settings"]["currency"] == "CAD"
    assert "devise" in answer.json()["notes"][0]["text"]


def test_faults_name_cells_and_equal_ones_are_told_once(api: Api) -> None:
    answer = post(api, RECEIPTS + b"2025-03-05,Sink,free\n2025-03-05,Lamp,1\n2025-03-06,Hose,none\n2025-03-06,Pump,2\n")
    assert_problem(answer, 422, "invalid-input")
    (fault,) = answer.json()["errors"]
    assert (fault["cell"], fault["also_at"], fault["found"]) == ("C3", ["C5"], "free")
    assert answer.json()["fault_count"] == 2


@pytest.mark.parametrize("content", [b"", b"\x00\x01\x02\x03", b"PK\x03\x04broken", b"%PDF-1.7"])
def test_what_is_no_table_is_one_plain_fault(api: Api, content: bytes) -> None:
    answer = post(api, content)
    assert_problem(answer, 422, "invalid-input")
    assert answer.json()["errors"][0]["detail"].startswith("The file is ")


def test_a_form_is_refused_with_what_to_send(api: Api) -> None:
    answer = api.post(PATH, files={"file": ("receipts.csv", RECEIPTS)})
    assert_problem(answer, 415, "unsupported-media-type")
    assert "send the file itself" in answer.json()["detail"]
    assert_problem(
        api.post(PATH, content=RECEIPTS, headers={"content-encoding": "gzip"}), 415, "unsupported-media-type"
    )


@pytest.mark.parametrize(
    ("settings", "detail"),
    [
        ("{", "no JSON"),
        ('{"date_order": "upside-down"}', "settings"),
        ('{"dates": 1}', "settings"),
    ],
)
def test_settings_that_cannot_be_read_are_an_invalid_parameter(api: Api, settings: str, detail: str) -> None:
    answer = post(api, RECEIPTS, settings=settings)
    assert_problem(answer, 400, "invalid-parameter")
    assert detail in answer.json()["detail"] + str(answer.json()["errors"])


def test_a_fault_of_a_setting_says_which(api: Api) -> None:
    answer = post(api, RECEIPTS, settings='{"date_order": "upside-down"}')
    assert answer.json()["errors"][0]["detail"] == "settings/date_order: Not one of the allowed values"


def test_the_description_has_the_file_and_the_settings(api: Api) -> None:
    described = api.get("/openapi.json").json()["paths"][PATH]["post"]
    assert described["requestBody"]["content"]["text/csv"]["example"].startswith("Date,")
    (settings,) = (part for part in described["parameters"] if part["name"] == "settings")
    reference = settings["content"]["application/json"]["schema"]["$ref"].rpartition("/")[2]
    assert reference == ImportSettings.__name__
