"""The English of the source is American: no British spelling in texts, data, documents, docstrings and OpenAPI."""

import pytest

from american_texts import american_names, american_texts, british_words

EXCEPTIONS = {
    ("standards.yaml", "mains"): "title of a standard",
    ("de.yaml", "motorways"): "the roads that the rules of Germany speak of",
    ("towing_rules.yaml", "motorways"): "the roads that the rules of Germany and Great Britain speak of",
    ("category_words.yaml", "aluminium"): "a spelling that an input may have",
    ("category_words.yaml", "gas bottle"): "a word that an input may have",
    ("category_words.yaml", "grey"): "a spelling that an input may have",
    ("units.yaml", "metre"): "a spelling that an input may have",
    ("units.yaml", "metres"): "a spelling that an input may have",
}
"""Where a British spelling is right, and why."""


def test_american_texts_have_no_british_words() -> None:
    found = [(where, word, text[:120]) for where, text in american_texts() for word in british_words(text)]
    assert [each for each in found if each[:2] not in EXCEPTIONS] == []


def test_american_names_have_no_british_words() -> None:
    assert [(where, name) for where, name in american_names() if british_words(name)] == []


def test_every_kind_of_name_is_read() -> None:
    names = set(american_names())
    assert {("facts.yaml", "tire age years"), ("us-co.yaml", "carries property")} <= names
    assert {("openapi", "Gap Statement"), ("openapi", "unit cost")} <= names


def test_every_exception_is_needed() -> None:
    found = {(where, word) for where, text in american_texts() for word in british_words(text)}
    assert set(EXCEPTIONS) <= found


def test_every_kind_of_text_is_read() -> None:
    places = {where for where, _ in american_texts()}
    assert {"texts", "questions.yaml", "README.md", "DEVELOPERS.md", "sdk/README.md", "openapi"} <= places
    assert {"api/hitchworth/reports/html.py", "sdk/hitchworth_sdk/client.py"} <= places


BRITISH_WORDS = [
    *("colour", "labour", "neighbouring", "recognised", "organise", "centre", "catalogue", "labelled", "tyre", "kerb"),
    *("licence", "favourable", "judgement", "analysed", "summarising", "enquiry", "mains", "Behaviour"),
    *("tyres", "litres", "windscreen", "number plates", "mudguard", "worktop"),
]


@pytest.mark.parametrize("word", BRITISH_WORDS)
def test_a_british_word_is_found(word: str) -> None:
    assert british_words(f"One {word} in a text.") == [word]


@pytest.mark.parametrize(
    "text",
    ["Otherwise raise an error; precise, revised and appraised by four of our hours.", "`tyre_age_years` and a_centre"],
)
def test_american_words_and_names_in_code_are_left_alone(text: str) -> None:
    assert british_words(text) == []
