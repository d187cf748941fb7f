"""When the law of a place calls a damaged trailer salvage or a total loss: the rule, and what it holds for."""

from decimal import Decimal
from functools import cache
from typing import Literal, TypeAlias

from msgspec import Struct

from hitchworth.model.provenance import Provenance
from hitchworth.reference.load import read

TotalLossRule: TypeAlias = Literal["share", "formula", "insurer"]
"""How the law decides.

share: the repair is compared with a share of the value before the loss
formula: repair plus salvage is compared with the value
insurer: no number in the law; it goes by what the insurer declares
"""

Scope: TypeAlias = Literal["trailers", "vehicles", "motor_vehicles", "not_found"]
"""What the law speaks of.

trailers: its text names them
vehicles: any vehicle
motor_vehicles: motor vehicles, which a trailer may not be
not_found: not seen in what was read
"""


class TotalLossThreshold(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The rule of one place. Most are salvage-title laws, which bind an insurer only as far as the title goes."""

    rule: TotalLossRule
    share: Decimal | None = None
    comparison: Literal["at_least", "above"] = "at_least"
    brand_share: Decimal | None = None
    """The share from which the title is branded, where that comes before a total loss."""
    other_shares: tuple[Decimal, ...] = ()
    """What other sources print."""
    scope: Scope
    family: str | None = None
    """Only for classes of this family (class_families.yaml)."""
    model_years: int | None = None
    """Only up to this age."""
    only_uninsured: bool = False
    """The share holds only for damage that no insurer covers."""
    tax_before_salvage: str | None = None
    """The source that has sales tax on the whole value, before salvage that the insured keeps is deducted."""
    source: str
    provenance: Provenance

    @property
    def shares(self) -> tuple[Decimal, ...]:
        """Every share that a source names, the smallest first."""
        named = (self.share, self.brand_share, *self.other_shares)
        return tuple(sorted({share for share in named if share is not None}))


class TotalLossThresholds(Struct, frozen=True, forbid_unknown_fields=True):
    """The rules by place, and the places whose rule was not looked up."""

    by_place: dict[str, TotalLossThreshold]
    not_looked_up: tuple[str, ...]


@cache
def total_loss_thresholds() -> TotalLossThresholds:
    """Return the data file."""
    return read("total_loss_thresholds.yaml", TotalLossThresholds)


def total_loss_threshold(place: str | None) -> TotalLossThreshold | None:
    """Return the rule of the place; None where it was not looked up."""
    return total_loss_thresholds().by_place.get(place or "")
