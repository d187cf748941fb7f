"""An identification number (VIN): what can be read from it, and what it cannot tell."""

from typing import Annotated, Literal, TypeAlias

from msgspec import Meta, Struct

from hitchworth.model.note import Note

VinShape: TypeAlias = Literal["standard", "other"]
"""The form of an identification number.

standard: seventeen letters and digits, without I, O and Q (ISO 3779)
other: any other form, such as a number that an authority gave to a home-built trailer
"""


class CheckDigit(Struct, frozen=True, kw_only=True):
    """The ninth character, computed from the other sixteen (49 CFR 565.15)."""

    found: Annotated[str, Meta(description="The ninth character as given.")]
    computed: Annotated[str, Meta(description="The character that the other sixteen give: 0 to 9, or X.")]
    holds: Annotated[bool, Meta(description="Whether the two are the same.")]
    required: Annotated[
        bool,
        Meta(
            description="A check digit is required in North America. False: the place is free, so this is only a hint."
        ),
    ]


class VinCheck(Struct, frozen=True, kw_only=True):
    """The number on identification plate and title, read place by place. Notes warn; a number is never refused."""

    number: Annotated[str, Meta(description="The number as compared: capital letters, no spaces.")]
    shape: Annotated[VinShape, Meta(description="Whether it has the form of the standard.")]
    check_digit: Annotated[
        CheckDigit | None, Meta(description="Null where the number does not have the form of the standard.")
    ]
    region: Annotated[str, Meta(description="The maker's region, by the first characters; empty when not known.")]
    model_years: Annotated[
        tuple[int, ...],
        Meta(description="The years that the tenth character may stand for; its codes repeat after thirty years."),
    ]
    small_manufacturer: Annotated[bool, Meta(description="The third character is 9: a maker of few vehicles a year.")]
    notes: Annotated[tuple[Note, ...], Meta(description="What is unusual about the number, and what it cannot tell.")]
    suggested_from: Annotated[
        str | None,
        Meta(
            description="Id of the part of the base whose serial number this is: the build has no VIN, and this has "
            "the shape of one. A suggestion to confirm, not the VIN. Null: the VIN as given."
        ),
    ] = None
