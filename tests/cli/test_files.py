"""The files of a command: several, a folder, faults as JSON, and what is written over what."""

import csv
import io
import json
import re
from importlib.resources import files
from pathlib import Path

import pytest

from hitchworth.cli import main
from hitchworth.demo import demo_body

BUILD = """\
name: {name}
currency: USD
components:
- {{id: a, description: Stove, category: stove, quantity: 1, unit_cost: {cost}, acquired_on: 2026-01-01}}
"""
DAY = ["--as-of", "2026-01-01"]


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Two builds, one with a fault, and what is no document."""
    inside = tmp_path / "builds"
    inside.mkdir()
    (inside / "one.yaml").write_text(BUILD.format(name="One", cost="10.00"))
    (inside / "two.json").write_text(json.dumps({"build": {"name": "Two", "currency": "USD"}}))
    (inside / "wrong.yaml").write_text(BUILD.format(name="Wrong", cost="no"))
    (inside / "one.import.yaml").write_text("[]")
    (inside / "notes.txt").write_text("not a document")
    (inside / "old.yaml").mkdir()
    return inside


def test_a_folder_stands_for_the_documents_in_it(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["estimate", str(folder), *DAY, "--format", "json"]) == 1
    printed = capsys.readouterr()
    found = json.loads(printed.out)
    assert [Path(each["file"]).name for each in found] == ["one.yaml", "two.json", "wrong.yaml"]
    assert found[0]["result"]["totals"]["replacement_cost"] == "10.00"
    assert found[1]["result"]["lines"] == []
    (fault,) = found[2]["errors"]
    assert (fault["pointer"], fault["line"], fault["file"]) == (
        "/components/0/unit_cost",
        4,
        str(folder / "wrong.yaml"),
    )
    assert printed.err == ""


def test_several_files_are_shown_one_after_another(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    one, two, wrong = (str(folder / name) for name in ("one.yaml", "two.json", "wrong.yaml"))
    assert main(["estimate", one, two, *DAY]) == 0
    printed = capsys.readouterr().out
    assert printed.index(f"{one}:") < printed.index("$10.00") < printed.index(f"{two}:")
    assert main(["estimate", wrong, one, *DAY]) == 1
    printed_both = capsys.readouterr()
    assert "$10.00" in printed_both.out
    assert printed_both.err.startswith(f"{wrong}:\n\nline 4: /components/0/unit_cost: ")


def test_the_csv_of_several_files_is_one_table(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    one, wrong = str(folder / "one.yaml"), str(folder / "wrong.yaml")
    assert main(["estimate", one, wrong, one, *DAY, "--format", "csv"]) == 1
    printed = capsys.readouterr()
    rows = list(csv.DictReader(io.StringIO(printed.out)))
    assert [(row["file"], row["replacement_cost"]) for row in rows] == [(one, "10.00")] * 2
    assert "unit_cost" in printed.err


def test_what_cannot_be_several_files_is_told(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["estimate", "-", "-"]) == 2
    assert "only one document can come from standard input" in capsys.readouterr().err
    assert main(["estimate", str(tmp_path)]) == 2
    assert "has no document in it" in capsys.readouterr().err


@pytest.mark.parametrize("command", ["check", "estimate", "gap", "quote"])
def test_faults_are_json_where_json_is_asked_for(
    command: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "camper.json"
    file.write_text('{"name": "Camper", "currency": "dollars", "components": [{}]}')
    assert main([command, str(file), "--format", "json"]) == 1
    printed = capsys.readouterr()
    assert printed.err == ""
    errors = json.loads(printed.out)["errors"]
    pointers = {fault["pointer"] for fault in errors}
    assert {"/currency", "/components/0/id"} <= pointers
    assert all(fault["expected"] and fault["file"] == str(file) for fault in errors if fault["pointer"] == "/currency")


def test_a_file_that_is_no_document_is_a_fault_in_json_too(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "receipts.csv"
    file.write_text("Paid,What\n12.50,Stove\n")
    assert main(["estimate", str(file), "--format", "json"]) == 1
    (fault,) = json.loads(capsys.readouterr().out)["errors"]
    assert (fault["pointer"], fault["file"]) == ("", str(file))
    assert f"hitchworth import {file} --into camper.yaml" in fault["detail"]


def test_the_faults_of_two_compared_documents_are_json(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    for name in ("a", "b"):
        (tmp_path / f"{name}.yaml").write_text("name: Camper\ncurrency: dollars\n")
    assert main(["compare", str(tmp_path / "a.yaml"), str(tmp_path / "b.yaml"), "--format", "json"]) == 1
    errors = json.loads(capsys.readouterr().out)["errors"]
    assert [(Path(fault["file"]).name, fault["pointer"], fault["line"]) for fault in errors] == [
        ("a.yaml", "/currency", 2),
        ("b.yaml", "/currency", 2),
    ]


def test_check_names_what_is_not_known_by_the_money(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "camper.json"
    file.write_bytes(demo_body())
    assert main(["check", str(file), "--format", "json"]) == 0
    found = json.loads(capsys.readouterr().out)["not_known"]
    stakes = [float(question["money_at_stake"]["high"]) for question in found]
    assert stakes == sorted(stakes, reverse=True)
    assert stakes[0] > 0
    assert main(["check", str(file)]) == 0
    printed = " ".join(capsys.readouterr().out.split())
    assert printed.startswith("The document has no faults.")
    assert "up to $45,000" in printed
    assert main(["check", str(file), "--format", "csv"]) == 0
    assert len(list(csv.DictReader(io.StringIO(capsys.readouterr().out)))) == len(found)


@pytest.fixture
def document(tmp_path: Path) -> str:
    file = tmp_path / "camper.json"
    file.write_bytes(demo_body())
    return str(file)


WRITERS = {
    "sheet": ["sheet", "FILE", "-o"],
    "report": ["report", "inventory", "FILE", "-o"],
    "letter": ["letter", "correct-class", "FILE", "-o"],
    "workbook": ["workbook", "FILE", "-o"],
    "start": ["start", "--empty"],
}
SUFFIX = {"sheet": ".md", "report": ".md", "letter": ".txt", "workbook": ".xlsx", "start": ".yaml"}


@pytest.mark.parametrize("command", WRITERS)
def test_a_command_says_what_it_wrote_and_writes_over_nothing_unasked(
    command: str, document: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / f"out{SUFFIX[command]}"
    arguments = [document if each == "FILE" else each for each in WRITERS[command]] + [str(out)]
    assert main(arguments) == 0
    assert f"Wrote {out}." in capsys.readouterr().out
    out.write_text("mine")
    assert main(arguments) == 2
    assert f"{out} exists already; choose another name, or erase what it has with --force" in capsys.readouterr().err
    assert out.read_text() == "mine"
    assert main([*arguments, "--force", "--quiet"]) == 0
    printed = capsys.readouterr()
    assert (printed.out, printed.err) == ("", "")
    assert out.read_bytes() != b"mine"


class Person(io.StringIO):
    """A terminal at which somebody types."""

    def isatty(self) -> bool:
        return True


@pytest.mark.parametrize(("typed", "code"), [("y\n", 0), ("Yes\n", 0), ("n\n", 2), ("\n", 2), ("", 2), ("yep\n", 2)])
def test_at_a_terminal_it_asks(
    typed: str, code: int, document: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    out = tmp_path / "sheet.md"
    out.write_text("mine")
    screen = Person()
    monkeypatch.setattr("sys.stdin", Person(typed))
    monkeypatch.setattr("sys.stderr", screen)
    assert main(["sheet", document, "-o", str(out)]) == code
    assert f"{out} exists already. Write over it? [y/N] " in screen.getvalue()
    assert (out.read_text() == "mine") == (code == 2)


def test_quiet_leaves_out_warnings_and_not_results(document: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["gap", document, "--locale", "it-IT", "-q"]) == 0
    printed = capsys.readouterr()
    assert printed.err == ""
    assert re.search(r"\$\d", printed.out)


def test_a_missing_file_among_several_ends_with_2(document: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["estimate", document, "nowhere.yaml"]) == 2
    assert "nowhere.yaml: No such file" in capsys.readouterr().err


def test_an_import_keeps_comments_and_layout_of_yaml_and_toml(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    receipts = str(files("hitchworth.web") / "examples" / "receipts.csv")
    bare = (
        "# My camper\n"
        "name: 'Camper'   # its name\n"
        "currency: USD\n"
        "components:\n"
        "# bought first\n"
        "- id: a\n"
        "  description: Stove\n"
        "  category: stove\n"
        "  quantity: 1\n"
        "  unit_cost: 12.50   # from the shop\n"
        "  acquired_on: 2026-01-01\n"
    )
    nested = "build:\n" + "".join(f"  {line}\n" for line in bare.splitlines()) + "policies:\n- name: P  # mine\n"
    toml = (
        '# My camper\n[build]\nname = "Camper"   # its name\ncurrency = "USD"\n\n[[build.components]]\nid = "a"\n'
        'description = "Stove"\ncategory = "stove"\nquantity = 1\nunit_cost = 12.50   # from the shop\n'
        "acquired_on = 2026-01-01\n"
    )
    for name, text in (("bare.yaml", bare), ("nested.yml", nested), ("camper.toml", toml), ("windows.yaml", bare)):
        file = tmp_path / name
        end = "\r\n" if name == "windows.yaml" else "\n"
        file.write_bytes(text.replace("\n", end).encode())
        assert main(["import", receipts, "--into", str(file)]) == 0
        written = file.read_bytes().decode()
        lines = written.splitlines()
        assert [line for line in text.splitlines() if line not in lines] == [], name
        assert ("\r\n" in written) == (name == "windows.yaml")
        capsys.readouterr()
        assert main(["estimate", str(file), "--as-of", "2026-06-01", "--format", "csv"]) == 0
        assert len(capsys.readouterr().out.splitlines()) == 5
        assert main(["import", receipts, "--into", str(file)]) == 0  # nothing is new
        assert file.read_bytes().decode() == written


@pytest.mark.parametrize("name", ["new.yaml", "new.toml"])
def test_a_correction_changes_one_value_where_it_stands(
    name: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    receipts = str(files("hitchworth.web") / "examples" / "receipts.csv")
    file = tmp_path / name
    assert main(["import", receipts, "--into", str(file)]) == 0
    commented = f"# kept\n{file.read_text()}"
    file.write_text(commented)
    assert main(["import", receipts, "--into", str(file), "--category", "plywood=interior"]) == 0
    changed = [
        (before, after)
        for before, after in zip(commented.splitlines(), file.read_text().splitlines(), strict=True)
        if before != after
    ]
    assert len(changed) == 1
    assert "body_panels" in changed[0][0]
    assert "interior" in changed[0][1]
    assert capsys.readouterr().err == ""
