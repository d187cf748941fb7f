"""The search finds what a reader looks for, whatever he types."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hitchworth.guide.chapters import chapter, chapter_names
from hitchworth.guide.search import other_words, search


@pytest.mark.parametrize(
    ("query", "chapter_name", "heading"),
    [
        ("coinsurance", "policies", "The words"),
        ("salvage", "policies", "Salvage"),
        ("share links", "running", "Share links"),
        ("backup", "running", "Backups, and moving to PostgreSQL"),
        ("LibreOffice", "macros", "LibreOffice"),
        ("total loss", "policies", "Constructive total loss"),
        ("exit code", "command-line", "Exit codes"),
        ("merge patch", "sdk-methods", "Builds"),
        # as a stranger types it
        ("install on windows", "installing", "In a virtual environment"),
        ("pip install hitchworth", "sdk", "The Python client"),
        ("import csv receipts", "receipts", "A spreadsheet of receipts"),
        ("stolen trailer what to do", "after-loss", "After a loss"),
        ("titled as utility trailer insurance", "class", "Class and law"),
        ("agreed value vs actual cash value", "policies", "The words"),
        ("questions to ask my agent", "conversation", "Talking to the insurer"),
        ("letter to insurer", "conversation", "While you talk"),
        ("own labor hours", "questions-and-answers", "Does my own labor count?"),
        ("unknown deductible", "policies", "What is known of a policy"),
        ("docker", "installing", "In a container"),
        ("systemd", "installing", "As a service"),
        ("upgrade", "installing", "Updating"),
        ("uninstall", "installing", "Updating"),
        ("reverse proxy", "running", "Behind a proxy"),
        ("api key", "running", "Keys"),
        ("forgot key", "running", "Keys"),
        ("cors", "running", "Pages of other sites"),
        ("timeout", "sdk", "Settings of the client"),
        ("async", "sdk", "Many at a time"),
        ("pagination", "kept-builds", "Revisions"),
        ("what is a document", "kept-builds", "The document"),
        ("error 422", "problems", "Errors"),
        ("openapi", "api", "The API"),
        ("webhook signature", "webhooks", "Webhooks"),
        ("markup margin", "quotes", "From cost to total"),
        ("change order", "quotes", "Contingency and change orders"),
        ("solar fuse", "figures", "Circuits"),
        ("used parts", "questions-and-answers", "I bought it used and rebuilt it"),
        ("offline", "questions-and-answers", "Does it work offline? Who sees my data?"),
        ("port already in use", "questions-and-answers", "The command is not found, or port 8000 is in use"),
        ("excel", "workbooks", "A workbook"),
        ("serial number", "evidence", "Serial numbers"),
    ],
)
def test_what_is_looked_for_is_among_the_first_three(query: str, chapter_name: str, heading: str) -> None:
    assert (chapter_name, heading) in [(found.chapter, found.heading) for found in search(query)[:3]]


def test_other_words_are_of_sections_that_exist_and_do_not_have_them() -> None:
    """One of the section itself would only make it count twice."""
    places = [(each.chapter, each.heading) for each in other_words()]
    assert len(set(places)) == len(places)
    for each in other_words():
        (place,) = [section for section in chapter(each.chapter).sections if each.heading in ("", section.heading)][:1]
        assert place.heading == each.heading or not each.heading
        assert not set(each.words.split()) <= set(f"{place.heading} {place.text}".lower().split())


@pytest.mark.parametrize(("query", "heading"), [("deductible peril", "Deductibles by peril"), ("migrating", "Backups")])
def test_other_forms_of_a_word_are_found(query: str, heading: str) -> None:
    assert any(heading in found.heading for found in search(query)[:3])


def test_words_of_the_index_are_words_of_a_query() -> None:
    """AND, OR, NOT and NEAR mean something to the index, and nothing to the reader who types them."""
    assert search("NOT salvage") == search("not salvage") != ()
    assert search("limit OR NEAR")


def test_fillers_count_only_where_a_query_has_nothing_else() -> None:
    assert search("what is the deductible for my") == search("deductible") != ()
    assert search("how to") != ()


def test_where_no_section_has_all_words_any_is_enough() -> None:
    """One section names a breakaway device with the coupling; none a xylophone."""
    assert [found.heading for found in search("breakaway coupling")] == ["Towing rules"]
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
