"""The words by which tables are read and categories are proposed."""

from collections import Counter

import pytest

from hitchworth.reference.category_groups import known_categories
from hitchworth.reference.receipt_words import (
    LANGUAGES,
    Language,
    category_words,
    extra_kind,
    fields_named,
    proposed_category,
    receipt_words,
    row_role,
)
from hitchworth.reference.words import words_of
from hitchworth.workbooks.layout import known_fields


def test_every_file_says_that_it_is_common_practice() -> None:
    assert receipt_words().provenance == "common_practice"


def test_every_header_names_its_own_field_and_no_other() -> None:
    for entry in receipt_words().columns:
        assert entry.field in known_fields(entry.of), entry.field
        for phrase in entry.phrases:
            exact = [named.name for named in fields_named(phrase, entry.of) if named.is_exact]
            assert exact[0] == entry.field or (entry.field, exact) == ("unit", ["quantity", "unit"]), phrase


def test_every_word_of_a_row_says_what_the_row_is() -> None:
    for entry in receipt_words().rows:
        for phrase in entry.phrases:
            assert row_role(phrase) == entry.role, phrase


@pytest.mark.parametrize(
    ("text", "role"),
    [
        ("Sub-total Feb", "total"),
        ("Total Feb", "total"),
        ("Page total", "total"),
        ("Zwischensumme März 2026", "total"),
        ("Carriage", "freight"),
        ("Postage & packing", "freight"),
    ],
)
def test_what_stands_beside_the_word_of_a_row(text: str, role: str) -> None:
    assert row_role(text) == role


def test_every_category_is_known_and_has_words_in_every_language() -> None:
    assert {entry.category for entry in category_words()} <= known_categories()
    for entry in category_words():
        assert all(getattr(entry, language) for language in LANGUAGES), entry.category
    names = Counter(entry.category for entry in category_words())
    assert set(names.values()) == {1}


def test_no_phrase_shows_two_categories_in_one_language() -> None:
    for language in LANGUAGES:
        shown = Counter(
            tuple(sorted(words_of(phrase))) for entry in category_words() for phrase in set(getattr(entry, language))
        )
        assert [phrase for phrase, count in shown.items() if count > 1] == []


def test_every_phrase_alone_shows_its_category() -> None:
    for entry in category_words():
        for language in LANGUAGES:
            for phrase in getattr(entry, language):
                named = proposed_category(phrase, language)
                assert named is not None, phrase
                assert named.name == entry.category, phrase


@pytest.mark.parametrize(
    ("description", "language", "category", "is_exact"),
    [
        ("Piano hinge for galley hatch", "en", "fasteners", True),  # what follows "for" is another thing
        ("Vinyl lamp window", "en", "windows", False),  # the last word is the thing
        ("Ventana cortina lámpara", "es", "curtains", False),  # a window with a curtain is none; in Spanish the first
        ("LED tail light kit", "en", "road_lights", True),
        ("Fire extinguisher", "en", "fire_extinguisher", True),
        ("(new) fridge", "en", "refrigerator", True),
        ("Battery cable", "en", "wiring", True),
        ("Jockey wheel and clamp", "en", "jack", True),  # British: the clamp holds it, and locks nothing
    ],
)
def test_of_several_things_the_one_that_is_meant(
    description: str, language: str, category: str, is_exact: bool
) -> None:
    named = proposed_category(description, language)  # type: ignore[arg-type]
    assert named is not None
    assert (named.name, named.is_exact) == (category, is_exact)


@pytest.mark.parametrize("description", ["Widget", "", "Part 12345", "Shipping"])
def test_what_shows_nothing_stays_not_known(description: str) -> None:
    assert proposed_category(description) is None


@pytest.mark.parametrize(
    "text",
    ["Shipping lamp", "Carriage bolts M8", "Total station tripod", "Tax guide book", "Delivery van mattress", ""],
)
def test_a_purchase_is_no_total_and_no_tax(text: str) -> None:
    assert row_role(text) is None


@pytest.mark.parametrize(
    ("description", "language", "category"),
    [
        ("100W panel rigid", "en", "solar_panels"),
        ("panel of birch", "en", "body_panels"),
        ("door hinge stainless + lock", "en", "fasteners"),
        ("door lock", "en", "security"),
        ("Roulotte à fibre, plancher 4x8 usagé", "fr", "chassis"),
        ("plancher 4x8", "fr", "floor"),
    ],
)
def test_words_beside_others_show_what_is_meant(description: str, language: Language, category: str) -> None:
    named = proposed_category(description, language)
    assert named is not None
    assert named.name == category


@pytest.mark.parametrize("description", ["fish and chips", "Poutine + liqueurs", "Brotzeit Helfer", "lunch w/ dave"])
def test_food_is_known_in_every_language(description: str) -> None:
    assert extra_kind(description) == "food"
