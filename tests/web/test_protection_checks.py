"""POST /v1/protection-checks."""

from importlib.resources import files

import msgspec
from litestar.testing import TestClient

from hitchworth.model.protection import ProtectionReport
from hitchworth.web.app import create_app

EXAMPLE = files("hitchworth.web.examples").joinpath("protection-check.json").read_bytes()
PATH = "/v1/protection-checks"


def test_the_example_has_its_report() -> None:
    with TestClient(create_app()) as api:
        answer = api.post(PATH, content=EXAMPLE, headers={"content-type": "application/json"})
    assert answer.status_code == 200
    report = msgspec.json.decode(answer.content, type=ProtectionReport)
    assert [circuit.name for circuit in report.circuits] == ["battery to fuse block", "roof fan", "reading lights"]
    assert [str(payback.years) for payback in report.paybacks] == ["4.94", "10.75"]
    assert [measure.in_place for measure in report.measures] == [True, True, False]


def test_faults_have_their_places() -> None:
    body = msgspec.json.decode(EXAMPLE)
    body["build"]["circuits"][1]["length_m"] = 0
    body["build"]["circuits"][2]["awg"] = 15
    with TestClient(create_app()) as api:
        answer = api.post(PATH, json=body)
    assert answer.status_code == 422
    assert {error["pointer"] for error in answer.json()["errors"]} == {
        "/build/circuits/1/length_m",
        "/build/circuits/2/awg",
        "/build/circuits/2/area_mm2",
    }
