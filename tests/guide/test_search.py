"""The search finds what a reader looks for, whatever he types."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hitchworth.guide.chapters import chapter, chapter_names
from hitchworth.guide.search import search


@pytest.mark.parametrize(
    ("query", "chapter_name", "heading"),
    [
        ("coinsurance", "policies", "The words"),
        ("salvage", "policies", "Salvage"),
        ("share links", "running", "Share links"),
        ("backup", "running", "Backups, and moving to PostgreSQL"),
        ("LibreOffice", "macros", "LibreOffice"),
        ("total loss", "policies", "Constructive total loss"),
        ("exit code", "command-line", "What comes out"),
        ("merge patch", "sdk", "Kept builds"),
    ],
)
def test_what_is_looked_for_is_among_the_first_three(query: str, chapter_name: str, heading: str) -> None:
    assert (chapter_name, heading) in [(found.chapter, found.heading) for found in search(query)[:3]]


def test_other_forms_and_beginnings_of_a_word_are_found() -> None:
    assert {found.heading for found in search("deductibles peril")} & {"Deductibles by peril"}
    assert search("depreciat")[0].chapter in ("figures", "policies")


def test_sections_with_all_words_go_before_those_with_any() -> None:
    assert all("coupling" in found.excerpt.lower() or found for found in search("coupling brakes"))
    (section, *_) = search("breakaway xylophone")
    assert "breakaway" in section.excerpt


def test_what_was_found_is_marked_and_the_rest_escaped() -> None:
    (found,) = [each for each in search("Authorization bearer") if each.chapter == "running"][:1]
    assert "<mark>Authorization</mark>" in found.excerpt
    assert all("<" not in each.excerpt.replace("<mark>", "").replace("</mark>", "") for each in search("python import"))


@pytest.mark.parametrize("query", ["", "   ", '"', "*", "NEAR(", "-", "^", "\x00", "zzzqqq"])
def test_signs_alone_find_nothing(query: str) -> None:
    assert search(query) == ()


@settings(deadline=None)
@given(st.text())
def test_any_text_is_a_query(query: str) -> None:
    found = search(query)
    assert len(found) <= 20
    assert {each.chapter for each in found} <= set(chapter_names())


def test_every_section_that_is_found_has_its_anchor() -> None:
    for found in search("the"):
        assert found.anchor in {section.anchor for section in chapter(found.chapter).sections}
