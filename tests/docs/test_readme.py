"""The README is right: its commands exist, its lists are those of the code, its examples run."""

import argparse
import json
import re
import shlex
import tomllib
from decimal import Decimal
from pathlib import Path

import httpx2
import msgspec
import pytest

from documents import ROOT, blocks, only, shell_commands, text_of
from hitchworth.cli import main
from hitchworth.cli.parser import build_parser
from hitchworth.model.policy import Policy
from hitchworth.store import open_store
from hitchworth.store.database import IN_MEMORY
from hitchworth.web.server import running

README = text_of("README.md")
COMMANDS = shell_commands(README)
DEMO, TESTS = only(COMMANDS, "hitchworth demo"), only(COMMANDS, "pytest")
HITCHWORTH = [line.rpartition("&& ")[2] for line in COMMANDS if ".venv/bin/hitchworth" in line]
DOCUMENT_PATH = [line for line in HITCHWORTH if "camper.json" in line and " builds " not in line]
WITH_FILE = [line for line in HITCHWORTH if ".json" in line and " builds " not in line and line not in DOCUMENT_PATH]
CURLS = [line for line in COMMANDS if line.startswith("curl")]
NUMBERS = ("no", "one", "two", "three", "four", "five", "six")


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
    listed = re.findall(r"^\| `hitchworth ([\w-]+)([^`]*)`", text_of("api/docs/command-line.md"), re.MULTILINE)
    assert [name for name, _ in listed] == list(subparsers())  # in the order of the help
    for name, synopsis in listed:
        known = {option for action in subparsers()[name]._actions for option in action.option_strings}
        assert set(re.findall(r"(?<!\S)\[?(--?\w+)", synopsis)) <= known, name


def test_the_table_of_operations_is_that_of_the_api() -> None:
    paths = json.loads(text_of("openapi/hitchworth.json"))["paths"]
    of_the_code = {
        f"{method.upper()} {path}" for path, methods in paths.items() for method in methods if path.startswith("/v1/")
    }
    others = ("evidence", "kept-builds", "quotes", "running", "webhooks")
    all_of_them = README + "".join(text_of(f"api/docs/{name}.md") for name in others)
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


@pytest.mark.parametrize("line", WITH_FILE)
def test_a_command_with_a_file_prints_figures(
    line: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "api").symlink_to(ROOT / "api")
    monkeypatch.chdir(tmp_path)
    assert main(shlex.split(line)[1:]) == 0
    assert re.search(r"\d\d\.\d\d", capsys.readouterr().out)


def test_the_way_from_receipts_to_a_sheet_runs_as_it_is_written(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "api").symlink_to(ROOT / "api")
    monkeypatch.chdir(tmp_path)
    assert [main(shlex.split(line)[1:]) for line in DOCUMENT_PATH] == [0, 0]
    assert (tmp_path / "sheet.pdf").read_bytes().startswith(b"%PDF-")
    assert re.search(r"\d\d\.\d\d", capsys.readouterr().out)


@pytest.mark.parametrize("curl", CURLS, ids=lambda curl: shlex.split(curl)[2].rpartition("/")[2])
def test_an_http_example_is_answered_as_the_text_around_it_promises(curl: str) -> None:
    """With figures; or, where the paragraph before it speaks of problems, with as many faults as the one after it."""
    answer = sent(curl)
    before, _, after = README.partition(curl)
    if "application/problem+json" in before.rstrip().removesuffix("```sh").rstrip().rpartition("\n\n")[2]:
        assert (answer.status_code, answer.headers["Content-Type"]) == (422, "application/problem+json")
        promised = re.search(r"(\w+) faults", after)
        assert promised is not None
        assert promised[1] == NUMBERS[len(answer.json()["errors"])]
    else:
        assert answer.status_code == 200, answer.text
        assert re.search(r"\d\d,\d\d" if "decimal=comma" in curl else r"\d\d\.\d\d", answer.text)


def test_there_are_examples_of_every_kind() -> None:
    assert len(CURLS) > 1
    assert WITH_FILE
    assert any("serve" in line for line in HITCHWORTH)


def sent(curl: str) -> httpx2.Response:
    """The answer of a server of ours to a command of curl, of which only these options are understood."""
    parser = argparse.ArgumentParser(exit_on_error=False)
    parser.add_argument("-s", action="store_true")
    parser.add_argument("-H", action="append", default=[], dest="headers")
    parser.add_argument("-d", "--data-binary", dest="body")
    parser.add_argument("url")
    command = parser.parse_args(shlex.split(curl)[1:])
    headers = [tuple(header.split(": ", 1)) for header in command.headers]
    with running() as address:
        url = command.url.replace("http://127.0.0.1:8000", address)
        from_file = (command.body or "").startswith("@")
        content = (ROOT / command.body[1:]).read_bytes() if from_file else command.body
        return httpx2.request("POST" if command.body else "GET", url, headers=headers, content=content)


def test_the_offer_is_a_policy() -> None:
    policy = msgspec.json.decode(next(block for block in blocks(README, "json") if '"facts"' not in block), type=Policy)
    assert (policy.basis, policy.deductible, policy.without) == ("actual_cash_value", Decimal(500), ("limit",))


def test_the_registration_the_policies_and_the_facts_can_be_added_to_imported_receipts(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    camper, sheet = tmp_path / "camper.json", tmp_path / "sheet.md"
    table = ROOT / "api/hitchworth/web/examples/receipts.csv"
    assert main(["import", str(table), "--into", str(camper)]) == 0
    document = json.loads(camper.read_bytes())
    added = json.loads(next(block for block in blocks(README, "json") if '"facts"' in block))
    document["build"] |= added.pop("build")
    camper.write_text(json.dumps(document | added))
    assert main(["sheet", str(camper), "-o", str(sheet)]) == 0
    assert "Trailer policy" in sheet.read_text()
    assert main(["gap", str(camper), "--format", "json"]) == 0
    assert capsys.readouterr().out


def test_the_names_that_the_readme_sends_to_are_there() -> None:
    for name in re.findall(r"\]\((api/hitchworth/reference/data/[a-z_]+\.yaml|openapi/[a-z]+\.json)\)", README):
        assert (ROOT / name).is_file()
    assert "name: overall_length_m" in text_of("api/hitchworth/reference/data/facts.yaml")
