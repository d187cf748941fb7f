"""`hitchworth batch`: a line of JSON for each document of a file or a folder, the same as over HTTP."""

import io
import json
import sys
from pathlib import Path
from typing import Any

import pytest

from hitchworth.cli import main
from hitchworth.demo import demo_body
from hitchworth.operations.renderings import AS_WORKBOOK
from hitchworth.operations.workbooks import get_workbook_template
from hitchworth.web.server import running
from web_server import JSON, client, example


@pytest.fixture
def lines(tmp_path: Path) -> Path:
    file = tmp_path / "lines.ndjson"
    one = json.loads(example("estimate")) | {"id": 7}
    file.write_bytes(json.dumps(one).encode() + b"\n\nno JSON\n" + json.dumps(one["build"]).encode())
    return file


def run(*arguments: object) -> int:
    return main(["batch", *map(str, arguments)])


def read(text: str) -> list[Any]:
    return [json.loads(line) for line in text.splitlines()]


def test_the_answers_are_those_of_the_api(lines: Path, capsysbinary: pytest.CaptureFixture[bytes]) -> None:
    assert run(lines) == 1
    printed = capsysbinary.readouterr()
    with client() as api:
        answered = api.post("/v1/estimates/batch", content=lines.read_bytes()).content
        single = api.post("/v1/estimates", content=example("estimate"), headers=JSON).content
    assert printed.out.splitlines()[0] == b'{"line":1,"id":7,"estimate":%s}' % single
    found, over_http = read(printed.out.decode()), read(answered.decode())
    assert [each["line"] for each in found] == [1, 3, 4]
    assert found[1]["problem"] | {"instance": ""} == over_http[1]["problem"] | {"instance": ""}
    assert printed.err == b"1 of 3 have a problem; their answers say which\n"  # no bar where there is no terminal


def test_into_a_file_that_is_not_written_over_unasked(
    lines: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    output = tmp_path / "out.ndjson"
    assert run(lines, "-o", output) == 1
    assert len(read(output.read_text())) == 3
    output.write_text("mine")
    assert run(lines, "-o", output) == 2
    assert output.read_text() == "mine"
    assert "--force" in capsys.readouterr().err
    assert run(lines, "-o", output, "--force") == 1
    assert len(read(output.read_text())) == 3
    assert {file.name for file in tmp_path.iterdir()} == {"lines.ndjson", "out.ndjson"}


def test_a_date_and_a_locale_for_all_lines(lines: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(lines, "--as-of", "2027-01-01", "--locale", "de-DE") == 1
    estimates = [each["estimate"] for each in read(capsys.readouterr().out) if "estimate" in each]
    assert [(each["as_of"], each["locale"]) for each in estimates] == [("2027-01-01", "de-DE")] * 2


def test_a_folder_in_the_order_of_its_names(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "b.json").write_bytes(demo_body())
    (tmp_path / "a.json").write_bytes(json.dumps(json.loads(demo_body())["build"], indent=2).encode())
    (tmp_path / "c.json").write_bytes(b"[")
    (tmp_path / "d.xlsx").write_bytes(AS_WORKBOOK[0].render(get_workbook_template(demo=True)))
    (tmp_path / "e.xlsx").write_bytes(b"PK no workbook")
    (tmp_path / "notes.txt").write_text("not read")
    assert run(tmp_path, "--result", "gap", "--as-of", "2026-11-01") == 1
    found = read(capsys.readouterr().out)
    assert [(each["line"], each["id"]) for each in found] == [
        *((1, "a.json"), (2, "b.json"), (3, "c.json"), (4, "d.xlsx"), (5, "e.xlsx")),
    ]
    assert ["problem" in each for each in found] == [False, False, True, False, True]
    assert found[1]["gap_statement"]["settlements"]
    totals = [each["gap_statement"]["estimate"]["totals"] for each in found if "gap_statement" in each]
    assert totals[0] == totals[1] == totals[2]
    assert "e.xlsx" in found[4]["problem"]["detail"]


@pytest.mark.parametrize(("content", "code"), [(b"", 1), (b"\n \n", 1)])
def test_nothing_to_answer_writes_nothing(content: bytes, code: int, tmp_path: Path) -> None:
    (tmp_path / "empty.ndjson").write_bytes(content)
    assert run(tmp_path / "empty.ndjson", "-o", tmp_path / "out") == code
    assert not (tmp_path / "out").exists()


def test_what_cannot_be_read_or_written(tmp_path: Path, lines: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(tmp_path / "nowhere.ndjson") == 2
    assert run(lines, "-o", tmp_path / "no" / "folder") == 2
    assert capsys.readouterr().err.count("No such file or directory") == 2


def test_a_bar_on_a_terminal(
    lines: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    shown = io.StringIO()
    monkeypatch.setattr(shown, "isatty", lambda: True, raising=False)
    monkeypatch.setattr(sys, "stderr", shown)
    monkeypatch.setenv("TERM", "xterm")
    assert run(lines, "-o", tmp_path / "out") == 1
    assert "lines.ndjson" in shown.getvalue()
    assert "100%" in shown.getvalue()
    assert capsys.readouterr().out == ""


def test_a_server_answers_the_same_in_the_same_order(
    tmp_path: Path, lines: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """With what is not sent in between: a line that is too long, a workbook that cannot be read."""
    monkeypatch.setattr("hitchworth.cli.batch.MAX_BYTES", 60_000)
    long = b'{"build":"' + b"x" * 60_000 + b'"}\n'
    lines.write_bytes(long + lines.read_bytes() + b"\n" + long)
    folder = tmp_path / "folder"
    folder.mkdir()
    (folder / "a.xlsx").write_bytes(b"PK no workbook")
    (folder / "b.json").write_bytes(demo_body())
    (folder / "c.json").write_bytes(b"[")
    with running() as address:
        for arguments in ((lines,), (folder, "--result", "gap", "--locale", "de-DE")):
            assert run(*arguments) == 1
            here = read(capsys.readouterr().out)
            assert run(*arguments, "--server", address) == 1
            there = read(capsys.readouterr().out)
            for each in (*here, *there):
                each.get("problem", {}).pop("instance", None)
            assert there == here
    assert [(each["line"], each["id"]) for each in here] == [(1, "a.xlsx"), (2, "b.json"), (3, "c.json")]
    assert run(lines, "--server", address, "-o", tmp_path / "out") == 2  # it is gone
    assert not (tmp_path / "out").exists()
