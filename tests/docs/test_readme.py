"""The README is right: its commands exist, its lists are those of the code, its examples run."""

import argparse
import json
import re
import shlex
import tomllib
from pathlib import Path

import pytest

from curl_commands import sent
from documents import GUIDE, ROOT, blocks, only, shell_commands, text_of
from hitchworth.cli import main
from hitchworth.cli.parser import build_parser
from hitchworth.store import open_store
from hitchworth.store.database import IN_MEMORY
from hitchworth.web.server import running

README = text_of("README.md")
COMMANDS = shell_commands(README)
DEMO, TESTS = only(COMMANDS, "hitchworth demo"), only(COMMANDS, "pytest")
HITCHWORTH = [line.rpartition("&& ")[2] for line in COMMANDS if ".venv/bin/hitchworth" in line]
DOCUMENT_PATH = [line for line in HITCHWORTH if "camper.json" in line]
CURL = next(line for line in COMMANDS if line.startswith("curl"))
LARGEST = 8_000
"""Bytes: what a newcomer reads in three minutes. The rest is in the guide."""


def subparsers() -> dict[str, argparse.ArgumentParser]:
    """The parser of each command. There is no public way to ask for them."""
    (action,) = (one for one in build_parser(whole=True)._actions if isinstance(one, argparse._SubParsersAction))
    return dict(action.choices)


def refusal(arguments: list[str]) -> str | int | None:
    """The exit code with which the parser ends the program: not 0 for wrong arguments, 0 after --version or --help."""
    try:
        build_parser().parse_args(arguments)
    except SystemExit as end:
        return end.code
    return None


def test_ci_runs_the_test_line_word_for_word() -> None:
    assert text_of(".ci/run").rstrip().splitlines()[-1] == TESTS


@pytest.mark.parametrize("line", [DEMO, TESTS], ids=["demo", "tests"])
def test_a_line_makes_its_own_environment_from_this_checkout_and_the_pins(line: str) -> None:
    first, *rest = (shlex.split(part) for part in line.split("&&"))
    assert first == ["python3", "-m", "venv", ".venv"]
    assert all(part[0].startswith(".venv/bin/") for part in rest)
    install = rest[1]
    assert install[install.index("-c") + 1] == "requirements.lock"
    local = [argument for argument in install if argument.startswith("./")]
    assert {argument.partition("[")[0] for argument in local} == {"./api", "./sdk"}


def test_the_extras_and_groups_of_the_lines_exist() -> None:
    extras = tomllib.loads(text_of("api/pyproject.toml"))["project"]["optional-dependencies"]
    groups = tomllib.loads(text_of("pyproject.toml"))["dependency-groups"]
    assert re.findall(r"\./api\[(\w+)\]", DEMO) == ["demo"]
    assert "demo" in extras
    assert re.findall(r"--group (\w+)", TESTS) == ["dev"]
    assert "dev" in groups


@pytest.mark.parametrize("line", HITCHWORTH)
def test_a_command_is_understood(line: str) -> None:
    program, *arguments = shlex.split(line)
    scripts = tomllib.loads(text_of("api/pyproject.toml"))["project"]["scripts"]
    assert Path(program).name in scripts
    assert refusal(arguments) in (None, 0)


def test_the_table_of_commands_is_that_of_the_command_line() -> None:
    listed = re.findall(r"^\| `hitchworth ([\w-]+)([^`]*)`", text_of(f"{GUIDE}/command-line.md"), re.MULTILINE)
    assert [name for name, _ in listed] == list(subparsers())  # in the order of the help
    for name, synopsis in listed:
        known = {option for action in subparsers()[name]._actions for option in action.option_strings}
        assert set(re.findall(r"(?<!\S)\[?(--?\w+)", synopsis)) <= known, name


def test_the_table_of_operations_is_that_of_the_api() -> None:
    paths = json.loads(text_of("openapi/hitchworth.json"))["paths"]
    of_the_code = {
        f"{method.upper()} {path}" for path, methods in paths.items() for method in methods if path.startswith("/v1/")
    }
    chapters = ("api", "evidence", "kept-builds", "quotes", "running", "webhooks")
    all_of_them = "".join(text_of(f"{GUIDE}/{name}.md") for name in chapters)
    listed = re.findall(r"^\| `([A-Z]+ /\S+)` ", all_of_them, re.MULTILINE)
    assert set(listed) == of_the_code
    assert len(listed) == len(of_the_code)


@pytest.mark.parametrize("document", ["README.md", "sdk/README.md"])
def test_python_examples_run(
    document: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "api").symlink_to(ROOT / "api")
    monkeypatch.chdir(tmp_path)
    examples = blocks(text_of(document), "python")
    assert examples
    with running(store=open_store(IN_MEMORY)) as address:
        monkeypatch.setenv("HITCHWORTH_URL", address)
        for example in examples:
            exec(compile(example.replace("http://127.0.0.1:8000", address), document, "exec"), {})
    assert re.search(r"\d\d\.\d\d", capsys.readouterr().out)


def test_the_way_from_receipts_to_a_sheet_runs_as_it_is_written(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "api").symlink_to(ROOT / "api")
    monkeypatch.chdir(tmp_path)
    assert [main(shlex.split(line)[1:]) for line in DOCUMENT_PATH] == [0, 0]
    assert (tmp_path / "sheet.pdf").read_bytes().startswith(b"%PDF-")
    assert re.search(r"\d\d\.\d\d", capsys.readouterr().out)


def test_the_http_example_is_answered_with_figures() -> None:
    with running() as address:
        answer = sent(CURL, address, ROOT)
    assert answer.status_code == 200, answer.text
    assert re.search(r"\d\d\.\d\d", answer.text)


def test_it_is_read_in_three_minutes_and_shows_the_sheet() -> None:
    assert len(README.encode()) < LARGEST
    pictures = re.findall(r"!\[.+\]\((\S+)\)", README)
    assert pictures == [f"{GUIDE}/pictures/sheet.webp"]
    assert (ROOT / pictures[0]).is_file()
