"""The plausible answers to the terms of a policy that may be unknown, with their sources."""

from functools import cache
from typing import Literal

from msgspec import Struct

from hitchworth.reference.load import read


class PlausibleTerm(Struct, frozen=True, forbid_unknown_fields=True):
    """One term and its plausible answers, the least favourable to the insured first."""

    term: str
    values: tuple[bool | str, ...]
    source: str
    mark: Literal["found", "memory", "common_practice"]


@cache
def plausible_terms() -> tuple[PlausibleTerm, ...]:
    """Every term that a policy may leave open."""
    return read("plausible_terms.yaml", tuple[PlausibleTerm, ...])
