"""Standards that a label on a trailer may name, and what each covers."""

from functools import cache

from msgspec import Struct

from hitchworth.model.assessment import Provenance
from hitchworth.reference.load import read


class StandardEntry(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A standard by its number, without edition."""

    name: str
    covers: str
    source: str
    provenance: Provenance


@cache
def standards() -> tuple[StandardEntry, ...]:
    """Every standard."""
    return read("standards.yaml", tuple[StandardEntry, ...])
