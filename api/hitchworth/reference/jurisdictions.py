"""The jurisdictions whose definitions are here, and to which wider ones each falls back."""

from functools import cache

from msgspec import Struct

from hitchworth.reference.load import read


class JurisdictionEntry(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Where a trailer may be registered. `chain` is nearest first."""

    code: str
    name: str
    chain: tuple[str, ...]
    note: str = ""


@cache
def jurisdictions() -> dict[str, JurisdictionEntry]:
    """Every jurisdiction by its code."""
    return {entry.code: entry for entry in read("jurisdictions.yaml", tuple[JurisdictionEntry, ...])}


def jurisdiction(code: str) -> JurisdictionEntry:
    """The jurisdiction of this code. Raises UnknownJurisdictionError."""
    entry = jurisdictions().get(code)
    if entry is None:
        raise UnknownJurisdictionError(code)
    return entry


class UnknownJurisdictionError(LookupError):
    """A code for which there are no definitions here."""

    def __init__(self, code: str) -> None:
        super().__init__(f"{code}: the jurisdictions are {', '.join(jurisdictions())}")
        self.code = code
