"""Public wage statistics by trade: a guide to an hourly rate when you have no quote from a shop."""

from decimal import Decimal
from functools import cache
from typing import Annotated

from msgspec import Meta, Struct

from hitchworth.model.assessment import Provenance
from hitchworth.reference.load import read


class HourlyWage(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The mean hourly wage, and the percentiles."""

    mean: Decimal
    p10: Decimal
    p25: Decimal
    median: Decimal
    p75: Decimal
    p90: Decimal


class Wage(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What employees in one trade earn. A shop's rate also includes its overhead and profit."""

    trade: str
    code: Annotated[str, Meta(description="In the Standard Occupational Classification.")]
    title: str
    jurisdiction: str
    currency: str
    hourly: HourlyWage
    source: str
    vintage: str
    provenance: Provenance


@cache
def wages() -> tuple[Wage, ...]:
    """Return every trade, in the order of the file."""
    return read("wages.yaml", tuple[Wage, ...])
