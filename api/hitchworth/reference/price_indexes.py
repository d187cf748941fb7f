"""Published price indexes, month by month, each with its source and the vintage of the figures."""

from functools import cache
from typing import Annotated

from msgspec import Meta, Struct

from hitchworth.model.assessment import Provenance
from hitchworth.model.build import IndexMonth
from hitchworth.reference.load import read


class PriceIndex(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """One series. A month that was not published is left out."""

    name: Annotated[str, Meta(description="Name by which a component or labor entry refers to it.")]
    title: Annotated[str, Meta(description="What it measures.")]
    series: Annotated[str, Meta(description="The publisher's own code of the series.")]
    jurisdiction: Annotated[str, Meta(description="Where the prices are from.")]
    source: Annotated[str, Meta(description="The publisher and the publication.")]
    vintage: Annotated[str, Meta(description="Last month of the publication that the figures are from, YYYY-MM.")]
    suits: Annotated[str, Meta(description="What is usually trended with it, by common practice.")]
    provenance: Annotated[Provenance, Meta(description="Where the figures come from.")]
    months: Annotated[tuple[IndexMonth, ...], Meta(description="The values by month, oldest first.")]


@cache
def price_indexes() -> dict[str, PriceIndex]:
    """Every series by its name."""
    return {series.name: series for series in read("price_indexes.yaml", tuple[PriceIndex, ...])}


def price_index_named(name: str) -> PriceIndex | None:
    """The series of this name; None when there is none."""
    return price_indexes().get(name)
