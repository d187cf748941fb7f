"""An identification number: what can be read from it, and what it can't tell."""

from typing import Annotated, Literal, TypeAlias

from msgspec import Meta, Struct

from hitchworth.model.note import Note

NumberShape: TypeAlias = Literal["standard", "other"]


class CheckDigit(Struct, frozen=True, kw_only=True):
    """The ninth character, computed from the other sixteen."""

    found: str
    computed: str
    holds: bool
    required: Annotated[
        bool, Meta(description="A duty in North America; elsewhere the ninth place is free, and this only a hint.")
    ]


class IdentificationNumber(Struct, frozen=True, kw_only=True):
    """The number on plate and document, read place by place. Remarks warn; a number is never refused."""

    number: str
    shape: Annotated[NumberShape, Meta(description="standard: seventeen characters of the alphabet without I, O, Q.")]
    check_digit: CheckDigit | None
    region: Annotated[str, Meta(description="By its first characters; empty when not known.")]
    model_years: Annotated[
        tuple[int, ...], Meta(description="What the tenth place may mean; the code comes again after thirty years.")
    ]
    small_manufacturer: Annotated[bool, Meta(description="A maker of few vehicles: 9 in the third place.")]
    notes: tuple[Note, ...]
