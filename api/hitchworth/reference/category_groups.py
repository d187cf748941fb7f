"""Groups of categories that a sublimit can name: contents, and custom equipment."""

from functools import cache
from typing import Literal

from msgspec import Struct

from hitchworth.reference.load import read
from hitchworth.reference.schedules import base_categories, library_categories

CUSTOM_EQUIPMENT = "custom_equipment"
CONTENTS = "contents"
PLAIN_TRAILER = "plain_trailer"
"""The category of a plain trailer of the registered class, where that is settled as one line."""


class CategoryGroup(Struct, frozen=True, forbid_unknown_fields=True):
    """The categories of a group, with the source of the list."""

    categories: tuple[str, ...]
    source: str
    provenance: Literal["common_practice"]


@cache
def category_groups() -> dict[str, CategoryGroup]:
    """Return every group that is defined by a list."""
    return read("category_groups.yaml", dict[str, CategoryGroup])


def known_categories() -> frozenset[str]:
    """Return every category and group in the reference data."""
    listed = (category for group in category_groups().values() for category in group.categories)
    return library_categories() | {CUSTOM_EQUIPMENT, *category_groups(), *listed}


def belongs(category: str, name: str) -> bool:
    """Return whether a category is the named one, or belongs to the group of that name."""
    contents = category_groups()[CONTENTS].categories
    if name == CUSTOM_EQUIPMENT:
        return category != PLAIN_TRAILER and category not in base_categories() and category not in contents
    return category == name or (name == CONTENTS and category in contents)
