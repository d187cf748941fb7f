"""Public wage statistics by trade: a guide to an hourly rate when you have no quote from a shop."""

from decimal import Decimal
from functools import cache
from typing import Annotated

from msgspec import Meta, Struct

from hitchworth.model.assessment import Provenance
from hitchworth.reference.load import read


class HourlyWage(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The mean and the percentiles of an hourly wage."""

    mean: Annotated[Decimal, Meta(description="Mean wage for an hour, in the record's currency.")]
    p10: Annotated[Decimal, Meta(description="10 percent earn at most this for an hour, in the record's currency.")]
    p25: Annotated[Decimal, Meta(description="25 percent earn at most this for an hour, in the record's currency.")]
    median: Annotated[Decimal, Meta(description="Half earn at most this for an hour, in the record's currency.")]
    p75: Annotated[Decimal, Meta(description="75 percent earn at most this for an hour, in the record's currency.")]
    p90: Annotated[Decimal, Meta(description="90 percent earn at most this for an hour, in the record's currency.")]


class Wage(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What employees of one trade are paid. A shop's rate also covers its overhead and profit."""

    trade: Annotated[str, Meta(description="Stable name of the trade: welder.")]
    code: Annotated[str, Meta(description="Code of the Standard Occupational Classification.")]
    title: Annotated[str, Meta(description="The occupation, as the publisher names it.")]
    jurisdiction: Annotated[str, Meta(description="Where the wages are paid.")]
    currency: Annotated[str, Meta(description="ISO 4217 code of the wages' currency.")]
    hourly: Annotated[HourlyWage, Meta(description="The wage for an hour.")]
    source: Annotated[str, Meta(description="The publisher and the publication.")]
    vintage: Annotated[str, Meta(description="Month and year of the publication.")]
    provenance: Annotated[Provenance, Meta(description="Where the figures come from.")]


@cache
def wages() -> tuple[Wage, ...]:
    """Return every trade, in the order of the file."""
    return read("wages.yaml", tuple[Wage, ...])
