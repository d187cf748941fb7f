"""`hitchworth batch`: a line of JSON for each document of a file or a folder, the same as over HTTP."""

import csv
import io
import json
import subprocess
import sys
import tracemalloc
from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path
from time import sleep
from typing import Any

import pytest

from hitchworth.cli import batch, main
from hitchworth.demo import demo_body
from hitchworth.operations.renderings import AS_WORKBOOK
from hitchworth.operations.workbooks import get_workbook_template
from hitchworth.web.server import running
from served import served
from web_server import JSON, client, example

COMMAND = "import sys; from hitchworth.cli import main; sys.exit(main(sys.argv[1:]))"


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
    assert run(tmp_path / "empty.ndjson", "-o", tmp_path / "out", "--resume") == code
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


def test_a_table_has_a_row_for_each_line_and_columns_for_its_problem(lines: Path, tmp_path: Path) -> None:
    """The totals are those of the lines of JSON; the wrong ones have their problem in place of them."""
    assert run(lines, "-o", tmp_path / "out.ndjson") == 1
    assert run(lines, "-o", tmp_path / "out.csv") == 1
    answers = read((tmp_path / "out.ndjson").read_text())
    with (tmp_path / "out.csv").open(newline="") as file:
        rows = list(csv.DictReader(file))
    assert [row["line"] for row in rows] == ["1", "3", "4"]
    assert [row["id"] for row in rows] == ["7", "", ""]
    totals = answers[0]["estimate"]["totals"]
    assert {name: Decimal(rows[0][f"totals.{name}"]) for name in totals} == {
        name: Decimal(str(amount)) for name, amount in totals.items()
    }
    assert rows[0]["problem.type"] == rows[0]["fault.pointer"] == ""
    assert rows[1]["problem.type"] == "/problems/malformed-body"
    assert rows[1]["totals.replacement_cost"] == rows[1]["currency"] == ""


def test_a_table_of_gap_statements_as_a_locale_reads_it(tmp_path: Path) -> None:
    (tmp_path / "in.ndjson").write_bytes(
        json.dumps(json.loads(demo_body())).encode() + b'\n{"build":{"components":[{"quantity":"x"}]}}\n'
    )
    assert run(tmp_path / "in.ndjson", "--result", "gap", "-o", tmp_path / "out.ndjson") == 1
    options = ("--result", "gap", "--locale", "de-DE")
    assert run(tmp_path / "in.ndjson", *options, "-o", tmp_path / "out.csv") == 1
    answered, refused = read((tmp_path / "out.ndjson").read_text())
    settlements, faults = answered["gap_statement"]["settlements"], refused["problem"]["errors"]
    content = (tmp_path / "out.csv").read_bytes()
    assert content.startswith(b"\xef\xbb\xbfline;id;")
    first, second = csv.DictReader(io.StringIO(content.decode("utf-8-sig")), delimiter=";")
    greatest = max(Decimal(str(each["gap"])) for each in settlements)
    assert Decimal(first["greatest_gap.gap"].replace(",", ".")) == greatest
    assert second["problem.type"] == "/problems/invalid-input"
    assert len({fault["pointer"] for fault in faults}) > 1
    assert (second["fault.pointer"], second["fault.detail"]) == (faults[0]["pointer"], faults[0]["detail"])


@pytest.mark.parametrize("locale", ["en-US", "de-DE"])
@pytest.mark.parametrize(("result", "path"), [("estimate", "estimates"), ("gap", "gap-statements")])
def test_over_http_the_table_is_the_same_to_the_byte(result: str, path: str, locale: str, tmp_path: Path) -> None:
    """But for the request that a problem names."""
    one = json.loads(demo_body()) | {"id": "=1+1", "locale": locale}
    written = (json.dumps(one), "", "no JSON", json.dumps({"build": {"currency": "€"}, "locale": locale}))
    (tmp_path / "in.ndjson").write_text("\n".join(written))
    options = ("--result", result, "--locale", locale, "-o", tmp_path / "out.csv")
    assert run(tmp_path / "in.ndjson", *options) == 1
    with client() as api:
        asked = {"format": "csv", "table_locale": locale}
        content = (tmp_path / "in.ndjson").read_bytes()
        answer = api.post(f"/v1/{path}/batch", params=asked, content=content, headers={"x-request-id": "mine"})
    assert answer.content.count(b"/requests/mine/lines/") == 2
    assert answer.content.replace(b"/requests/mine", b"") == (tmp_path / "out.csv").read_bytes()


@pytest.mark.parametrize("kept", [0, 1, 2, 3])
def test_resuming_ends_as_if_it_had_not_been_broken_off(kept: int, lines: Path, tmp_path: Path) -> None:
    assert run(lines, "-o", tmp_path / "whole") == 1
    whole = (tmp_path / "whole").read_bytes()
    half = b"".join(whole.splitlines(keepends=True)[:kept]) + b'{"line":3,"id'
    (tmp_path / "out").write_bytes(half)
    assert run(lines, "-o", tmp_path / "out", "--resume") == 1
    assert (tmp_path / "out").read_bytes() == whole


