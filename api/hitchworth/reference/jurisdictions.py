"""Where a trailer may be registered, and the wider jurisdictions to which each one falls back."""

from functools import cache

from msgspec import Struct

from hitchworth.reference.load import read


class JurisdictionEntry(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A jurisdiction. `chain` lists it and the wider ones, nearest first."""

    code: str
    name: str
    chain: tuple[str, ...]
    note: str = ""
    aliases: tuple[str, ...] = ()
    """Further names for it, or for what belongs to it and has no entry of its own."""


@cache
def jurisdictions() -> dict[str, JurisdictionEntry]:
    """Return every jurisdiction by its code."""
    return {entry.code: entry for entry in read("jurisdictions.yaml", tuple[JurisdictionEntry, ...])}


def jurisdiction(code: str) -> JurisdictionEntry:
    """Return the jurisdiction of this code. Raises UnknownJurisdictionError."""
    entry = jurisdictions().get(code)
    if entry is None:
        raise UnknownJurisdictionError(code)
    return entry


class UnknownJurisdictionError(LookupError):
    """A code that is not in the list of jurisdictions."""

    def __init__(self, code: str) -> None:
        super().__init__(f"{code}: the jurisdictions are {', '.join(jurisdictions())}")
        self.code = code
