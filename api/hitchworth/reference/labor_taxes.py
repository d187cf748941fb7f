"""Whether a state taxes what a shop charges for labor."""

from functools import cache

from msgspec import Struct

from hitchworth.model.assessment import Provenance
from hitchworth.reference.load import read


class LaborTax(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What one state taxes; null: not known here."""

    jurisdiction: str
    general_tax: bool = True
    """Whether the state has a general sales tax."""
    fabrication: bool | None = None
    """Whether labor that makes a new thing is taxed."""
    repair: bool | None = None
    """Whether labor that restores a thing is taxed."""
    source: str
    provenance: Provenance


@cache
def labor_taxes() -> dict[str, LaborTax]:
    """Return the rows by jurisdiction."""
    return {row.jurisdiction: row for row in read("labor_taxes.yaml", tuple[LaborTax, ...])}
