"""Groups of categories that a sublimit can name: contents, and custom equipment."""

from functools import cache, lru_cache
from typing import Literal

from msgspec import Struct

from hitchworth.reference.load import read
from hitchworth.reference.schedules import base_categories, library_categories
from hitchworth.reference.words import words_of

CUSTOM_EQUIPMENT = "custom_equipment"
CONTENTS = "contents"
PLAIN_TRAILER = "plain_trailer"
"""The category of a plain trailer of the registered class, where that is settled as one line."""


class CategoryGroup(Struct, frozen=True, forbid_unknown_fields=True):
    """The categories of a group, with the source of the list.

    Their words matter, not their spelling. A category with one of `loose_words` belongs to the group too.
    """

    categories: tuple[str, ...]
    loose_words: tuple[str, ...]
    source: str
    provenance: Literal["common_practice"]


@cache
def category_groups() -> dict[str, CategoryGroup]:
    """Return every group that is defined by a list."""
    return read("category_groups.yaml", dict[str, CategoryGroup])


@cache
def known_categories() -> frozenset[str]:
    """Return every category and group in the reference data."""
    listed = (category for group in category_groups().values() for category in group.categories)
    return library_categories() | {CUSTOM_EQUIPMENT, *category_groups(), *listed}


@lru_cache(maxsize=10_000)
def listed_category(name: str) -> str | None:
    """Return the category in the reference data with the words of the name, or None: road_lights for "Road Lights"."""
    return _categories_by_words().get(frozenset(words_of(name)))


@cache
def _categories_by_words() -> dict[frozenset[str], str]:
    """Of categories with the same words, such as gas_cylinder and gas_cylinders, the first in alphabetical order."""
    return {frozenset(words_of(category)): category for category in sorted(known_categories(), reverse=True)}


def belongs(category: str, name: str) -> bool:
    """Return whether a category is the named one, or belongs to the group of that name."""
    if name == CUSTOM_EQUIPMENT:
        return category != PLAIN_TRAILER and category not in base_categories() and not _is_contents(category)
    return category == name or (name == CONTENTS and _is_contents(category))


@lru_cache(maxsize=10_000)
def _is_contents(category: str) -> bool:
    """Return whether the words of a category are those of a listed one, or one of them says that it is loose."""
    words = frozenset(words_of(category))
    return words in _contents_words() or not words.isdisjoint(category_groups()[CONTENTS].loose_words)


@cache
def _contents_words() -> frozenset[frozenset[str]]:
    return frozenset(frozenset(words_of(category)) for category in category_groups()[CONTENTS].categories)
