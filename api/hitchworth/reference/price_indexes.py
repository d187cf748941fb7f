"""Published price indexes, month by month, each with its source and the vintage of the figures."""

from collections.abc import Iterable
from decimal import Decimal
from functools import cache
from typing import Annotated, NamedTuple

from msgspec import Meta, Struct

from hitchworth.model.build import IndexMonth
from hitchworth.model.provenance import Provenance
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


class MonthlyValues(NamedTuple):
    """The values of a price index by month, in the order of the months."""

    months: tuple[str, ...]
    values: tuple[Decimal, ...]


@cache
def price_indexes() -> dict[str, PriceIndex]:
    """Every series by its name."""
    return {series.name: series for series in read("price_indexes.yaml", tuple[PriceIndex, ...])}


def published_values(name: str) -> MonthlyValues | None:
    """Return the values of the published series of this name; None when there is none."""
    return _published_values().get(name)


def monthly_values(rows: Iterable[IndexMonth]) -> MonthlyValues:
    """Return the rows in the order of their months, without values of 0, which are no price level."""
    known = {row.month: row.value for row in rows if row.value}
    months = tuple(sorted(known))
    return MonthlyValues(months, tuple(known[month] for month in months))


@cache
def _published_values() -> dict[str, MonthlyValues]:
    """Sorted once a process: every estimate reads them."""
    return {name: monthly_values(series.months) for name, series in price_indexes().items()}
