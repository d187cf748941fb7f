"""The workshop of the settings: on the reports of quotes that name none, and the supplier of what they become."""

import json
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest
from litestar.testing import TestClient

from hitchworth.cli import main
from hitchworth.operations.settings import Settings, read_settings
from hitchworth.operations.workshop import workshop_of
from hitchworth.store import open_store
from hitchworth.validation import InvalidInputError
from hitchworth.web.app import create_app
from quote_reports import logo
from web_server import JSON, example

NAMED = Settings(workshop_name="Pine Ridge Trailers", workshop_address="1 Mill Road\nSpringfield")
OWN = "Larch Hill Campers"


def quote(workshop: dict[str, str] | None = None) -> dict[str, Any]:
    """The example of a quote, by this workshop."""
    request: dict[str, Any] = json.loads(example("kept-quote"))
    request["pricing"].pop("workshop", None)
    if workshop:
        request["pricing"]["workshop"] = workshop
    return request


def test_every_field_of_the_workshop_is_a_setting(tmp_path: Path) -> None:
    (tmp_path / "logo.png").write_bytes(logo())
    environment = {
        "HITCHWORTH_WORKSHOP_NAME": "Pine Ridge Trailers",
        "HITCHWORTH_WORKSHOP_ADDRESS": "1 Mill Road",
        "HITCHWORTH_WORKSHOP_TELEPHONE": "+1 555 0100",
        "HITCHWORTH_WORKSHOP_EMAIL": "shop@workshop.example",
        "HITCHWORTH_WORKSHOP_REGISTRATION": "Tax no. 12-345",
        "HITCHWORTH_WORKSHOP_LOGO": str(tmp_path / "logo.png"),
    }
    workshop = workshop_of(read_settings(environment))
    assert workshop is not None
    assert (workshop.name, workshop.address, workshop.logo) == ("Pine Ridge Trailers", "1 Mill Road", logo())
    assert (workshop.telephone, workshop.email) == ("+1 555 0100", "shop@workshop.example")
    assert workshop.registration == "Tax no. 12-345"
    assert workshop_of(Settings()) is None


def test_every_fault_of_the_workshop_is_told_by_its_variable(tmp_path: Path) -> None:
    missing = str(tmp_path / "logo.png")
    with pytest.raises(InvalidInputError) as caught:
        workshop_of(Settings(workshop_email="shop@workshop.example", workshop_logo=missing))
    name, read = caught.value.faults
    assert (name.pointer, read.pointer) == ("HITCHWORTH_WORKSHOP_NAME", "HITCHWORTH_WORKSHOP_LOGO")
    assert name.expected == "its name, because of HITCHWORTH_WORKSHOP_EMAIL, HITCHWORTH_WORKSHOP_LOGO"
    assert (read.detail, read.found) == ("The logo cannot be read: No such file or directory", missing)
    Path(missing).write_text("no picture", "utf-8")
    with pytest.raises(InvalidInputError) as caught:
        workshop_of(Settings(workshop_name="Pine Ridge Trailers", workshop_logo=missing))
    assert "cannot be printed" in caught.value.faults[0].detail


def test_a_server_prints_its_workshop_where_a_quote_names_none() -> None:
    def printed(report: str, workshop: dict[str, str] | None) -> str:
        asked = f"/v1/quote-reports/{report}?format=markdown"
        answer = api.post(asked, content=json.dumps(quote(workshop)), headers=JSON)
        assert answer.status_code == 200, answer.text
        return str(answer.text)

    with TestClient(create_app(None, NAMED)) as api:
        for report in ("customer-quote", "workshop-quote", "change-orders"):
            assert "Pine Ridge Trailers" in printed(report, None)
            assert "1 Mill Road, Springfield" in printed(report, None)
            assert "Pine Ridge Trailers" not in printed(report, {"name": OWN})


def test_the_workshop_is_the_supplier_of_what_an_accepted_quote_becomes(tmp_path: Path) -> None:
    with closing(open_store(str(tmp_path / "quotes.db"))) as store, TestClient(create_app(store, NAMED)) as api:

        def post(path: str, body: Any) -> Any:
            answer = api.post(path, content=json.dumps(body), headers=JSON)
            assert answer.status_code < 300, answer.text
            return answer.json()

        kept = post("/v1/kept-quotes", quote())
        address = f"/v1/kept-quotes/{kept['id']}"
        accepted = {"accepted_by": "A. Customer", "accepted_on": kept["pricing"]["quoted_on"]}
        built = post(f"{address}/accept", accepted)
        quoted = [part for part in built["build"]["components"] if part.get("evidence_grade") == "written_quote"]
        assert {part["supplier"] for part in quoted} == {"Pine Ridge Trailers"}
        assert "workshop" not in api.get(address).json()["pricing"]
        assert "Pine Ridge Trailers" in api.get(f"{address}/reports/handover?format=markdown").text
        order = {"number": "1", "dated": kept["pricing"]["quoted_on"], "reason": "A light", "components": [LIGHT]}
        post(f"{address}/change-orders", order)
        post(f"{address}/change-orders/1/accept", accepted)
        changed = api.get(f"/v1/builds/{built['id']}").json()
        (light,) = (part for part in changed["build"]["components"] if part["id"] == "light")
        assert light["supplier"] == "Pine Ridge Trailers"


LIGHT = {
    "id": "light",
    "description": "A light",
    "category": "electrical",
    "quantity": 1,
    "unit_cost": "20.00",
    "acquired_on": "2026-06-01",
    "price_includes": "nothing",
}


def test_the_command_line_prints_the_workshop_of_its_settings(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    file, out = tmp_path / "quote.json", tmp_path / "quote.md"
    file.write_text(json.dumps(quote()), "utf-8")
    command = ["report", "customer-quote", str(file), "-o", str(out), "--force"]
    monkeypatch.setenv("HITCHWORTH_WORKSHOP_NAME", "Pine Ridge Trailers")
    assert main(command) == 0
    assert "Pine Ridge Trailers" in out.read_text("utf-8")
    assert main([*command, "--workshop-name", OWN]) == 0
    assert OWN in out.read_text("utf-8")
    with pytest.raises(SystemExit):
        main([*command, "--workshop-email", "shop"])
    assert "shop is invalid; expected: an e-mail address: name@example.com\n" in capsys.readouterr().err
    assert main([*command, "--workshop-logo", str(tmp_path / "none.png")]) == 2
    assert "HITCHWORTH_WORKSHOP_LOGO: The logo cannot be read" in capsys.readouterr().err


def test_an_accepted_quote_has_the_workshop_of_the_settings_as_its_supplier(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    file, database = tmp_path / "quote.json", str(tmp_path / "quotes.db")
    file.write_text(json.dumps(quote()), "utf-8")
    monkeypatch.setenv("HITCHWORTH_WORKSHOP_NAME", "Pine Ridge Trailers")
    assert main(["quotes", "add", str(file), "--database", database]) == 0
    kept = capsys.readouterr().out.split()[2].rstrip(",")
    day = quote()["pricing"]["quoted_on"]
    assert main(["quotes", "accept", kept, "--by", "A. Customer", "--on", day, "--database", database]) == 0
    build = capsys.readouterr().out.split()[-1]
    assert main(["builds", "show", build, "--database", database]) == 0
    assert '"supplier":"Pine Ridge Trailers"' in capsys.readouterr().out.replace('": "', '":"')
