"""What can't be true of one trailer at a time."""

from functools import cache

from msgspec import Struct

from hitchworth.reference.load import read


class Contradiction(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Two comparisons that exclude each other, or two facts of which the first is no larger than the second."""

    id: str
    together: tuple[str, ...] = ()
    at_most: tuple[str, ...] = ()


@cache
def contradictions() -> tuple[Contradiction, ...]:
    """Every contradiction that is looked for."""
    return read("contradictions.yaml", tuple[Contradiction, ...])
