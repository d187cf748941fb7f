"""The words before a number on plates and labels."""

from functools import cache

from hitchworth.model.serial_numbers import NumberKind
from hitchworth.reference.load import read


@cache
def plate_labels() -> dict[NumberKind, tuple[str, ...]]:
    """Return the words of each kind of number, as they are written on plates."""
    return read("plate_labels.yaml", dict[NumberKind, tuple[str, ...]])
