"""The plausible answers to the terms of a policy that may be unknown, with their sources."""

from typing import Literal

from msgspec import Struct

from hitchworth.reference.load import read


class PlausibleTerm(Struct, frozen=True, forbid_unknown_fields=True):
    """One term and its plausible answers, the least favourable to the insured first."""

    term: str
    values: tuple[bool | str, ...]
    source: str
    mark: Literal["found", "memory", "common_practice"]


PLAUSIBLE_TERMS: tuple[PlausibleTerm, ...] = read("plausible_terms.yaml", tuple[PlausibleTerm, ...])
"""Every term that a policy may leave open."""

BY_NAME = {term.term: term for term in PLAUSIBLE_TERMS}
