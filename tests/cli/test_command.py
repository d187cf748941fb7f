"""The command line: what it takes, what it prints, how it ends."""

import csv
import io
import json
import socket
from importlib.resources import files
from pathlib import Path
from types import SimpleNamespace

import msgspec
import pytest

from hitchworth.cli import main
from hitchworth.demo import demo_body, demo_request
from hitchworth.model.estimate import Estimate
from hitchworth.model.sales_comparison import SalesComparison
from hitchworth.model.settlement import Settlements

PART = demo_request().build.components[0]
BUILD = msgspec.json.encode(demo_request().build)


@pytest.fixture
def request_file(tmp_path: Path) -> str:
    file = tmp_path / "request.json"
    file.write_bytes(demo_body())
    return str(file)


@pytest.mark.parametrize("command", ["estimate", "classify", "settle", "gap"])
@pytest.mark.parametrize("form", ["table", "json", "csv"])
def test_one_file_serves_every_command(
    command: str, form: str, request_file: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main([command, request_file, "--format", form]) == 0
    shown = capsys.readouterr().out
    if form == "json":
        assert json.loads(shown)
    elif form == "csv":
        assert len({len(row) for row in csv.reader(io.StringIO(shown))}) == 1
    else:
        assert max(map(len, shown.splitlines())) <= 80


EXAMPLES = {"curve": "value-curve", "compare": "estimate-comparison", "sales": "sales-comparison"}


@pytest.mark.parametrize("command", EXAMPLES)
@pytest.mark.parametrize("form", ["table", "json", "csv"])
@pytest.mark.parametrize("locale", ["en-US", "de-DE"])
def test_what_is_valued_in_depth_is_shown_in_every_form(
    command: str, form: str, locale: str, capsys: pytest.CaptureFixture[str]
) -> None:
    file = files("hitchworth.web") / "examples" / f"{EXAMPLES[command]}.json"
    assert main([command, str(file), "--format", form, "--locale", locale]) == 0
    shown = capsys.readouterr().out
    if form == "json":
        assert json.loads(shown)["statement"]
    elif form == "csv":
        rows = list(csv.reader(io.StringIO(shown)))
        assert len(rows) > 2
        assert len({len(row) for row in rows}) == 1
    else:
        assert max(map(len, shown.splitlines())) <= 80
        assert ("Versicherter" in shown) is (command == "curve" and locale == "de-DE")


def test_an_opinion_is_shown_with_its_figures_and_notes(capsys: pytest.CaptureFixture[str]) -> None:
    file = str(files("hitchworth.web") / "examples" / "sales-comparison.json")
    assert main(["sales", file, "--format", "json"]) == 0
    found = msgspec.json.decode(capsys.readouterr().out, type=SalesComparison)
    assert main(["sales", file]) == 0
    shown = capsys.readouterr().out
    texts = {found.statement, found.caution, *(note.text for note in found.notes)}
    assert in_one_line(shown, texts) == texts
    assert all(f"{sale.indicated_value:,}" in shown for sale in found.sales_comparison.comparables)


def test_what_has_its_dates_in_itself_takes_none(request_file: str, capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as ended:
        main(["curve", request_file, "--as-of", "2026-11-01"])
    assert ended.value.code == 2
    capsys.readouterr()
    assert main(["curve", request_file]) == 1
    assert capsys.readouterr().err.startswith("/dates:")


def test_date_of_the_command_line_goes_over_that_of_the_input(
    request_file: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["estimate", request_file, "--as-of", "2025-12-31", "--format", "json"]) == 0
    found = msgspec.json.decode(capsys.readouterr().out, type=Estimate)
    assert str(found.as_of) == "2025-12-31"


def test_bare_build_on_standard_input(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    monkeypatch.setattr("sys.stdin", SimpleNamespace(buffer=io.BytesIO(BUILD)))
    assert main(["estimate", "-", "--as-of", "2026-11-01", "--format", "json"]) == 0
    found = msgspec.json.decode(capsys.readouterr().out, type=Estimate)
    assert found.currency == "USD"


def test_a_build_without_components_is_classed(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "build.json"
    file.write_text('{"name": "Camper", "currency": "USD", "jurisdiction": "US-NY", "facts": {"sleeping_berths": 2}}')
    assert main(["classify", str(file), "--locale", "de-DE", "--format", "json"]) == 0
    assert json.loads(capsys.readouterr().out)["jurisdiction"] == "US-NY"


@pytest.mark.parametrize(("day", "chosen"), [("2999-01-01", []), ("2020-01-01", ["--as-of", "2999-01-01"])])
def test_a_class_is_not_judged_by_the_law_of_a_day_to_come(
    day: str, chosen: list[str], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "request.json"
    file.write_text(json.dumps({"jurisdiction": "US-WA", "as_of": day}))
    assert main(["classify", str(file), *chosen]) == 1
    assert capsys.readouterr().err.startswith("/as_of: Date is in the future")


def test_csv_holds_no_formula(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    build = msgspec.structs.replace(
        demo_request().build, components=(msgspec.structs.replace(PART, description="=1+1"),), labor=()
    )
    file = tmp_path / "build.json"
    file.write_bytes(msgspec.json.encode(build))
    assert main(["estimate", str(file), "--as-of", "2026-11-01", "--format", "csv"]) == 0
    (row,) = csv.DictReader(io.StringIO(capsys.readouterr().out))
    assert row["description"] == "'=1+1"


def test_locale_speaks_in_the_tables(request_file: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["gap", request_file, "--locale", "de-DE"]) == 0
    assert "Neuwert" in capsys.readouterr().out


def test_every_fault_of_the_input_is_told_with_its_place(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    body = json.loads(demo_body())
    body["build"]["currency"] = "dollars"
    body["build"]["components"][1]["quantity"] = -1
    file = tmp_path / "faulty.json"
    file.write_text(json.dumps(body), "utf-8")
    assert main(["estimate", str(file)]) == 1
    told = capsys.readouterr()
    assert told.out == ""
    assert [line.partition(":")[0] for line in told.err.splitlines()] == [
        "/build/currency",
        "/build/components/1/quantity",
    ]


@pytest.mark.parametrize("text", ["", "{", "[]", "null", "\x00", '{"build": 1}', '{"bild": {}}'])
def test_what_is_no_request_is_a_fault_of_the_input(
    text: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "no-request.json"
    file.write_text(text, "utf-8")
    assert main(["gap", str(file)]) == 1
    assert capsys.readouterr().err


def test_byte_order_mark_is_passed_over(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "build.json"
    file.write_bytes(b"\xef\xbb\xbf" + BUILD)
    assert main(["estimate", str(file), "--as-of", "2026-11-01"]) == 0
    assert capsys.readouterr().out


def test_locale_that_is_not_spoken_is_told(request_file: str, capsys: pytest.CaptureFixture[str]) -> None:
    for tag, told in (("it-IT", "no texts in it-IT; these are in en-US"), ("de-AT", "")):
        assert main(["estimate", request_file, "--locale", tag]) == 0
        said = capsys.readouterr().err
        assert told in said
        assert bool(said) == bool(told)


def test_settle_shows_what_was_assumed(request_file: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["settle", request_file, "--format", "json"]) == 0
    found = msgspec.json.decode(capsys.readouterr().out, type=Settlements).settlements
    notes = {note.text for row in found for note in (*row.assumed, *row.notes)}
    assert notes
    assert main(["settle", request_file]) == 0
    assert notes <= in_one_line(capsys.readouterr().out, notes)


def test_estimate_shows_every_note(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    odd = msgspec.structs.replace(PART, category="of_no_such_name")
    file = tmp_path / "build.json"
    file.write_bytes(msgspec.json.encode(msgspec.structs.replace(demo_request().build, components=(odd,), labor=())))
    chosen = ["estimate", str(file), "--as-of", "2026-11-01"]
    assert main([*chosen, "--format", "json"]) == 0
    notes = msgspec.json.decode(capsys.readouterr().out, type=Estimate).notes
    assert any(note.about for note in notes)
    assert main(chosen) == 0
    texts = {note.text for note in notes}
    assert texts <= in_one_line(capsys.readouterr().out, texts)


def in_one_line(shown: str, texts: set[str]) -> set[str]:
    """Those of the texts that are shown, however their lines are broken."""
    return {text for text in texts if " ".join(text.split()) in " ".join(shown.split())}


def test_file_that_is_not_there_is_wrong_use(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["estimate", str(tmp_path / "nowhere.json")]) == 2
    assert "nowhere.json: No such file" in capsys.readouterr().err


def test_port_that_is_taken_is_wrong_use(capsys: pytest.CaptureFixture[str]) -> None:
    with socket.create_server(("127.0.0.1", 0)) as taken:
        assert main(["serve", "--port", str(taken.getsockname()[1])]) == 2
    (line,) = capsys.readouterr().err.splitlines()
    assert "in use" in line
    assert "[Errno" not in line


@pytest.mark.parametrize(
    "arguments",
    [
        [],
        ["appraise"],
        ["estimate"],
        ["estimate", "x", "--as-of", "soon"],
        ["serve", "--port", "door"],
        ["serve", "--port", "65536"],
        ["gap", "x", "--locale", "klingon"],
    ],
)
def test_wrong_use_ends_with_2(arguments: list[str]) -> None:
    with pytest.raises(SystemExit) as ended:
        main(arguments)
    assert ended.value.code == 2


def test_sheet_is_written_in_the_form_of_its_name(
    request_file: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    starts = {"sheet.html": b"<!DOCTYPE html>", "sheet.pdf": b"%PDF-", "sheet.md": b"# ", "sheet.docx": b"PK"}
    for name, start in starts.items():
        assert main(["sheet", request_file, "-o", str(tmp_path / name)]) == 0
        assert (tmp_path / name).read_bytes()[: len(start)].lower() == start.lower()
    assert main(["sheet", request_file, "-o", str(tmp_path / "sheet.txt")]) == 2
    assert ".html" in capsys.readouterr().err


def test_version(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as ended:
        main(["--version"])
    assert ended.value.code == 0
    assert capsys.readouterr().out.startswith("hitchworth ")
