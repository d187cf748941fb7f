"""From which cost of repair a damaged trailer counts as a total loss, by place."""

from decimal import Decimal
from functools import cache
from typing import Literal

from msgspec import Struct

from hitchworth.reference.load import read


class TotalLossThreshold(Struct, frozen=True, forbid_unknown_fields=True):
    """A share of the actual cash value, or None for the formula: repair + salvage at or above actual cash value."""

    share: Decimal | None
    source: str
    provenance: Literal["published", "memory", "common_practice"]


class _Thresholds(Struct, frozen=True, forbid_unknown_fields=True):
    default: TotalLossThreshold
    places: dict[str, TotalLossThreshold]


@cache
def _thresholds() -> _Thresholds:
    return read("total_loss_thresholds.yaml", _Thresholds)


def total_loss_threshold(jurisdiction: str | None) -> TotalLossThreshold:
    """The rule of the place; the total loss formula where none is known."""
    return _thresholds().places.get(jurisdiction or "", _thresholds().default)
