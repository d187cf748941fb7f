"""`hitchworth serials` and `documentation`: registers, scores, and numbers in files and among kept builds."""

import json
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from hitchworth.cli import main
from hitchworth.model.caller import LOCAL_CALLER
from hitchworth.operations.builds import create_build
from hitchworth.operations.changes import Creation
from hitchworth.store import open_store
from hitchworth.web.server import running

Run = Callable[..., str]


def document(name: str, *numbers: str) -> dict[str, Any]:
    parts = [
        {
            "id": f"part-{place}",
            "description": f"Part {place}",
            "category": "solar",
            "quantity": 1,
            "unit_cost": "100",
            "acquired_on": "2026-01-10",
            "serial_number": number or None,
            "number_location": "left leg",
        }
        for place, number in enumerate(numbers)
    ]
    return {"build": {"name": name, "currency": "USD", "components": parts}}


@pytest.fixture
def run(capsys: pytest.CaptureFixture[str]) -> Run:
    """Run the program, which has to succeed, and return what it prints, in one line each."""

    def action(*arguments: object) -> str:
        capsys.readouterr()
        code = main(list(map(str, arguments)))
        printed = capsys.readouterr()
        assert code == 0, printed.err
        return printed.out

    return action


@pytest.fixture
def files(tmp_path: Path) -> tuple[Path, Path]:
    paths = tmp_path / "one.json", tmp_path / "two.json"
    for path, numbers in zip(paths, (("A1-100", ""), ("B7",)), strict=True):
        path.write_text(json.dumps(document(path.stem, *numbers)))
    return paths


def in_a_line(text: str) -> str:
    return " ".join(text.split())


def test_the_register_of_a_file(run: Run, files: tuple[Path, Path]) -> None:
    shown = in_a_line(run("serials", files[0], "--as-of", "2026-06-01"))
    assert "What bears a number, in the trailer on Jun 1, 2026" in shown
    assert "Part 0 A1-100 – left leg –" in shown
    assert "Components without a serial number on record: 1." in shown
    assert "- Part 1" in shown
    rows = run("serials", files[0], "--as-of", "2026-06-01", "--format", "csv").splitlines()
    assert rows[2] == "part-0,Part 0,1,piece,,A1-100,,left leg,2026-01-10,,,"
    assert json.loads(run("serials", files[0], "--format", "json"))["items"][1]["serial_number"] == "A1-100"


def test_a_number_in_files(run: Run, files: tuple[Path, Path], monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "400")  # however long the paths are
    shown = in_a_line(run("serials", *files, "--find", "ai 1oo"))
    assert "Part 0, serial number A1-100: the same characters but for spaces and dashes" in shown
    assert "Only characters were compared." in shown
    assert "No number on record is like A1-101." in run("serials", *files, "--find", "A1-101")
    rows = run("serials", *files, "--find", "B7", "--format", "csv").splitlines()
    assert rows[0].startswith("file,build,name,")
    assert rows[1].startswith(f"{files[1]},,two,")
    one, two = json.loads(run("serials", *files, "--find", "B7", "--format", "json"))
    assert (one["file"], one["result"]["items"]) == (str(files[0]), [])
    assert two["result"]["items"][0]["match"] == "exact"
    assert json.loads(run("serials", files[1], "--find", "b7", "--format", "json"))["items"][0]["match"] == "forgiven"


@pytest.fixture(params=["database", "server"])
def where(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[tuple[str, str]]:
    """The option that names where two builds are kept."""
    path = str(tmp_path / "builds.db")
    store = open_store(path)
    for name, number in (("First", "A1-100"), ("Second", "B7")):
        create_build(store, LOCAL_CALLER, json.dumps(document(name, number)).encode(), Creation())
    if request.param == "database":
        store.close()
        yield "--database", path
    else:
        with running(store=store) as address:
            yield "--server", address
        store.close()


def test_a_number_among_kept_builds(run: Run, where: tuple[str, str]) -> None:
    shown = in_a_line(run("serials", "--find", "A1100", *where))
    assert "First (" in shown
    assert "serial number A1-100: the same characters but for spaces and dashes." in shown
    assert "Second" not in shown
    german = run("serials", "--find", "B7", *where, "--locale", "de-DE")
    assert "dieselben Zeichen" in in_a_line(german)


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        ([], "name a FILE"),
        (["--find", "A1"], "name where the builds are"),
        (["FILE", "--find", "A1", "--database", "x.db"], "--find looks into files or into kept builds"),
    ],
)
def test_wrong_use_is_told(
    arguments: list[str], told: str, files: tuple[Path, Path], capsys: pytest.CaptureFixture[str]
) -> None:
    given = [str(files[0]) if each == "FILE" else each for each in arguments]
    assert main(["serials", *given]) == 2
    assert told in capsys.readouterr().err


def test_a_number_of_dashes_is_a_fault(files: tuple[Path, Path], capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["serials", str(files[0]), "--find", " - "]) == 1
    assert "There is nothing in it to compare" in capsys.readouterr().err


def test_the_documentation_score_of_a_file(run: Run, files: tuple[Path, Path]) -> None:
    """Of two parts at 100 each, one has a number; two receipts, one photo and one number are missing."""
    shown = in_a_line(run("documentation", files[0], "--as-of", "2026-06-01"))
    assert "receipt or invoice 0.0% $0.00 0 / 2" in shown
    assert "serial number 50.0% $100.00 1 / 2" in shown
    assert "Part 0 receipt or invoice serial number $100.00" in shown
    assert "Part 1 photo – $100.00" in shown
    score = json.loads(run("documentation", files[0], "--as-of", "2026-06-01", "--format", "json"))
    assert (score["missing"], len(score["records"])) == (4, 4)
    rows = run("documentation", files[0], "--as-of", "2026-06-01", "--format", "csv", "--table", "shares").splitlines()
    assert rows[1] == "receipt,0.00,0.0000,0"
