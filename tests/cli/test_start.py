"""`hitchworth start`: ten questions, each of which may be skipped, or an empty document."""

import io
import json
import re
from pathlib import Path

import pytest

from hitchworth.cli import main
from hitchworth.localization.texts import texts
from hitchworth.operations.text_documents import read_text_document
from hitchworth.reference.definitions import definitions_of_chain

ANSWERS = ("Box", "eur", "DE", "utility_trailer", "own frame", "2", "yes", "recreational_vehicle", "15000", "500")


class Person(io.StringIO):
    """A terminal at which somebody types."""

    def isatty(self) -> bool:
        return True


def typed(monkeypatch: pytest.MonkeyPatch, *lines: str) -> Person:
    """Type the lines at a terminal; what it shows is in what is returned."""
    screen = Person()
    monkeypatch.setattr("sys.stdin", Person("".join(f"{line}\n" for line in lines)))
    monkeypatch.setattr("sys.stderr", screen)
    return screen


def content_of(file: Path) -> dict[str, object]:
    content: dict[str, object] = json.loads(read_text_document(file.read_bytes(), file.suffix).content)
    return content


def test_the_answers_make_a_document(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    file = tmp_path / "camper.yaml"
    screen = typed(monkeypatch, *ANSWERS)
    assert main(["start", str(file)]) == 0
    assert content_of(file) == {
        "build": {
            "name": "Box",
            "currency": "EUR",
            "jurisdiction": "DE",
            "registered_class": "utility_trailer",
            "vin": None,
            "owner": None,
            "base": {"kind": "own frame"},
            "facts": {"sleeping_berths": 2, "has_cooking": True},
        },
        "policies": [{"name": "My policy", "kind": "recreational_vehicle", "limit": "15000", "deductible": "500"}],
        "losses": [{"name": "Theft", "peril": "theft", "extent": "total"}],
    }
    assert "assumed" not in file.read_text()
    shown = screen.getvalue()
    for name in ("name", "currency", "jurisdiction", "registered_class", "base", "limit"):
        assert texts().start[name] in shown
    for command in ("check", "gap", "classify"):
        assert main([command, str(file)]) == 0


def test_every_question_may_be_skipped(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    file = tmp_path / "my-camper.yaml"
    typed(monkeypatch, *[""] * 10)
    assert main(["start", str(file)]) == 0
    written = file.read_text()
    assert written.count(texts().start["assumed"]) == 2
    content = content_of(file)
    assert content["build"] == {
        "name": "My camper",
        "currency": "USD",
        "jurisdiction": None,
        "registered_class": None,
        "vin": None,
        "owner": None,
        "base": None,
        "facts": {"sleeping_berths": None, "has_cooking": None},
    }
    assert set(content) == {"build"}
    assert main(["check", str(file)]) == 0


@pytest.mark.parametrize(
    ("place", "wrong", "why"),
    [
        (1, "dollars", "three capital letters"),
        (2, "XX-YY", "hitchworth jurisdictions"),
        (5, "many", "number"),
        (6, "maybe", "true, false"),
        (7, "bogus", "one of tow_vehicle_extension"),
        (8, "a lot", "an amount such as 500 or 12.50"),
        (2, "Atlantis", "as Germany or US-WA"),
        (8, "-5", ""),
        (9, "1e999999", ""),
    ],
)
def test_a_wrong_answer_is_asked_again(
    place: int, wrong: str, why: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = tmp_path / "camper.json"
    screen = typed(monkeypatch, *ANSWERS[:place], wrong, *ANSWERS[place:])
    assert main(["start", str(file), "--quiet"]) == 0
    shown = screen.getvalue()
    assert "expected: " in shown
    assert why in shown
    assert json.loads(file.read_text())["build"]["currency"] == "EUR"
    assert json.loads(file.read_text())["policies"][0]["limit"] == "15000"


@pytest.mark.parametrize(
    ("written", "read"),
    [
        ("8.000,00", "8000.00"),
        ("8,000.50", "8000.50"),
        ("8000 €", "8000"),
        ("EUR 1 250", "1250"),
        ("12,5", "12.5"),
    ],
)
def test_amounts_are_read_as_people_write_them(
    written: str, read: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = tmp_path / "camper.json"
    typed(monkeypatch, *ANSWERS[:8], written, "500")
    assert main(["start", str(file), "--quiet"]) == 0
    assert json.loads(file.read_text())["policies"][0]["limit"] == read


@pytest.mark.parametrize(
    ("written", "why"),
    [
        ("8.000", "it may be 8 or 8000"),
        ("12,000", "it may be 12 or 12000"),
        ("8000 $", "in the currency of the document"),
    ],
)
def test_an_amount_that_may_be_another_is_asked_again(
    written: str, why: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = tmp_path / "camper.json"
    screen = typed(monkeypatch, *ANSWERS[:8], written, "8000", "500")
    assert main(["start", str(file), "--quiet"]) == 0
    assert why in screen.getvalue()
    assert json.loads(file.read_text())["policies"][0]["limit"] == "8000"


def test_the_kind_of_a_policy_may_be_named_by_its_code_or_in_the_locale_as_in_a_workbook(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = tmp_path / "camper.json"
    screen = typed(monkeypatch, *ANSWERS[:7], "rv policy", "15000", "500")
    assert main(["start", str(file), "--quiet"]) == 0
    assert json.loads(file.read_text())["policies"][0]["kind"] == "recreational_vehicle"
    assert "RV policy" in screen.getvalue()


@pytest.mark.parametrize("name", ["camper.yaml", "camper.toml", "camper.json", "camper.xlsx"])
def test_an_empty_document_is_written_in_every_format(
    name: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / name
    assert main(["start", str(file), "--empty"]) == 0
    assert f"Wrote {file}." in capsys.readouterr().out
    assert main(["check", str(file)]) == 0


def test_the_examples_of_an_empty_document_can_be_uncommented(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A person deletes the # before the examples, and has a document that is read."""
    file = tmp_path / "camper.yaml"
    assert main(["start", str(file), "--empty"]) == 0
    lines = file.read_text().splitlines()
    examples = [
        line.replace("# ", "", 1)
        if line.lstrip().startswith(("# components:", "# labor:", "# policies:", "# losses:", "#  "))
        else line
        for line in lines
    ]
    file.write_text("\n".join(examples))
    capsys.readouterr()
    assert main(["gap", str(file), "--format", "json", "--as-of", "2026-05-01"]) == 0
    found = json.loads(capsys.readouterr().out)
    # 189.00 for the stove; nobody was paid for the labor, and no shop has named a rate
    assert found["estimate"]["totals"]["replacement_cost"] == "189.00"
    assert [(each["policy"], each["loss"]) for each in found["settlements"]] == [("My policy", "Theft")]


@pytest.mark.parametrize(
    ("locale", "currency", "words"),
    [
        ("de-DE", "EUR", "Meine Police"),
        ("fr-CA", "CAD", "Ma police"),
        ("en-GB", "GBP", "excess"),
        ("es-US", "USD", "Mi póliza"),
    ],
)
def test_it_speaks_the_language_and_assumes_the_currency_of_the_region(
    locale: str, currency: str, words: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = tmp_path / "camper.yaml"
    screen = typed(monkeypatch, *[""] * 8, "15000")
    assert main(["start", str(file), "--locale", locale]) == 0
    content = content_of(file)
    assert content["locale"] == locale
    assert isinstance(content["build"], dict)
    assert content["build"]["currency"] == currency
    assert words in file.read_text() + screen.getvalue()


def test_without_a_terminal_it_asks_nothing_and_says_what_to_do(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "camper.yaml"
    monkeypatch.setattr("sys.stdin", io.StringIO(""))
    assert main(["start", str(file)]) == 2
    assert f"there is no terminal to ask on: hitchworth start {file} --empty" in capsys.readouterr().err
    assert not file.exists()
    assert main(["start", str(tmp_path / "camper.txt"), "--empty"]) == 2
    assert "a document is a file like" in capsys.readouterr().err


@pytest.mark.parametrize("place", ["DE", "de", "Germany", "deutschland"])
def test_a_place_may_be_named(place: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    file = tmp_path / "camper.json"
    typed(monkeypatch, *ANSWERS[:2], place, *ANSWERS[3:])
    assert main(["start", str(file)]) == 0
    assert json.loads(file.read_text())["build"]["jurisdiction"] == "DE"


def test_the_classes_of_the_place_and_words_for_a_base_are_offered(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    screen = typed(monkeypatch, *ANSWERS[:2], "US-WA", *ANSWERS[3:])
    assert main(["start", str(tmp_path / "camper.json")]) == 0
    shown = screen.getvalue()
    offered = " ".join(shown[shown.index(" 4. ") : shown.index(" 6. ")].split())
    assert {each.class_ for each in definitions_of_chain("US-WA")} <= set(re.findall(r"\w+", offered))
    assert "cargo trailer, flatbed trailer, own frame" in offered


def test_answers_may_be_piped(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """A line each, an empty one for no answer; what is not there is not answered."""
    file = tmp_path / "camper.json"
    monkeypatch.setattr("sys.stdin", io.StringIO("Box\n\nUK\n"))
    assert main(["start", str(file)]) == 0
    build = json.loads(file.read_text())["build"]
    assert (build["name"], build["currency"], build["jurisdiction"]) == ("Box", "USD", "GB")
    assert "What do you call" not in capsys.readouterr().err


@pytest.mark.parametrize(
    ("lines", "told"),
    [
        ("Box\ndollars\nDE\n", "line 2 (currency), dollars: "),
        ("\n" * 11, "start has 10 questions, and 11 lines were piped"),
    ],
)
def test_wrong_piped_answers_write_nothing(
    lines: str, told: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "camper.json"
    monkeypatch.setattr("sys.stdin", io.StringIO(lines))
    assert main(["start", str(file)]) == 2
    assert told in capsys.readouterr().err
    assert not file.exists()
