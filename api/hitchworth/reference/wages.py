"""Public wage statistics by trade: what to choose an hourly rate from, where no shop has been asked."""

from decimal import Decimal
from functools import cache
from typing import Annotated

from msgspec import Meta, Struct

from hitchworth.model.assessment import Provenance
from hitchworth.reference.load import read


class HourlyWage(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The mean, and what so many percent of the hands earn at most."""

    mean: Decimal
    p10: Decimal
    p25: Decimal
    median: Decimal
    p75: Decimal
    p90: Decimal


class Wage(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What the hands of one trade are paid. A shop's rate also carries its overhead and profit."""

    trade: str
    code: Annotated[str, Meta(description="Of the Standard Occupational Classification.")]
    title: str
    jurisdiction: str
    currency: str
    hourly: HourlyWage
    source: str
    vintage: str
    provenance: Provenance


@cache
def wages() -> tuple[Wage, ...]:
    """Every trade, in the order of the file."""
    return read("wages.yaml", tuple[Wage, ...])
