"""The README tells the truth: its commands exist, its lists are those of the code, its examples run."""

import argparse
import json
import re
import shlex
import subprocess
import tomllib
from decimal import Decimal
from pathlib import Path

import httpx2
import pytest

from hitchworth.cli import main
from hitchworth.cli.command import build_parser
from hitchworth.web.server import running
from jurisdiction_table import jurisdiction_table

ROOT = Path(__file__).parents[2]
README = (ROOT / "README.md").read_text("utf-8")
SHELL = re.findall(r"^```sh\n(.*?)^```", README, re.MULTILINE | re.DOTALL)
DEMO, TESTS, SERVE = (line.strip() for line in SHELL[:3])
CURLS = [block for block in SHELL if block.startswith("curl")]
CURL_IDS = ("estimate", "faults", "depth")
COMMANDS = [line for block in SHELL if block.startswith(".venv/bin/hitchworth c") for line in block.splitlines()]
TOP_LEVEL = {"README.md", "DEVELOPERS.md", "pyproject.toml", "requirements.lock", "api", "sdk", "openapi", "tests"}


def table_of(heading: str) -> list[str]:
    """The first cells of the table that follows a heading."""
    section = README.partition(f"## {heading}\n")[2].partition("\n## ")[0]
    return re.findall(r"^\| `([^`]+)` ", section, re.MULTILINE)


def test_ci_runs_the_test_line_word_for_word() -> None:
    script = (ROOT / ".ci" / "run").read_text("utf-8")
    assert script.rstrip().splitlines()[-1] == TESTS


@pytest.mark.parametrize("line", [DEMO, TESTS])
def test_line_stands_on_its_own(line: str) -> None:
    """It makes its own environment, calls nothing outside it, and installs this checkout with the pinned versions."""
    first, *rest = (shlex.split(part) for part in line.split("&&"))
    assert first == ["python3", "-m", "venv", ".venv"]
    assert all(part[0].startswith(".venv/bin/") for part in rest)
    install = rest[1]
    assert install[install.index("-c") + 1] == "requirements.lock"
    local = [argument for argument in install if argument.startswith("./")]
    assert {argument.partition("[")[0] for argument in local} == {"./api", "./sdk"}


def test_extras_groups_and_commands_of_the_lines_exist() -> None:
    api = tomllib.loads((ROOT / "api" / "pyproject.toml").read_text("utf-8"))
    root = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))
    assert '"./api[demo]"' in DEMO
    assert "demo" in api["project"]["optional-dependencies"]
    assert "--group dev" in TESTS
    assert "dev" in root["dependency-groups"]
    for line in (DEMO, SERVE):
        program, *arguments = shlex.split(line.rpartition("&&")[2])
        assert program == ".venv/bin/hitchworth"
        assert program.rpartition("/")[2] in api["project"]["scripts"]
        build_parser().parse_args(arguments)


def test_pins_are_names_and_versions_only() -> None:
    lines = (ROOT / "requirements.lock").read_text("utf-8").splitlines()
    pins = [line for line in lines if not line.startswith("#")]
    assert [pin for pin in pins if not re.fullmatch(r"[\w.-]+==[\w.!+]+", pin)] == []


def test_everything_that_is_asked_for_is_pinned() -> None:
    root, api, sdk = (tomllib.loads((ROOT / name / "pyproject.toml").read_text("utf-8")) for name in ("", "api", "sdk"))
    asked = root["dependency-groups"]["dev"] + api["project"]["dependencies"] + sdk["project"]["dependencies"]
    names = {re.split(r"[^\w.-]", requirement)[0].lower() for requirement in asked}
    pins = (ROOT / "requirements.lock").read_text("utf-8").lower().replace("_", "-")
    assert {name for name in names if f"\n{name}==" not in pins} == set()


def test_top_level_holds_what_the_house_has_and_no_more() -> None:
    listed = subprocess.run(["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=False)
    if listed.returncode:
        pytest.skip("not a checkout")
    found = {name.partition("/")[0] for name in listed.stdout.splitlines()}
    assert {name for name in found if not name.startswith(".")} <= TOP_LEVEL


def test_operations_are_those_of_the_api() -> None:
    described = json.loads((ROOT / "openapi" / "hitchworth.json").read_text("utf-8"))["paths"]
    of_the_code = {
        f"{method.upper()} {path}"
        for path, methods in described.items()
        for method in methods
        if path.startswith("/v1/")
    }
    assert set(table_of("The contract in short")) == of_the_code


def test_the_table_of_jurisdictions_is_that_of_the_library() -> None:
    assert f"\n{jurisdiction_table()}\n" in README, "print it anew: .venv/bin/python tests/jurisdiction_table.py"


def test_commands_are_those_of_the_command_line() -> None:
    action = next(
        a for a in build_parser()._actions if isinstance(a, argparse._SubParsersAction)
    )  # no public way to ask
    assert [shlex.split(command)[1] for command in table_of("On the command line")] == list(action.choices)


def test_links_lead_somewhere() -> None:
    for document in (
        ROOT / "README.md",
        ROOT / "DEVELOPERS.md",
        ROOT / "api" / "README.md",
        ROOT / "sdk" / "README.md",
    ):
        for target in re.findall(r"\]\(([^)#:]+)\)", document.read_text("utf-8")):
            assert (document.parent / target).exists(), f"{document.name}: {target}"


@pytest.mark.parametrize("document", ["README.md", "sdk/README.md"])
def test_python_examples_run(
    document: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    examples = re.findall(r"^```python\n(.*?)^```", (ROOT / document).read_text("utf-8"), re.MULTILINE | re.DOTALL)
    (tmp_path / "api").symlink_to(ROOT / "api")
    monkeypatch.chdir(tmp_path)
    with running() as address:
        monkeypatch.setenv("HITCHWORTH_URL", address)
        for example in examples:
            exec(compile(example.replace("http://127.0.0.1:8000", address), document, "exec"), {})
    assert re.search(r"\d\d\.\d\d", capsys.readouterr().out)


@pytest.mark.parametrize("line", COMMANDS, ids=lambda line: shlex.split(line)[1])
def test_command_example_runs(line: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    monkeypatch.chdir(ROOT)
    assert main(shlex.split(line)[1:]) == 0
    assert re.search(r"\d\d\.\d\d", capsys.readouterr().out)


@pytest.mark.parametrize(("curl", "status"), list(zip(CURLS, (200, 422, 200), strict=True)), ids=CURL_IDS)
def test_http_example_runs(curl: str, status: int) -> None:
    program, silent, url, header, content_type, data, body = shlex.split(curl)
    assert (program, silent, header, data) == ("curl", "-s", "-H", "-d")
    name, _, value = content_type.partition(": ")
    with running() as address:
        answer = httpx2.post(url.replace("http://127.0.0.1:8000", address), headers={name: value}, content=body)
    assert answer.status_code == status
    found = answer.json()
    if status == 200 and "workings" in body:
        (line,) = found["lines"]
        assert (line["schedule"], found["whole_trailer_value"]["schedule"]) == ("galley", "washington_travel_trailer")
        assert Decimal(line["replacement_cost"]) != 240
        assert line["workings"]
    elif status == 200:
        assert found["totals"]["replacement_cost"] == "268.00"
    else:
        assert {fault["pointer"] for fault in answer.json()["errors"]} == {
            "/build/currency",
            "/build/components/0/quantity",
            "/build/components/0/acquired_on",
            "/build/components/0/unit_cost",
        }
