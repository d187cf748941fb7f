"""`--server`: a server computes what this machine would, to the byte."""

import sys
from collections.abc import Iterator
from importlib.resources import files
from pathlib import Path

import pytest

from hitchworth.cli import main
from hitchworth.demo import demo_body
from hitchworth.web.server import running

EXAMPLES = files("hitchworth.web") / "examples"
EXAMPLE_OF = {"curve": "value-curve", "opinion": "sales-comparison", "protect": "protection-check", "quote": "quote"}
COMMANDS = ("check", "estimate", "classify", "settle", "gap", "curve", "opinion", "protect", "quote")


@pytest.fixture(scope="module")
def address() -> Iterator[str]:
    with running() as address:
        yield address


@pytest.fixture
def document(tmp_path: Path) -> str:
    file = tmp_path / "camper.json"
    file.write_bytes(demo_body())
    return str(file)


@pytest.mark.parametrize("command", COMMANDS)
def test_a_server_gives_the_same_result(
    command: str, address: str, document: str, capsys: pytest.CaptureFixture[str]
) -> None:
    file = str(EXAMPLES / f"{EXAMPLE_OF[command]}.json") if command in EXAMPLE_OF else document
    for how in ("table", "json", "csv"):
        arguments = [command, file, "--format", how, "--locale", "de-DE"]
        assert main(arguments) == 0
        here = capsys.readouterr().out
        assert main([*arguments, "--server", address]) == 0
        assert capsys.readouterr().out == here


def test_a_server_compares_two_documents(address: str, document: str, capsys: pytest.CaptureFixture[str]) -> None:
    other = str(EXAMPLES / "estimate.json")
    assert main(["compare", document, other]) == 0
    here = capsys.readouterr().out
    assert main(["compare", document, other, "--server", address]) == 0
    assert capsys.readouterr().out == here


@pytest.mark.parametrize(
    ("name", "arguments"),
    [
        ("sheet.html", ["sheet"]),
        ("sheet.pdf", ["sheet", "--for-policy", "agreed value"]),
        ("inventory.md", ["report", "inventory", "--include-unverified"]),
        ("letter.txt", ["letter", "correct-class"]),
        ("customer.md", ["report", "customer-quote"]),
    ],
)
def test_a_server_writes_the_same_paper(
    name: str, arguments: list[str], address: str, document: str, tmp_path: Path
) -> None:
    file = str(EXAMPLES / "quote.json") if "customer-quote" in arguments else document
    here, there = tmp_path / f"here-{name}", tmp_path / f"there-{name}"
    assert main([*arguments, file, "-o", str(here)]) == 0
    assert main([*arguments, file, "-o", str(there), "--server", address]) == 0
    assert here.read_bytes() == there.read_bytes()


def test_what_a_server_refuses_is_told_as_here(
    address: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "camper.yaml"
    file.write_text("name: Camper\ncurrency: dollars\n")
    assert main(["gap", str(file), "--server", address]) == 1
    assert capsys.readouterr().err.startswith("line 2: /currency: ")


def test_a_server_that_is_not_there_is_a_usage_error(document: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["gap", document, "--server", "http://127.0.0.1:9"]) == 2
    assert capsys.readouterr().err.startswith("hitchworth: ")
    assert main(["gap", document, "--server", "camper"]) == 2


def test_without_the_client_it_says_what_to_install(
    document: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setitem(sys.modules, "hitchworth_sdk", None)
    assert main(["gap", document, "--server", "http://127.0.0.1:9"]) == 2
    assert "hitchworth-sdk" in capsys.readouterr().err
