"""What can't be true of one trailer at a time."""

from functools import cache

from msgspec import Struct

from hitchworth.reference.condition import Comparison, compare
from hitchworth.reference.load import read


class Contradiction(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Two comparisons that exclude each other, or two facts of which the first is no larger than the second."""

    id: str
    together: tuple[str, ...] = ()
    at_most: tuple[str, ...] = ()


@cache
def contradictions() -> tuple[tuple[Contradiction, tuple[Comparison, ...]], ...]:
    """Every contradiction that is looked for, with its comparisons, parsed."""
    entries = read("contradictions.yaml", tuple[Contradiction, ...])
    return tuple((entry, tuple(map(compare, entry.together))) for entry in entries)
