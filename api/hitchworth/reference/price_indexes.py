"""Published price indexes, month by month, each with its source and the vintage of the figures."""

from collections.abc import Iterable
from decimal import Decimal
from functools import cache
from typing import NamedTuple

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


class MonthlyValues(NamedTuple):
    """The values of a price index by month, in the order of the months."""

    months: tuple[str, ...]
    values: tuple[Decimal, ...]


@cache
def price_indexes() -> dict[str, PriceIndex]:
    """Every series by its name."""
    return {series.name: series for series in read("price_indexes.yaml", tuple[PriceIndex, ...])}


def price_index_named(name: str) -> PriceIndex | None:
    """The series of this name; None when there is none."""
    return price_indexes().get(name)


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
