"""What a program reads in a photo of a plate, and the numbers that it may be. Proposals: nothing is entered."""

from typing import Annotated, Literal, TypeAlias

from msgspec import Meta, Struct

from hitchworth.model.serial_numbers import Forgiven, NumberKind
from hitchworth.model.vin import VinCheck

NumberClue: TypeAlias = Literal["label", "shape"]
"""Why something that was read is taken for a number.

label: a word before it says so: VIN, Serial No., Model
shape: it has the form of an identification number: seventeen letters and digits
"""

Agreement: TypeAlias = Literal["missing", "exact", "forgiven", "different"]
"""How a number that was read is like the one on record.

missing: none is on record
exact: the same characters
forgiven: the same but for what `forgiven` names
different: another number is on record
"""

_Pixels = Annotated[int, Meta(ge=0, description="A number of pixels of the upright picture.")]


class TextLine(Struct, frozen=True, kw_only=True):
    """A line of text in a picture, and the upright rectangle around it."""

    text: Annotated[str, Meta(description="What was read, character by character; it may be misread.")]
    confidence: Annotated[
        float, Meta(ge=0, le=1, description="How sure the program is of the line: 1 is certain, and seldom true.")
    ]
    left: Annotated[_Pixels, Meta(description="From the left edge of the picture, in pixels.")]
    top: Annotated[_Pixels, Meta(description="From the upper edge of the picture, in pixels.")]
    width: Annotated[_Pixels, Meta(description="From left to right, in pixels.")]
    height: Annotated[_Pixels, Meta(description="From top to bottom, in pixels.")]


class ProposedNumber(Struct, frozen=True, kw_only=True):
    """A number that may stand on the plate, and where in the document it would be entered."""

    kind: Annotated[NumberKind, Meta(description="What kind of number it is.")]
    component: Annotated[str | None, Meta(description="Id of the component that bears it. Null: the trailer.")]
    pointer: Annotated[str, Meta(description="JSON Pointer of the field of the document that would take it.")]
    number: Annotated[
        str,
        Meta(
            description="The number as it would be entered. In an identification number of the standard form O and Q "
            "are read as 0 and I as 1, because it has none of these letters (ISO 3779)."
        ),
    ]
    line: Annotated[int, Meta(ge=0, description="The line where it was read: its place in `lines`, from 0.")]
    clue: Annotated[NumberClue, Meta(description="Why it is taken for a number of this kind.")]
    on_record: Annotated[str | None, Meta(description="What the field has now. Null: nothing.")]
    agreement: Annotated[Agreement, Meta(description="How it is like the number on record.")]
    forgiven: Annotated[tuple[Forgiven, ...], Meta(description="In what it differs from the number on record.")] = ()
    vin_check: Annotated[
        VinCheck | None, Meta(description="An identification number, place by place. Null: another number.")
    ] = None


class PlateReading(Struct, frozen=True, kw_only=True):
    """The lines of a photo and the numbers among them. Nothing of it is in the document."""

    evidence: Annotated[str, Meta(description="Id of the photo.")]
    locale: Annotated[str, Meta(description="Locale of the texts.")]
    lines: Annotated[tuple[TextLine, ...], Meta(description="What was read, from top to bottom.")]
    proposals: Annotated[
        tuple[ProposedNumber, ...],
        Meta(description="The numbers among it, by what the photo is evidence of. Confirm each before it is entered."),
    ]
    caution: Annotated[str, Meta(description="What a reading by a program cannot tell.")] = ""
