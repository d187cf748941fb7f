"""How far a comparable may be adjusted before it is little of a comparable."""

from decimal import Decimal
from typing import Literal

from msgspec import Struct

from hitchworth.reference.load import read


class AdjustmentGuides(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The most that adjustments usually come to, as shares of the price: added up with and without regard to sign."""

    net: Decimal
    gross: Decimal
    provenance: Literal["common_practice"]


ADJUSTMENT_GUIDES: AdjustmentGuides = read("adjustment_guides.yaml", AdjustmentGuides)
