"""Documents in YAML and TOML: what they stand for, what is refused, and where a fault is."""

import json
from decimal import Decimal
from pathlib import Path
from types import SimpleNamespace

import msgspec
import pytest

from hitchworth.cli import main
from hitchworth.model.estimate import Estimate
from hitchworth.operations.text_documents import UnreadableTextError, read_text_document

YAML = """\
# My camper
build:
  name: Camper
  currency: USD
  facts: {enclosed: true}
  components:
    - id: stove
      description: "Two-burner stove"
      category: stove
      quantity: 1
      unit_cost: 12.50   # from the shop
      acquired_on: 2021-06-14
"""
TOML = """\
[build]
name = "Camper"
currency = "USD"
facts = {enclosed = true}

[[build.components]]
id = "stove"
description = "Two-burner stove"
category = "stove"
quantity = 1
unit_cost = 12.50
acquired_on = 2021-06-14
"""


def value(text: str, suffix: str = ".yaml") -> object:
    """What a text stands for, with numbers as they are written."""
    return json.loads(
        read_text_document(text.encode(), suffix).content, parse_float=Decimal, parse_int=Decimal, parse_constant=str
    )


@pytest.mark.parametrize(
    ("written", "expected"),
    [
        # YAML 1.1 takes these for false, seconds, octal and dates; a document means what is written.
        ("no", "no"),
        ("yes", "yes"),
        ("on", "on"),
        ("12:30", "12:30"),
        ("01234", "01234"),
        ("0o14", "0o14"),
        ("0x1F", "0x1F"),
        ("1_000", "1_000"),
        ("2026-11-01", "2026-11-01"),
        (".5", ".5"),
        ("+5", "+5"),
        (".inf", ".inf"),
        (".nan", ".nan"),
        ("<<", "<<"),
        # what JSON has too
        ("12.50", Decimal("12.50")),
        ("0.10", Decimal("0.10")),
        ("-3", Decimal(-3)),
        ("12345678901234567890.12345678901234567890", Decimal("12345678901234567890.12345678901234567890")),
        ("true", True),
        ("False", False),
        ("null", None),
        ("~", None),
        ("", None),
        # in quotes everything is text
        ("'12.50'", "12.50"),
        ('"true"', "true"),
        ("''", ""),
    ],
)
def test_a_value_is_what_was_written(written: str, expected: object) -> None:
    found = value(f"x: {written}\n")
    assert isinstance(found, dict)
    assert (found["x"], type(found["x"])) == (expected, type(expected))
    if isinstance(expected, Decimal):
        assert str(found["x"]) == written


def test_a_number_of_toml_keeps_its_digits() -> None:
    found = value(
        "a = 12.50\nb = 1_000\nc = +1.5\nd = 2026-11-01\ne = inf\nf = 0x1F\ng = 2026-11-01T12:30:00Z\n", ".toml"
    )
    assert found == {
        "a": Decimal("12.50"),
        "b": Decimal(1000),
        "c": Decimal("1.5"),
        "d": "2026-11-01",
        "e": "inf",
        "f": Decimal(31),
        "g": "2026-11-01T12:30:00+00:00",
    }
    assert isinstance(found, dict)
    assert str(found["a"]) == "12.50"


def test_an_alias_stands_for_what_it_names() -> None:
    assert value("a: &s {life_years: 12}\nb: *s\n") == {"a": {"life_years": 12}, "b": {"life_years": 12}}


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("a: 1\nb: 2\na: 3\n", "Line 3: a is there twice, first on line 1"),
        ("a: {b: 1, b: 2}\n", "Line 1: b is there twice"),
        ("? [a, b]\n: 1\n", "Line 1: a name must be a text"),
        ("a: !!python/object:os.system x\n", "is not known"),
        ("a: !secret x\n", "Line 1: the tag !secret is not known"),
        ("a: [1, 2\n", "It is not YAML, line 2"),
        ("a: 1\n---\nb: 2\n", "It is not YAML, line 2"),
        ("a: &x [*x]\n", "nested too deeply"),
        ("[" * 3000, "It is not YAML"),
        ("a: *nobody\n", "It is not YAML, line 1"),
        ("\t- a\n", "It is not YAML, line 1"),
    ],
)
def test_what_is_no_document_is_refused_with_its_line(text: str, why: str) -> None:
    with pytest.raises(UnreadableTextError, match=r"^(Line|It) ") as refused:
        read_text_document(text.encode(), ".yaml")
    assert why in str(refused.value)


def test_aliases_that_multiply_are_refused_at_once() -> None:
    """Nine levels of nine aliases stand for 387 million values."""
    levels = ["a0: &a0 [x, x, x, x, x, x, x, x, x]"]
    levels += [f"a{n}: &a{n} [{', '.join([f'*a{n - 1}'] * 9)}]" for n in range(1, 9)]
    with pytest.raises(UnreadableTextError, match="its aliases multiply"):
        read_text_document("\n".join(levels).encode(), ".yaml")


