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


@pytest.mark.parametrize(("query", "heading"), [("deductible peril", "Deductibles by peril"), ("migrating", "Backups")])
def test_other_forms_of_a_word_are_found(query: str, heading: str) -> None:
    assert any(heading in found.heading for found in search(query)[:3])


def test_words_of_the_index_are_words_of_a_query() -> None:
    """AND, OR, NOT and NEAR mean something to the index, and nothing to the reader who types them."""
    assert search("NOT salvage") == search("not salvage") != ()
    assert search("limit OR NEAR")


def test_where_no_section_has_all_words_any_is_enough() -> None:
    """One section names a breakaway device with the coupling; none a xylophone."""
    assert [found.heading for found in search("breakaway coupling")] == ["Where a place defines no such class"]
    assert search("breakaway xylophone") == search("breakaway") != ()


def test_what_was_found_is_marked_and_the_rest_escaped() -> None:
    (found,) = [each for each in search("Authorization bearer") if each.chapter == "running"][:1]
    assert "<mark>Authorization</mark>" in found.excerpt
    assert all("<" not in each.excerpt.replace("<mark>", "").replace("</mark>", "") for each in search("python import"))


@pytest.mark.parametrize("query", ["", "   ", '"', "*", "(", "-", "^", "\x00", "zzzqqq"])
def test_signs_alone_find_nothing(query: str) -> None:
    assert search(query) == ()


@settings(deadline=None)
@given(st.text())
def test_any_text_is_a_query(query: str) -> None:
    found = search(query)
    assert len(found) <= 20
    assert {each.chapter for each in found} <= set(chapter_names())


def test_every_section_that_is_found_has_its_anchor() -> None:
    sections = search("the")
    assert len(sections) == 20
    for found in sections:
        assert found.anchor in {section.anchor for section in chapter(found.chapter).sections}
