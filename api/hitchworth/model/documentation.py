"""What documents the parts of a trailer: receipts, photos and serial numbers, and which of them to find first."""

from datetime import date
from decimal import Decimal
from typing import Annotated, Literal, TypeAlias

from msgspec import Meta, Struct

from hitchworth.model.estimate import LineKind
from hitchworth.model.numbers import RoundedAmount

RecordKind: TypeAlias = Literal["receipt", "photo", "serial_number"]
"""What documents a part.

receipt: a receipt or invoice, as the evidence of its cost or among the kept evidence
photo: a photo among the evidence
serial_number: a serial number on record
"""


class DocumentedShare(Struct, frozen=True, kw_only=True):
    """How much of the parts has one kind of record."""

    record: Annotated[RecordKind, Meta(description="The kind of record.")]
    replacement_cost: Annotated[RoundedAmount, Meta(description="Replacement cost of the parts that have it.")]
    share: Annotated[
        Decimal | None,
        Meta(description="Their share of the replacement cost of all parts, to four places. Null: the parts cost 0."),
    ]
    parts: Annotated[int, Meta(description="How many parts have it.")]


class RecordToFind(Struct, frozen=True, kw_only=True):
    """A record that a part, or a piece of hired work, does not have."""

    line: Annotated[str, Meta(description="Id of the component or labor entry.")]
    kind: Annotated[LineKind, Meta(description="What the line is.")]
    description: Annotated[str, Meta(description="The component's description, or the task of the labor.")]
    record: Annotated[RecordKind, Meta(description="The record that is not there.")]
    replacement_cost: Annotated[
        RoundedAmount, Meta(description="Replacement cost of the line: what it would document.")
    ]
    on_record: Annotated[tuple[RecordKind, ...], Meta(description="What the line has.")]


class DocumentationScore(Struct, frozen=True, kw_only=True):
    """How well the parts of a trailer are documented on a date, by money."""

    as_of: Annotated[date, Meta(description="The valuation date.")]
    currency: Annotated[str, Meta(description="The build's currency, ISO 4217; every amount is in it.")]
    replacement_cost: Annotated[RoundedAmount, Meta(description="Replacement cost of the parts in the trailer.")]
    parts: Annotated[int, Meta(description="How many parts are in the trailer.")]
    shares: Annotated[tuple[DocumentedShare, ...], Meta(description="Receipts, photos, serial numbers.")]
    records: Annotated[
        tuple[RecordToFind, ...],
        Meta(
            description="The ten records most worth finding first: those of the lines that cost most to replace. A "
            "photo is asked for where neither a receipt nor a number shows that the thing was there, a serial number "
            "of things that usually carry one (`numbered` of GET /v1/schedules), and of labor only the invoice of "
            "hired work."
        ),
    ]
    missing: Annotated[int, Meta(description="How many such records there are in all.")]
    kind_not_stated: Annotated[
        int,
        Meta(
            description="Files of evidence of these lines whose kind nobody stated: they count as neither receipt nor "
            "photo."
        ),
    ]
