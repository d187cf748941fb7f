"""Plates read over HTTP: proposed beside what is on record, entered nowhere, and refused in words."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from litestar.testing import TestClient

from camera_photos import PDF, plate
from hitchworth.evidence import text_reading
from hitchworth.store import open_store
from hitchworth.web.app import create_app
from kept_client import KeptBuilds

VIN = "1M8GDM9AXKP042788"
"""A widely printed example whose check digit holds (49 CFR 565.15)."""


@pytest.fixture
def kept(tmp_path: Path) -> Iterator[KeptBuilds]:
    store = open_store(str(tmp_path / "builds.db"))
    with TestClient(create_app(store)) as api:
        yield KeptBuilds(api)
    store.close()


def added(kept: KeptBuilds, build: str, content: bytes, **what: Any) -> str:
    response = kept.api.post(f"{build}/evidence", content=content, params=what)
    assert response.status_code == 201, response.text
    return str(response.headers["location"])


def test_the_numbers_of_a_plate_are_proposed_and_nothing_is_entered(kept: KeptBuilds) -> None:
    build = kept.example()
    photo = added(kept, build, plate("TRAILER MFD BY EXAMPLE WORKS", f"VIN {VIN}"), subject="identification_plate")
    before = kept.get(build)
    reading = kept.get(f"{photo}/reading")
    assert [line["text"] for line in reading["lines"]] == ["TRAILER MFD BY EXAMPLE WORKS", f"VIN {VIN}"]
    (proposal,) = reading["proposals"]
    assert (proposal["pointer"], proposal["number"], proposal["line"]) == ("/build/vin", VIN, 1)
    assert (proposal["on_record"], proposal["agreement"]) == (before["build"].get("vin"), "missing")
    assert proposal["vin_check"]["check_digit"]["holds"] is True
    assert "compare every character" in reading["caution"]
    assert kept.get(build) == before


def test_the_serial_number_of_a_part_and_other_words(kept: KeptBuilds) -> None:
    build = kept.example()
    photo = added(kept, build, plate("MODEL TB-200", "S/N 4711 0822"), subject="number:stove")
    reading = kept.get(f"{photo}/reading", locale="de-DE")
    assert [(each["kind"], each["number"]) for each in reading["proposals"]] == [
        ("model_number", "TB-200"),
        ("serial_number", "4711 0822"),
    ]
    assert reading["locale"] == "de-DE"
    assert "Vergleichen Sie jedes Zeichen" in reading["caution"]


def test_a_pdf_is_not_read_and_without_the_extra_it_is_said(kept: KeptBuilds, monkeypatch: pytest.MonkeyPatch) -> None:
    build = kept.example()
    response = kept.api.get(f"{added(kept, build, PDF)}/reading")
    assert (response.status_code, response.json()["detail"]) == (404, "A PDF is not read")

    def missing(name: str) -> None:
        raise ModuleNotFoundError(name)

    text_reading._reader.cache_clear()
    monkeypatch.setattr(text_reading, "import_module", missing)
    response = kept.api.get(f"{added(kept, build, plate('A 1'))}/reading")
    assert (response.status_code, response.json()["type"]) == (501, "/problems/no-text-reader")
    assert "hitchworth[ocr]" in response.json()["detail"]
