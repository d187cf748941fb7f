"""The cost of repair from which a damaged trailer counts as a total loss, by jurisdiction."""

from decimal import Decimal
from functools import cache

from msgspec import Struct

from hitchworth.model.assessment import Provenance
from hitchworth.reference.load import read


class TotalLossThreshold(Struct, frozen=True, forbid_unknown_fields=True):
    """A share of the actual cash value, or None for the formula: repair + salvage at or above actual cash value."""

    share: Decimal | None
    source: str
    provenance: Provenance


class _Thresholds(Struct, frozen=True, forbid_unknown_fields=True):
    default: TotalLossThreshold
    by_jurisdiction: dict[str, TotalLossThreshold]


@cache
def _thresholds() -> _Thresholds:
    return read("total_loss_thresholds.yaml", _Thresholds)


def total_loss_threshold(jurisdiction: str | None) -> TotalLossThreshold:
    """Return the rule of the jurisdiction, or the total loss formula when none is known."""
    return _thresholds().by_jurisdiction.get(jurisdiction or "", _thresholds().default)
