"""The numbers of the contract. A field states in its type which decimals it admits.

`checks` enforces it, the API document prints it. Amounts are decimals from wire to wire: JSON text ("12.50") and JSON
numbers (12.5) are both read exactly; answers are always text.
"""

from decimal import Decimal
from typing import Annotated

from msgspec import Meta, Struct

SIGNIFICANT_DIGITS = 21
"""More digits than this are no measurement and no price; products of two such numbers still are exact at 50 digits."""


class Bounds(Struct, frozen=True):
    """The least and the greatest value that a decimal field admits, both included."""

    least: Decimal
    greatest: Decimal


def bounded(greatest: int) -> Meta:
    """Mark a decimal as lying between zero and a power of ten.

    For `checks` by `extra`, for readers of the API document by its JSON Schema. Texts are read kindly: with spaces
    around the number, a plus before it and underscores between its digits.
    """
    digits = len(str(greatest)) - 1  # greatest is a power of ten
    below = f"[0-9](_?[0-9]){{0,{digits - 1}}}" if digits else "0"
    text = f"^ *[+]?({below}(\\.[0-9]{{1,12}})?|{greatest}(\\.0{{1,11}})?) *$"
    return Meta(
        extra={"bounds": Bounds(Decimal(0), Decimal(greatest))},
        extra_json_schema={
            "type": ["string", "number"],
            "format": "decimal",
            "pattern": text,
            "minimum": 0,
            "maximum": greatest,
        },
    )


Amount = Annotated[Decimal, bounded(10**9)]
"""Money in the currency that the record names."""

Quantity = Annotated[Decimal, bounded(10**6)]
"""How many or how much, in the unit that the record names."""

Years = Annotated[Decimal, bounded(1000)]

Days = Annotated[int, Meta(ge=0, le=3650)]

Share = Annotated[Decimal, bounded(1)]
"""A part of a whole: 0.25 is a quarter."""

Rate = Annotated[Decimal, bounded(100)]
"""A rate on a base: 0.0875 is 8.75 percent."""

Amps = Annotated[Decimal, bounded(1000)]

Gauge = Annotated[int, Meta(ge=-3, le=40)]
"""American wire gauge: 0 is 1/0, -1 is 2/0, -2 is 3/0, -3 is 4/0."""

Volts = Annotated[Decimal, bounded(100)]
"""Low voltage only: nothing here is for line voltage."""

Length = Annotated[Decimal, bounded(1000)]
"""Meters."""

Area = Annotated[Decimal, bounded(1000)]
"""Square millimeters of a conductor."""

Whole = Annotated[int, Meta(ge=-(10**12), le=10**12)]
"""A whole number that no field of its own describes: the value of a fact or of an answer."""

Real = Annotated[float, Meta(ge=-1e12, le=1e12)]
"""A number that no field of its own describes."""
