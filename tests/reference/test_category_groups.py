"""Which categories are contents, however they are written, and which are custom equipment or part of the base."""

import pytest

from hitchworth.reference.category_groups import CONTENTS, CUSTOM_EQUIPMENT, belongs, category_groups
from hitchworth.reference.words import words_of


@pytest.mark.parametrize(
    "category",
    [
        "tools",
        "Hand Tools",
        "power-tool",
        "blankets",
        "sheet",
        "Towels",
        "dishes",
        "dish",
        "cookware",
        "camping_gear",
        "Camping Gear",
        "annex",
        "awning room",
        "Bicycle",
        "kayaks",
        "generator, loose",
        "loose generator",
        "contents",
    ],
)
def test_loose_gear_is_contents_however_it_is_written(category: str) -> None:
    assert belongs(category, CONTENTS)
    assert not belongs(category, CUSTOM_EQUIPMENT)


@pytest.mark.parametrize("category", ["awning", "generator", "bicycle_rack", "television", "solar_panels", "table"])
def test_what_is_attached_is_custom_equipment(category: str) -> None:
    assert belongs(category, CUSTOM_EQUIPMENT)
    assert not belongs(category, CONTENTS)


@pytest.mark.parametrize("category", ["chassis", "running_gear", "tires", "plain_trailer"])
def test_the_base_is_neither(category: str) -> None:
    assert not belongs(category, CONTENTS)
    assert not belongs(category, CUSTOM_EQUIPMENT)


def test_every_category_is_listed_once() -> None:
    listed = [words_of(category) for category in category_groups()[CONTENTS].categories]
    assert [words for words in listed if listed.count(words) > 1] == []


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("Smoke-Alarms", ("smoke", "alarm")),
        ("LP/CO alarm", ("lp", "co", "alarm")),
        ("boxes, dishes and glasses", ("box", "dish", "and", "glass")),
        ("batteries", ("battery",)),
        ("Détecteurs", ("detecteur",)),
        ("gas", ("gas",)),
        ("", ()),
    ],
)
def test_words_are_compared_without_case_accent_and_plural(text: str, words: tuple[str, ...]) -> None:
    assert words_of(text) == words
