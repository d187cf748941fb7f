"""Without the extra `reports` there is no PDF and no Word document, and every interface says what to install."""

import sys
from pathlib import Path

import pytest
from litestar import Litestar
from litestar.testing import TestClient

from hitchworth import reports
from hitchworth.cli import main
from hitchworth.demo import demo_body
from hitchworth.web.app import create_app

DOCX = "application/vnd.openxmlformats-officedocument.wordprocessingml.document"


@pytest.fixture
def without_extra(monkeypatch: pytest.MonkeyPatch) -> None:
    """As if nothing of the extra were installed, also where a test before has loaded it."""
    for name in ("pdf", "docx"):
        monkeypatch.delattr(reports, name, raising=False)
    for name in ("pdf", "docx", "docx_tables", "typesetting"):
        monkeypatch.delitem(sys.modules, f"hitchworth.reports.{name}", raising=False)
    for name in ("docx", "typst"):
        monkeypatch.setitem(sys.modules, name, None)


@pytest.fixture
def api() -> TestClient[Litestar]:
    return TestClient(create_app())


@pytest.mark.usefixtures("without_extra")
@pytest.mark.parametrize(
    ("path", "media_type"),
    [
        ("/v1/conversation-sheets", "application/pdf"),
        ("/v1/reports/inventory", DOCX),
    ],
)
def test_the_api_answers_with_a_problem_of_its_own(api: TestClient[Litestar], path: str, media_type: str) -> None:
    response = api.post(path, content=demo_body(), headers={"accept": media_type})
    assert (response.status_code, response.json()["type"]) == (501, "/problems/no-typesetter")
    assert "hitchworth[reports]" in response.json()["detail"]


@pytest.mark.usefixtures("without_extra")
@pytest.mark.parametrize("media_type", ["text/html", "text/markdown"])
def test_the_other_formats_are_there(api: TestClient[Litestar], media_type: str) -> None:
    response = api.post("/v1/conversation-sheets", content=demo_body(), headers={"accept": media_type})
    assert (response.status_code, response.headers["content-type"].partition(";")[0]) == (200, media_type)


@pytest.mark.usefixtures("without_extra")
def test_the_command_names_the_extra_and_writes_nothing(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    document, sheet = tmp_path / "camper.json", tmp_path / "sheet.pdf"
    document.write_bytes(demo_body())
    assert main(["sheet", str(document), "-o", str(sheet)]) == 2
    assert "install hitchworth[reports]" in capsys.readouterr().err
    assert not sheet.exists()
