"""What a terminal shows: nothing is cut at any width, and every encoding can show everything."""

import io
import json
import os
import re
import subprocess
import sys
from importlib.resources import files
from itertools import pairwise
from pathlib import Path
from time import sleep
from typing import Any

import msgspec
import pytest
from rich.console import Console

from hitchworth.cli import main, terminal
from hitchworth.demo import demo_body, demo_request
from hitchworth.localization.localizer import localizer_for
from hitchworth.model.estimate import Estimate
from hitchworth.model.settlement import Settlements

EXAMPLES = files("hitchworth.web") / "examples"
NUMBER = re.compile(r"\d[\d,.]*\d")
COMMANDS = ("check", "estimate", "classify", "settle", "gap", "curve", "opinion", "protect", "quote")
EXAMPLE_OF = {"curve": "value-curve", "opinion": "sales-comparison", "protect": "protection-check", "quote": "quote"}
ENCODINGS = ("ascii", "cp437", "cp850", "cp1252")


@pytest.fixture
def document(tmp_path: Path) -> str:
    file = tmp_path / "camper.json"
    file.write_bytes(demo_body())
    return str(file)


def file_of(command: str, document: str) -> str:
    return str(EXAMPLES / f"{EXAMPLE_OF[command]}.json") if command in EXAMPLE_OF else document