def test_an_output_of_something_else_is_not_resumed(
    lines: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    output = tmp_path / "out"
    assert run(lines, "-o", output) == 1
    first, second, third = output.read_bytes().splitlines(keepends=True)
    capsys.readouterr()
    for content, told in (
        (first + second + third + third, "has more answers than"),
        (first + first, "has an answer to line 1 in the place of that to line 3"),
        (first + b"mine\n", "line 2 is not an answer"),
        (first.replace(b'"estimate"', b'"gap_statement"', 1), "line 1 is not an answer"),
    ):
        output.write_bytes(content)
        assert run(lines, "-o", output, "--resume") == 2
        assert told in capsys.readouterr().err
        assert output.read_bytes() == content
    assert run(lines, "--resume") == run(lines, "-o", tmp_path / "out.csv", "--resume") == 2


@pytest.mark.parametrize("is_folder", [False, True], ids=["file", "folder"])
def test_a_server_that_ends_in_the_middle_leaves_what_another_goes_on_after(is_folder: bool, tmp_path: Path) -> None:
    """The answers are those of this machine in the end, each once and in order."""
    source, output = tmp_path / "source", tmp_path / "out.ndjson"
    builds = [{"name": "x" * 700, "currency": "XXQ" if each == 290 else "USD"} for each in range(300)]
    documents = [json.dumps({"build": build, "as_of": "2026-06-01"}) for build in builds]
    if is_folder:
        source.mkdir()
        for number, document in enumerate(documents):
            (source / f"{number:03}.json").write_text(document)
    else:
        source.write_text("\n\n".join(documents))
    with served() as server:
        command = (sys.executable, "-c", COMMAND, "batch", source, "-o", output, "--resume", "--server", server.address)
        with subprocess.Popen(command, stderr=subprocess.PIPE, text=True) as broken_off:
            while broken_off.poll() is None and not (output.exists() and output.stat().st_size):
                sleep(0.01)
            server.process.kill()
            assert "no answer" in broken_off.communicate()[1]
    assert broken_off.returncode == 2
    assert 0 < len(read(output.read_text())) < 290
    with running() as address:
        assert run(source, "-o", output, "--resume", "--server", address) == 1
    assert run(source, "-o", tmp_path / "here.ndjson") == 1
    there, here = read(output.read_text()), read((tmp_path / "here.ndjson").read_text())
    for each in (*there, *here):
        each.get("problem", {}).pop("instance", None)
    assert there == here


def test_a_folder_with_other_documents_is_not_resumed(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    folder, output = tmp_path / "folder", tmp_path / "out.ndjson"
    folder.mkdir()
    for name in "bcd":
        (folder / f"{name}.json").write_bytes(demo_body())
    assert run(folder, "-o", output) == 0
    whole = output.read_bytes()
    (folder / "e.json").write_bytes(demo_body())
    assert run(folder, "-o", output, "--resume") == 0
    assert output.read_bytes().startswith(whole)
    assert read(output.read_text())[-1]["id"] == "e.json"
    whole = output.read_bytes()
    (folder / "c.json").rename(folder / "a.json")
    assert run(folder, "-o", output, "--resume") == 2
    assert "an answer to b.json in the place of that to a.json" in capsys.readouterr().err
    assert output.read_bytes() == whole


def test_what_a_folder_has_answers_of_is_not_read_again(tmp_path: Path) -> None:
    folder, output = tmp_path / "folder", tmp_path / "out.ndjson"
    folder.mkdir()
    for name in "ab":
        (folder / f"{name}.json").write_bytes(demo_body())
    assert run(folder, "-o", output) == 0
    (folder / "a.json").write_bytes(b"[")
    (folder / "c.json").write_bytes(b"[")
    assert run(folder, "-o", output, "--resume") == 1
    assert ["problem" in each for each in read(output.read_text())] == [False, False, True]


@pytest.mark.parametrize("name", ["out.ndjson", "out.csv"])
def test_memory_does_not_grow_with_the_lines(name: str, tmp_path: Path) -> None:
    """Lines that are no JSON are answered fastest, and go all the way to the output. Even 2,000 are more
    than is read at once.
    """
    peaks = []
    for count in (2_000, 2_000, 20_000):  # the first fills what is kept once
        (tmp_path / "in").write_bytes((b"no JSON" * 20 + b"\n") * count)
        tracemalloc.start()
        try:
            assert run(tmp_path / "in", "-o", tmp_path / name, "--force") == 1
            peaks.append(tracemalloc.get_traced_memory()[1])
        finally:
            tracemalloc.stop()
        assert len((tmp_path / name).read_bytes().splitlines()) == count + name.endswith("csv")
    assert peaks[2] < peaks[1] * 1.2 + 100_000


def test_several_processes_answer_the_same_in_the_order_of_the_lines(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    one = json.loads(example("estimate"))
    written = [json.dumps(one | {"id": number}) for number in range(450)]  # pieces of 100 lines, and half of one
    written[149] = "no JSON"
    file, alone, together = (tmp_path / name for name in ("lines.ndjson", "alone.ndjson", "together.ndjson"))
    file.write_text("\n".join(written))
    assert run(file, "-o", alone) == run(file, "-o", together, "--processes", 2) == 1
    assert together.read_bytes() == alone.read_bytes()
    assert [each["line"] for each in read(together.read_text())] == list(range(1, 451))
    assert capsys.readouterr().err == 2 * "1 of 450 have a problem; their answers say which\n"


def test_no_more_lines_are_read_than_the_processes_soon_need() -> None:
    """One process answers 100 lines, and two times 100 wait for it."""
    read_ahead: list[bytes] = []

    def lines() -> Iterator[bytes]:
        for number in range(1000):
            read_ahead.append(b"%d" % number)
            yield read_ahead[-1]  # what is an answer already stays as it is

    answers = batch._answered_in_processes("estimate", lines(), 1)
    first = next(answers)
    assert len(read_ahead) == 300
    assert [first, *answers] == read_ahead


def test_processes_are_of_this_machine_and_at_least_one(lines: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(lines, "--processes", 2, "--server", "http://127.0.0.1:9") == 2
    assert "--processes is for what this machine computes" in capsys.readouterr().err
    with pytest.raises(SystemExit):
        run(lines, "--processes", 0)
    assert "0 is invalid" in capsys.readouterr().err
