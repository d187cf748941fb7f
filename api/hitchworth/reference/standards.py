"""Standards that a label on a trailer may name, and what each one covers."""

from functools import cache

from msgspec import Struct

from hitchworth.model.provenance import Provenance
from hitchworth.reference.load import read


class StandardEntry(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A standard by its number, without its edition."""

    name: str
    covers: str
    source: str
    provenance: Provenance


@cache
def standards() -> tuple[StandardEntry, ...]:
    """Return every standard."""
    return read("standards.yaml", tuple[StandardEntry, ...])
