"""The reference data without a server: the same as the API has."""

import csv
import io
import json
import re
from datetime import date
from typing import Any

import msgspec
import pytest

from hitchworth.cli import main
from hitchworth.operations import reference_data
from hitchworth.reference.schedules import library_schedules

LISTS: dict[str, Any] = {
    "schedules": reference_data.list_schedules,
    "facts": reference_data.list_facts,
    "definitions": reference_data.list_definitions,
    "jurisdictions": reference_data.list_jurisdictions,
    "questions": reference_data.list_questions,
    "wages": reference_data.list_wages,
    "indexes": reference_data.list_price_indexes,
}
KEYS = {"definitions": "id", "questions": "id", "jurisdictions": "code", "wages": "trade", "categories": "category"}


@pytest.mark.parametrize("name", LISTS)
def test_a_list_is_that_of_the_api(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main([name, "--format", "json"]) == 0
    items = LISTS[name]().items
    assert json.loads(capsys.readouterr().out) == json.loads(msgspec.json.encode({"items": items}))
    assert main([name, "--format", "csv"]) == 0
    rows = list(csv.DictReader(io.StringIO(capsys.readouterr().out)))
    months = sum(len(item.months) for item in items) if name == "indexes" else len(items)
    assert len(rows) == months


@pytest.mark.parametrize("columns", ["40", "80", "200"])
@pytest.mark.parametrize("name", [*LISTS, "categories"])
def test_a_list_fits_the_terminal_and_cuts_no_name(
    name: str, columns: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("COLUMNS", columns)
    assert main([name]) == 0
    printed = capsys.readouterr().out
    assert max(map(len, printed.splitlines())) <= int(columns)
    assert main([name, "--format", "json"]) == 0
    for item in json.loads(capsys.readouterr().out)["items"]:
        key = item[KEYS.get(name, "name")]
        if len(key) <= int(columns):  # longer ones have to be folded
            assert re.search(rf"(^|\s){re.escape(key)}(\s|$)", printed), key


def test_the_categories_are_those_of_the_schedules(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["categories", "--format", "json", "--locale", "de-DE"]) == 0
    found = json.loads(capsys.readouterr().out)["items"]
    of_the_schedules = {(name, each.name) for each in library_schedules() for name in each.categories}
    assert {(item["category"], item["schedule"]) for item in found} == of_the_schedules
    assert {"category": "battery", "label": "Batterie", "schedule": "battery_agm"} in found


def test_words_choose_the_entries_that_have_them_all(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["facts", "LENGTH", "meters", "--format", "csv"]) in (0, 2)
    capsys.readouterr()
    assert main(["schedules", "tires", "Wheels", "--format", "json"]) == 0
    assert [item["name"] for item in json.loads(capsys.readouterr().out)["items"]] == ["tires_and_wheels"]
    assert main(["schedules", "tires", "unicorn"]) == 2
    assert "nothing has tires and unicorn in it" in capsys.readouterr().err


def test_definitions_are_those_of_a_place_and_a_day(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["definitions", "--jurisdiction", "GB", "--as-of", "2016-06-01", "--format", "json"]) == 0
    wanted = reference_data.list_definitions("GB", date(2016, 6, 1)).items
    assert [item["id"] for item in json.loads(capsys.readouterr().out)["items"]] == [each.id for each in wanted]
    assert main(["definitions", "--jurisdiction", "US-ZZ"]) == 1
    assert "hitchworth jurisdictions" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("words", "codes"),
    [
        ("UK", {"GB", "GB-NIR"}),
        ("england", {"GB", "GB-NIR"}),
        ("Great Britain", {"GB", "GB-NIR"}),
        ("Royaume-Uni", {"GB", "GB-NIR"}),
        ("Deutschland", {"DE"}),
        ("Suomi", {"FI"}),
        ("Bruxelles", {"BE-BRU"}),
        ("nova scotia", {"CA-NS"}),
    ],
)
def test_a_place_is_found_by_its_names(words: str, codes: set[str], capsys: pytest.CaptureFixture[str]) -> None:
    """With its parts, and without those whose name merely has the letters in it, as Yukon has UK."""
    assert main(["jurisdictions", *words.split(), "--format", "json"]) == 0
    assert {item["code"] for item in json.loads(capsys.readouterr().out)["items"]} == codes


def test_every_other_word_still_finds_what_has_it(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["jurisdictions", "zealan", "--format", "json"]) == 0
    assert [item["code"] for item in json.loads(capsys.readouterr().out)["items"]] == ["NZ"]


@pytest.mark.parametrize("word", ["tyre", "Reifen", "pneu"])
def test_a_category_is_found_in_every_language(word: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["categories", word, "--format", "json"]) == 0
    assert "tires" in {item["category"] for item in json.loads(capsys.readouterr().out)["items"]}


def test_questions_are_printed_without_placeholders(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["questions"]) == 0
    printed = capsys.readouterr().out
    assert "{" not in printed
    assert "“…”" in printed
