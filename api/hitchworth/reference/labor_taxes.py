"""Whether a state has a general sales tax, and taxes a repair, where no rule of its own was read (quote_rules)."""

from functools import cache

from msgspec import Struct

from hitchworth.model.provenance import Provenance
from hitchworth.reference.load import read


class LaborTax(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What one state taxes; null: not known here."""

    jurisdiction: str
    general_tax: bool = True
    """Whether the state has a general sales tax."""
    repair: bool | None = None
    """Whether labor that restores a thing is taxed."""
    source: str
    provenance: Provenance


@cache
def labor_taxes() -> dict[str, LaborTax]:
    """Return the rows by jurisdiction."""
    return {row.jurisdiction: row for row in read("labor_taxes.yaml", tuple[LaborTax, ...])}
