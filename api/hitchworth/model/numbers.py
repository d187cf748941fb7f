"""The numbers of the API. The type of a field says which decimals it admits.

`validation` enforces the bounds, the API description prints them. Amounts are decimals from wire to wire: JSON text
("12.50") and JSON numbers (12.5) are both read exactly; answers are always text.
"""

from decimal import Decimal
from typing import Annotated

from msgspec import Meta, Struct

SIGNIFICANT_DIGITS = 21
"""More digits than this are not a measurement or a price. The product of two such numbers is exact at 50 digits."""

NOTE = "x-note"
"""The key of what a shared type adds to the description of each of its fields."""


class Bounds(Struct, frozen=True):
    """The least and the greatest value that a decimal field admits, both included.

    Below zero it admits a number only in a record whose field `below_zero_with` is not null.
    """

    least: Decimal
    greatest: Decimal
    below_zero_with: str = ""


def noted(note: str) -> Meta:
    """Mark a type with a sentence that the API description prints after the description of each of its fields."""
    return Meta(extra_json_schema={NOTE: note})


def bounded(greatest: int, *, below_zero_with: str = "") -> Meta:
    """Mark a decimal as between zero and a power of ten; where another field is given, down to the opposite of that.

    `validation` reads the bounds from `extra`, readers of the API description from the JSON Schema. Text may have
    spaces around the number, a plus sign before it and underscores between its digits.
    """
    digits = len(str(greatest)) - 1  # greatest is a power of ten
    below = f"[0-9](_?[0-9]){{0,{digits - 1}}}" if digits else "0"
    sign, least = ("[+-]", -greatest) if below_zero_with else ("[+]", 0)
    text = f"^ *{sign}?({below}(\\.[0-9]{{1,12}})?|{greatest}(\\.0{{1,11}})?) *$"
    return Meta(
        extra={"bounds": Bounds(Decimal(least), Decimal(greatest), below_zero_with)},
        extra_json_schema={
            "type": ["string", "number"],
            "format": "decimal",
            "pattern": text,
            "minimum": least,
            "maximum": greatest,
        },
    )


Amount = Annotated[Decimal, bounded(10**9)]
"""Money in a request, in the currency that the field names."""

RoundedAmount = Annotated[Decimal, noted("In the build's currency, rounded to its minor unit.")]
"""Money in an answer."""

SignedAmount = Annotated[Decimal, bounded(10**9, below_zero_with="refund_of")]
"""Money on a line that may be a refund, in the currency that the field names."""

SignedQuantity = Annotated[Decimal, bounded(10**6, below_zero_with="refund_of")]
"""How many on a line that may be a refund, in the unit that the field names."""

Quantity = Annotated[Decimal, bounded(10**6)]
"""How many or how much, in the unit that the field names."""

Years = Annotated[Decimal, bounded(1000), noted("In years.")]

Days = Annotated[int, Meta(ge=0, le=3650)]

Share = Annotated[Decimal, bounded(1), noted("A share: 0.25 is 25 percent.")]
"""A part of a whole."""

Coefficient = Annotated[Decimal, bounded(1)]
"""A number from 0 to 1 that is no part of a whole: a correlation."""

Rate = Annotated[Decimal, bounded(100), noted("A rate: 0.0875 is 8.75 percent.")]
"""A rate on a base; unlike a share it may be more than 1."""

Multiple = Annotated[Decimal, bounded(100)]
"""How many times something else, which the field names: 2 is twice as much."""

Amps = Annotated[Decimal, bounded(1000), noted("In amperes.")]

FaultAmps = Annotated[Decimal, bounded(10**6), noted("In amperes.")]
"""The current of a short circuit."""

Gauge = Annotated[int, Meta(ge=-3, le=40)]
"""American wire gauge: 0 is 1/0, -1 is 2/0, -2 is 3/0, -3 is 4/0."""

InsulationClass = Annotated[int, Meta(ge=60, le=200)]
"""The temperature class of a conductor's insulation, in degrees Celsius."""

Volts = Annotated[Decimal, bounded(100), noted("In volts.")]
"""Low voltage only: nothing here is for line voltage."""

Length = Annotated[Decimal, bounded(1000), noted("In meters.")]

Area = Annotated[Decimal, bounded(1000), noted("In square millimeters.")]
"""The cross-section of a conductor."""

ModelYear = Annotated[int, Meta(ge=1900, le=2200)]
"""The year that a title or registration gives for a vehicle."""

Whole = Annotated[int, Meta(ge=-(10**12), le=10**12)]
"""A whole number that no field of its own describes: the value of a fact or of an answer."""

Real = Annotated[float, Meta(ge=-1e12, le=1e12)]
"""A number that no field of its own describes."""
