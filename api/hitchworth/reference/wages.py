"""Public wage statistics by trade. A wage is not a rate: a shop asks several times as much."""

from decimal import Decimal
from functools import cache
from typing import Annotated

from msgspec import Meta, Struct

from hitchworth.model.entry import PriceContent
from hitchworth.model.provenance import Provenance
from hitchworth.reference.labor_rates import PostedRate
from hitchworth.reference.load import read


class HourlyWage(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The mean and the percentiles of an hourly wage."""

    mean: Annotated[Decimal, Meta(description="Mean wage for an hour, in the record's currency.")]
    p10: Annotated[Decimal, Meta(description="10 percent earn at most this for an hour, in the record's currency.")]
    p25: Annotated[Decimal, Meta(description="25 percent earn at most this for an hour, in the record's currency.")]
    median: Annotated[Decimal, Meta(description="Half earn at most this for an hour, in the record's currency.")]
    p75: Annotated[Decimal, Meta(description="75 percent earn at most this for an hour, in the record's currency.")]
    p90: Annotated[Decimal, Meta(description="90 percent earn at most this for an hour, in the record's currency.")]


class LoadedRate(Struct, frozen=True, kw_only=True):
    """What an hour costs an employer: the wage with benefits, and with overhead. No profit; it is not a shop's rate."""

    hourly: Annotated[HourlyWage, Meta(description="The loaded rate for an hour, from each figure of the wage.")]
    factor: Annotated[Decimal, Meta(description="How many times the wage it is.")]
    formula: Annotated[str, Meta(description="How it comes about.")]
    includes: Annotated[PriceContent, Meta(description="What it includes: rate_includes of a labor entry with it.")]
    source: Annotated[str, Meta(description="Where the method and its figures are published.")]
    vintage: Annotated[str, Meta(description="Of when the figures of the method are.")]
    provenance: Annotated[Provenance, Meta(description="Where the method comes from.")] = "published"


class Wage(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What employees of one trade are paid, what their hour costs an employer, and what shops post for it."""

    trade: Annotated[str, Meta(description="Stable name of the trade: welder.")]
    code: Annotated[str, Meta(description="Code of the Standard Occupational Classification.")]
    title: Annotated[str, Meta(description="The occupation, as the publisher names it.")]
    jurisdiction: Annotated[str, Meta(description="Where the wages are paid.")]
    currency: Annotated[str, Meta(description="ISO 4217 code of the wages' currency.")]
    hourly: Annotated[HourlyWage, Meta(description="The wage for an hour.")]
    source: Annotated[str, Meta(description="The publisher and the publication.")]
    vintage: Annotated[str, Meta(description="Month and year of the publication.")]
    provenance: Annotated[Provenance, Meta(description="Where the figures come from.")]
    loaded_rate: Annotated[
        LoadedRate | None,
        Meta(
            description="The wage with the employer's costs and the usual overhead. Null: not worked out for this "
            "trade."
        ),
    ] = None
    other_loaded_rates: Annotated[
        tuple[LoadedRate, ...],
        Meta(description="The same without overhead, and with overhead by other published conventions."),
    ] = ()
    posted_rates: Annotated[
        tuple[PostedRate, ...], Meta(description="What shops ask, or insurers pay, for an hour, where it was found.")
    ] = ()
    advice: Annotated[str, Meta(description="How to come to a rate.")] = ""


@cache
def wages() -> tuple[Wage, ...]:
    """Return every trade, in the order of the file."""
    return read("wages.yaml", tuple[Wage, ...])
