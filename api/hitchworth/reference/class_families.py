"""Class words that mean much the same on the documents of different authorities."""

from functools import cache

from msgspec import Struct

from hitchworth.reference.load import read


class ClassFamily(Struct, frozen=True, forbid_unknown_fields=True):
    """The class keys for one kind of use."""

    name: str
    classes: tuple[str, ...]


@cache
def class_families() -> tuple[ClassFamily, ...]:
    """Every family."""
    return read("class_families.yaml", tuple[ClassFamily, ...])