class Shown:
    """Runs commands in a terminal of a width."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
        self._monkeypatch = monkeypatch
        self._capsys = capsys

    def __call__(self, columns: int, *arguments: str) -> str:
        self._monkeypatch.setenv("COLUMNS", str(columns))
        assert main(arguments) == 0
        return self._capsys.readouterr().out


@pytest.fixture
def shown(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Shown:
    return Shown(monkeypatch, capsys)


@pytest.mark.parametrize("locale", ["en-US", "de-DE"])
@pytest.mark.parametrize("command", COMMANDS)
def test_every_number_is_there_whole_at_every_width(command: str, locale: str, document: str, shown: Shown) -> None:
    """What is shown at 200 columns is shown at 40 and at 80, and no line is too long or cut."""
    wide = shown(200, command, file_of(command, document), "--locale", locale)
    for columns in (40, 80):
        narrow = shown(columns, command, file_of(command, document), "--locale", locale)
        assert max(map(len, narrow.splitlines())) <= columns
        assert "…" not in narrow
        assert set(NUMBER.findall(wide)) == set(NUMBER.findall(narrow))


@pytest.mark.parametrize("columns", [40, 80, 200])
def test_every_amount_of_an_estimate_stands_beside_its_name(columns: int, document: str, shown: Shown) -> None:
    estimate = msgspec.json.decode(shown(80, "estimate", document, "--format", "json"), type=Estimate)
    printed = " ".join(re.sub(r"[─]", "", shown(columns, "estimate", document)).split())
    localizer = localizer_for("en-US", estimate.currency)
    for line in estimate.lines:
        for amount in (line.replacement_cost, line.actual_cash_value):
            assert localizer.money(amount) in printed
        if columns != 80:  # where names are folded between amounts of the same row, they are not in one piece
            assert line.description in printed
    totals = estimate.totals
    for amount in (totals.direct_cost, totals.replacement_cost, totals.depreciation, totals.actual_cash_value):
        assert localizer.money(amount) in printed


@pytest.mark.parametrize("columns", [40, 80, 200])
def test_every_step_of_a_settlement_is_shown(columns: int, document: str, shown: Shown) -> None:
    settled = msgspec.json.decode(shown(80, "settle", document, "--format", "json"), type=Settlements)
    printed = shown(columns, "settle", document)
    localizer = localizer_for("en-US", "USD")
    for settlement in settled.settlements:
        assert settlement.policy in printed
        for step in settlement.steps:
            assert localizer.money(step.amount) in printed
            assert localizer.money(step.running) in printed


def test_a_narrow_table_is_a_list_of_its_rows(tmp_path: Path, shown: Shown) -> None:
    """Worked by hand: 12.50 for the stove, new on the day, so 100 % good."""
    file = tmp_path / "camper.yaml"
    stove = "{id: a, description: Stove, category: stove, quantity: 1, unit_cost: 12.50, acquired_on: 2026-01-01}"
    file.write_text(f"name: Camper\ncurrency: USD\ncomponents: [{stove}]\n")
    lines = [line.rstrip() for line in shown(40, "estimate", str(file), "--as-of", "2026-01-01").splitlines()]
    start = lines.index("Inventory")
    assert [line.rstrip() for line in lines[start : start + 6]] == [
        "Inventory",
        "Stove",
        "  Replacement cost new $12.50",
        "  Age, years              0.0",
        "  Percent good           100%",
        "  Actual cash value    $12.50",
    ]


def test_brackets_and_colons_in_a_name_are_not_markup(tmp_path: Path, shown: Shown) -> None:
    part = msgspec.structs.replace(demo_request().build.components[0], description="Bolt [m8] :car: [/] [red]")
    build = msgspec.structs.replace(demo_request().build, components=(part,), labor=())
    file = tmp_path / "build.json"
    file.write_bytes(msgspec.json.encode(build))
    for columns in (40, 200):
        assert "Bolt [m8] :car: [/] [red]" in shown(columns, "estimate", str(file), "--as-of", "2026-11-01")


def test_a_number_that_begins_a_row_has_its_heading(tmp_path: Path, shown: Shown) -> None:
    receipts = tmp_path / "x.csv"
    receipts.write_text("Date,Item,Total\n2026-02-14,Stove,300.00\n")
    printed = shown(40, "import", str(receipts), "--into", str(tmp_path / "m.json"), "--dry-run")
    assert "\nRow 2\n" in "\n".join(line.rstrip() for line in printed.splitlines())


def test_the_parts_of_a_result_have_an_empty_line_between_them(document: str, shown: Shown) -> None:
    for command in ("estimate", "settle", "classify", "attention", "check"):
        lines = [line.rstrip() for line in shown(80, command, document).splitlines()]
        pairs = list(pairwise(lines))
        assert ("", "") not in pairs, command
        for title in ("From parts and labor to replacement cost", "What each policy would pay for each loss"):
            assert all(above == "" for above, below in pairs if below == title)


def test_what_needs_attention_names_policy_and_loss(document: str, shown: Shown) -> None:
    rows = [" ".join(line.split()) for line in shown(100, "attention", document).splitlines()]
    assert any(row.startswith("Gap agreed value hail") for row in rows)


def run(encoding: str, *arguments: str, **variables: str) -> "subprocess.CompletedProcess[bytes]":
    """The command in a process of its own, whose streams have an encoding."""
    code = "import sys; from hitchworth.cli import main; sys.exit(main(sys.argv[1:]))"
    environment = os.environ | {"PYTHONIOENCODING": encoding} | variables
    return subprocess.run([sys.executable, "-c", code, *arguments], capture_output=True, env=environment, check=False)


@pytest.mark.parametrize("encoding", ENCODINGS)
def test_every_encoding_shows_a_gap_statement(encoding: str, document: str, shown: Shown) -> None:
    done = run(encoding, "gap", document, "--locale", "de-DE", COLUMNS="40")
    assert (done.returncode, done.stderr) == (0, b"")
    printed = done.stdout.decode(encoding)
    whole = shown(40, "gap", document, "--locale", "de-DE")
    assert NUMBER.findall(printed) == NUMBER.findall(whole)
    assert ("Gerät" if encoding != "ascii" else "Gerat") in printed
    assert printed.count("?") == whole.count("?")


@pytest.mark.parametrize("encoding", ENCODINGS)
def test_every_encoding_shows_help_faults_and_lists(encoding: str, tmp_path: Path) -> None:
    assert run(encoding, "--help").returncode == 0
    file = tmp_path / "faulty.yaml"
    file.write_text('name: Wohnkiste\ncurrency: "Euro €uro"\n', "utf-8")
    done = run(encoding, "estimate", str(file))
    assert (done.returncode, done.stdout) == (1, b"")
    assert b"line 2: /currency" in done.stderr
    assert run(encoding, "definitions", "--jurisdiction", "DE").returncode == 0


@pytest.mark.parametrize("encoding", [*ENCODINGS, "utf-8"])
def test_json_loses_no_character_in_any_encoding(encoding: str, tmp_path: Path) -> None:
    name = "Größe „M“ – 𝄞 €"
    file = tmp_path / "build.json"
    build = msgspec.structs.replace(
        demo_request().build,
        components=(msgspec.structs.replace(demo_request().build.components[0], description=name),),
        labor=(),
    )
    file.write_bytes(msgspec.json.encode(build))
    done = run(encoding, "estimate", str(file), "--format", "json", "--as-of", "2026-11-01")
    assert done.returncode == 0
    assert json.loads(done.stdout.decode(encoding))["lines"][0]["description"] == name
    table = run(encoding, "estimate", str(file), "--format", "csv", "--as-of", "2026-11-01")
    assert name in table.stdout.decode()  # always UTF-8


def test_lines_are_drawn_with_what_the_encoding_has(document: str) -> None:
    assert "───" in run("utf-8", "gap", document).stdout.decode()
    ascii_ = run("ascii", "gap", document).stdout.decode("ascii")
    assert "-----" in ascii_
    assert "|" not in ascii_


def test_stand_ins_do_not_shift_the_columns(tmp_path: Path) -> None:
    """A pound sign becomes three letters: the amounts stay below each other, and no line is wider than the terminal."""
    request = demo_request()
    build = msgspec.structs.replace(request.build, currency="GBP", components=request.build.components[:4], labor=())
    file = tmp_path / "build.json"
    file.write_bytes(msgspec.json.encode(build))
    arguments = ("estimate", str(file), "--as-of", "2026-11-01", "--locale", "en-GB")
    lines = run("ascii", *arguments, COLUMNS="100").stdout.decode("ascii").splitlines()
    rows = [line for line in lines if "GBP" in line]
    assert len(rows) >= 4
    assert len({len(line) for line in rows[:4]}) == 1
    assert max(map(len, lines)) <= 100


def test_color_is_left_out_where_nobody_wants_it(document: str) -> None:
    forced = {"FORCE_COLOR": "1", "TERM": "xterm-256color"}
    colors = re.compile(rb"\x1b\[[\d;]*3[0-7]m")
    assert not colors.search(run("utf-8", "gap", document, NO_COLOR="1", **forced).stdout)
    assert b"\x1b" not in run("utf-8", "gap", document).stdout


class Screen(io.StringIO):
    """A terminal that remembers what it showed."""

    def isatty(self) -> bool:
        return True


@pytest.fixture
def screen(monkeypatch: pytest.MonkeyPatch) -> Screen:
    found = Screen()

    def console(**options: Any) -> Console:
        return Console(**{**options, "stderr": False}, file=found, force_terminal=True)

    monkeypatch.setattr(terminal, "Console", console)
    monkeypatch.setattr(terminal, "_PATIENCE", 0.05)
    return found


def test_who_waits_is_told_what_is_being_done(screen: Screen) -> None:
    with terminal.waiting("gap: camper.yaml"):
        sleep(0.4)
    assert "gap: camper.yaml" in screen.getvalue()


def test_nobody_is_told_of_what_is_done_at_once_or_asked_to_be_quiet(screen: Screen) -> None:
    with terminal.waiting("gap: camper.yaml"):
        pass
    with terminal.waiting("gap: camper.yaml", quiet=True):
        sleep(0.2)
    assert "camper" not in screen.getvalue()


def test_what_is_being_done_is_told_on_a_terminal_only(capsys: pytest.CaptureFixture[str]) -> None:
    with terminal.waiting("gap: camper.yaml"):
        sleep(1.2)
    assert capsys.readouterr().err == ""
