"""A settlement: what one policy pays for one loss, step by step, and where the rest goes."""

from datetime import date
from decimal import Decimal
from typing import Annotated, Literal, TypeAlias

from msgspec import Meta, Struct, field

from hitchworth.model.note import Note
from hitchworth.model.policy import Basis, Extent

Cause: TypeAlias = Literal[
    "exclusion",
    "class",
    "depreciation",
    "labor_depreciation",
    "market",
    "sublimits",
    "coinsurance",
    "deductible",
    "limit",
    "amount",
    "tax",
]
"""Why a part of the replacement cost is not paid.

`amount`: the agreed value or stated amount is less than the value (negative where an agreed value is more).
`tax`: paid on top of a total loss, so it is negative.
"""


class Step(Struct, frozen=True, kw_only=True):
    """One step of the settlement: what it adds or takes away, and what stands after it."""

    code: str
    amount: Decimal
    running: Decimal
    particulars: dict[str, str] = field(default_factory=dict)
    label: str = ""


class GapPart(Struct, frozen=True, kw_only=True):
    """The part of the gap that one cause makes."""

    cause: Cause
    amount: Decimal
    label: str = ""


class Settlement(Struct, frozen=True, kw_only=True):
    """What one policy pays for one loss. The waterfall's parts add up exactly to the gap."""

    policy: str
    loss: str
    basis: Basis
    peril: str
    extent: Extent
    valued_on: date
    steps: tuple[Step, ...]
    payable_now: Decimal
    recoverable_later: Annotated[Decimal, Meta(description="Held back until the trailer has been replaced.")]
    payable: Decimal
    replacement_cost: Annotated[Decimal, Meta(description="Of what the loss destroyed.")]
    gap: Annotated[Decimal, Meta(description="Replacement cost less payable.")]
    waterfall: tuple[GapPart, ...]
    assumed: Annotated[
        tuple[Note, ...], Meta(description="Terms not known, and the least favourable answer that was assumed.")
    ]
    notes: tuple[Note, ...] = ()


class Settlements(Struct, frozen=True, kw_only=True):
    """Every policy against every loss, in the order in which they were given."""

    settlements: tuple[Settlement, ...]
