"""How far a figure may be off, by the grade of its evidence."""

from functools import cache
from typing import Literal

from msgspec import Struct

from hitchworth.model.entry import RateEvidence
from hitchworth.reference.load import read


class EvidenceRange(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The range around a stated figure, in whole percent of it."""

    below: int
    above: int
    provenance: Literal["published", "common_practice"]
    source: str = ""


class _Ranges(Struct, frozen=True, forbid_unknown_fields=True):
    ranges: dict[RateEvidence, EvidenceRange]


@cache
def evidence_ranges() -> dict[RateEvidence, EvidenceRange]:
    """Return the range of each grade of evidence; only a rate can be a guess."""
    return read("evidence_ranges.yaml", _Ranges).ranges