@pytest.mark.parametrize(
    ("text", "why"), [("a = 1\na = 2\n", "line 2"), ("a =\n", "line 1"), ("a = " + "[" * 5000, "")]
)
def test_what_is_no_toml_is_refused(text: str, why: str) -> None:
    with pytest.raises(UnreadableTextError, match="It is not TOML") as refused:
        read_text_document(text.encode(), ".toml")
    assert why in str(refused.value)


def test_a_text_that_is_not_utf_8_is_refused() -> None:
    with pytest.raises(UnreadableTextError, match="It is not UTF-8: byte 7"):
        read_text_document(b"name: \xe4", ".yaml")


@pytest.mark.parametrize(("name", "text"), [("camper.yaml", YAML), ("camper.yml", YAML), ("camper.TOML", TOML)])
def test_every_command_reads_it(name: str, text: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / name
    file.write_text(text)
    assert main(["estimate", str(file), "--as-of", "2021-06-14", "--format", "json"]) == 0
    (line,) = msgspec.json.decode(capsys.readouterr().out, type=Estimate).lines
    assert (line.id, str(line.replacement_cost)) == ("stove", "12.50")
    for command in ("check", "classify", "gap", "protect"):
        assert main([command, str(file), "--as-of", "2026-11-01"][: 2 if command == "protect" else 4]) == 0
    assert main(["sheet", str(file), "-o", str(tmp_path / "sheet.md")]) == 0
    assert main(["workbook", str(file), "-o", str(tmp_path / "book.xlsx")]) == 0


def test_yaml_comes_on_standard_input_too(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    monkeypatch.setattr("sys.stdin", SimpleNamespace(buffer=SimpleNamespace(read=YAML.encode)))
    assert main(["estimate", "-", "--as-of", "2026-11-01", "--format", "csv"]) == 0
    assert capsys.readouterr().out.splitlines()[1].startswith("stove,")


@pytest.mark.parametrize("encoding", ["utf-16", "utf-16-be", "utf-8-sig"])
def test_a_file_that_a_windows_shell_wrote_is_read(
    encoding: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "camper.yaml"
    mark = b"\xfe\xff" if encoding == "utf-16-be" else b""
    file.write_bytes(mark + YAML.replace("\n", "\r\n").encode(encoding))
    assert main(["estimate", str(file), "--as-of", "2026-11-01", "--format", "csv"]) == 0
    assert capsys.readouterr().out.splitlines()[1].startswith("stove,")


def test_a_fault_names_the_line_of_the_file(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "camper.yaml"
    file.write_text(YAML.replace("quantity: 1", "quantity: no").replace("enclosed: true", "enclosed: no"))
    assert main(["estimate", str(file)]) == 1
    assert [line.partition(": ")[2].partition(": ")[0] for line in capsys.readouterr().err.splitlines()[:2]] == [
        "/build/components/0/quantity",
        "/build/facts/enclosed",
    ]
    file.write_text(YAML.replace("      unit_cost: 12.50   # from the shop\n", ""))
    assert main(["estimate", str(file)]) == 1
    assert capsys.readouterr().err.startswith("line 7: /build/components/0/unit_cost: ")  # of the entry that lacks it


def test_a_file_that_cannot_be_read_is_named(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "camper.toml"
    file.write_text("name = \n")
    assert main(["estimate", str(file)]) == 1
    assert capsys.readouterr().err.startswith(f"{file}: It is not TOML: ")


def test_a_missing_file_brings_one_with_a_similar_name(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "puffin.yaml").touch()
    assert main(["estimate", str(tmp_path / "puffin.yml")]) == 2
    assert "puffin.yml: No such file or directory; did you mean puffin.yaml?" in capsys.readouterr().err
    assert main(["estimate", str(tmp_path / "nowhere" / "puffin.yml")]) == 2
    assert "did you mean" not in capsys.readouterr().err


def test_a_document_is_converted_and_computes_to_the_same(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    source = tmp_path / "camper.yaml"
    source.write_text(
        "# mine\nas_of: 2026-11-01\nbuild:\n  name: Camper\n  currency: EUR\n  components:\n"
        "    - {id: stove, description: Stove, category: stove, quantity: 1, unit_cost: 12.50,\n"
        "       acquired_on: 2026-03-14}\n"
    )
    assert main(["convert", str(source)]) == 0
    printed = json.loads(capsys.readouterr().out)
    assert printed["build"]["components"][0]["unit_cost"] == "12.50"
    assert printed["as_of"] == "2026-11-01"
    assert main(["estimate", str(source), "--format", "json"]) == 0
    wanted = capsys.readouterr().out
    for name in ("camper.json", "camper.toml", "other.yml", "camper.xlsx"):
        target = tmp_path / name
        assert main(["convert", str(source), "-o", str(target), "--quiet"]) == 0
        assert main(["estimate", str(target), "--format", "json"]) == 0
        assert capsys.readouterr().out == wanted
    assert main(["convert", str(source), "-o", str(source)]) == 2
    assert main(["convert", str(source), "-o", str(tmp_path / "camper.pdf")]) == 2
    assert source.read_text().startswith("# mine")
