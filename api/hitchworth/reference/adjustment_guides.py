"""How far a comparable may be adjusted before it is a poor comparable."""

from decimal import Decimal
from functools import cache
from typing import Literal

from msgspec import Struct

from hitchworth.reference.load import read


class AdjustmentGuides(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The usual maximum of the adjustments, as shares of the price: net with their signs, gross without."""

    net: Decimal
    gross: Decimal
    provenance: Literal["common_practice"]


@cache
def adjustment_guides() -> AdjustmentGuides:
    """Return the guides."""
    return read("adjustment_guides.yaml", AdjustmentGuides)
