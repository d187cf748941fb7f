"""The usual remedies for a mismatch, published or common practice."""

from functools import cache

from msgspec import Struct

from hitchworth.model.assessment import Verdict
from hitchworth.model.provenance import Provenance
from hitchworth.reference.condition import Condition, Element, parse_condition
from hitchworth.reference.load import read


class RemedyEntry(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A remedy, and when it applies: empty `registered` and `built` mean any class."""

    id: str
    jurisdictions: tuple[str, ...]
    route: str
    decided_by: str
    needs: tuple[str, ...]
    source: str
    provenance: Provenance
    caution: str
    verdicts: tuple[Verdict, ...] = ("mismatch",)
    registered: tuple[str, ...] = ()
    built: tuple[str, ...] = ()
    when: Element | None = None
    needs_of_bought_base: tuple[str, ...] = ()
    """Papers that there are only where the trailer was bought and built upon."""
    changes_class: bool = False
    """It ends in another registered class; the result says what that brings."""


@cache
def remedies() -> tuple[tuple[RemedyEntry, Condition | None], ...]:
    """Return every remedy with its parsed condition."""
    entries = read("remedies.yaml", tuple[RemedyEntry, ...])
    return tuple((entry, parse_condition(entry.when) if entry.when else None) for entry in entries)
