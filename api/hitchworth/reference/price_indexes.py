"""Published price indexes, month by month, each with its source and the vintage of the figures."""

from functools import cache

from msgspec import Struct

from hitchworth.model.assessment import Provenance
from hitchworth.model.build import IndexMonth
from hitchworth.reference.load import read


class PriceIndex(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """One series. A month that was not published is left out."""

    name: str
    title: str
    series: str
    """The publisher's own code of the series."""
    jurisdiction: str
    source: str
    vintage: str
    """The last month of the publication from which the figures are."""
    suits: str
    """What is usually trended with it: common practice."""
    provenance: Provenance
    months: tuple[IndexMonth, ...]


@cache
def price_indexes() -> dict[str, PriceIndex]:
    """Every series by its name."""
    return {series.name: series for series in read("price_indexes.yaml", tuple[PriceIndex, ...])}


def price_index_named(name: str) -> PriceIndex | None:
    """The series of this name; None when there is none."""
    return price_indexes().get(name)
