"""The register of serial numbers: what bears a number, where, and what shows it; and numbers that were looked up."""

from datetime import date
from decimal import Decimal
from typing import Annotated, Literal, TypeAlias

from msgspec import Meta, Struct

from hitchworth.model.access import Instant
from hitchworth.model.evidence import EvidenceKind, EvidenceMediaType, Sha256
from hitchworth.model.kept import BuildId
from hitchworth.model.strings import ShortText

NumberKind: TypeAlias = Literal["identification_number", "serial_number", "model_number"]
"""What kind of number it is.

identification_number: the identification number (VIN) of the trailer
serial_number: the serial number of one thing
model_number: the maker's model number, which all things of the model have
"""

NumberMatch: TypeAlias = Literal["exact", "forgiven"]
"""How a number that was looked up is like one on record.

exact: the same characters
forgiven: the same but for what `forgiven` names
"""

Forgiven: TypeAlias = Literal["spacing", "letter_case", "look_alikes"]
"""How two numbers may differ and still be found.

spacing: spaces and dashes
letter_case: capital and small letters
look_alikes: the letter O for the digit 0, the letters I and l for the digit 1
"""

SearchedNumber = Annotated[
    ShortText, Meta(description="The number, as it is read on the thing.", examples=["1HTCH-OOOO-AB-OOOO17"])
]


class NumberEvidence(Struct, frozen=True, kw_only=True):
    """A photo or paper of the document that shows a number, or the thing that bears it."""

    id: Annotated[str, Meta(description="Its id.")]
    sha256: Sha256
    media_type: Annotated[EvidenceMediaType, Meta(description="The kind of file.")]
    file_name: Annotated[str | None, Meta(description="Name of the file as it was added. Null: not known.")]
    kind: Annotated[EvidenceKind | None, Meta(description="What the file is. Null: not stated.")]


class RegisterEntry(Struct, frozen=True, kw_only=True):
    """The trailer, or a part in it, with its numbers."""

    component: Annotated[str | None, Meta(description="Id of the component. Null: the trailer as a whole.")]
    description: Annotated[str, Meta(description="What it is.")]
    quantity: Annotated[Decimal, Meta(description="How many units the line has, in `unit`.")] = Decimal(1)
    unit: Annotated[str, Meta(description="What the quantity counts.")] = "piece"
    identification_number: Annotated[
        str | None, Meta(description="Of the trailer: its identification number (VIN). Null: none on record.")
    ] = None
    serial_number: Annotated[str | None, Meta(description="Its serial number. Null: not on record.")] = None
    model_number: Annotated[str | None, Meta(description="Maker's model number. Null: not on record.")] = None
    number_location: Annotated[
        str | None, Meta(description="Where the numbers are stamped or labeled. Null: not on record.")
    ] = None
    acquired_on: Annotated[date | None, Meta(description="Day of purchase. Null: the trailer as a whole.")] = None
    supplier: Annotated[str | None, Meta(description="Who sold it. Null: not on record.")] = None
    shown_by: Annotated[
        tuple[NumberEvidence, ...],
        Meta(description="What shows the number: evidence of `number:` and the id, or of the identification plate."),
    ] = ()
    photos: Annotated[
        tuple[NumberEvidence, ...],
        Meta(description="Photos of the thing, which need not show the number."),
    ] = ()


class UnnumberedPart(Struct, frozen=True, kw_only=True):
    """A part without a serial number on record, of a kind that usually carries one."""

    component: Annotated[str, Meta(description="Id of the component.")]
    description: Annotated[str, Meta(description="What it is.")]


class SerialNumberRegister(Struct, frozen=True, kw_only=True):
    """The numbers of a trailer and of the parts in it on a day: for the police and the insurer."""

    as_of: Annotated[date, Meta(description="The day.")]
    name: Annotated[str, Meta(description="Name of the build.")]
    items: Annotated[
        tuple[RegisterEntry, ...],
        Meta(description="The trailer first, then each part with a number, or with evidence that shows one."),
    ]
    without_number: Annotated[int, Meta(description="How many parts in the trailer are not listed.")]
    unnumbered: Annotated[
        tuple[UnnumberedPart, ...],
        Meta(
            description="Those without a serial number on record whose schedule or category is of things that usually "
            "carry one (`numbered` of GET /v1/schedules)."
        ),
    ]


class FoundNumber(Struct, frozen=True, kw_only=True):
    """A number on record that is like the one that was looked up."""

    build: Annotated[BuildId | None, Meta(description="Id of the build. Null: it is not kept.")] = None
    name: Annotated[str, Meta(description="Name of the build.")]
    revision: Annotated[int | None, Meta(description="Its present revision. Null: it is not kept.")] = None
    trashed_at: Annotated[Instant | None, Meta(description="Since when it is in the trash. Null: it is not.")] = None
    component: Annotated[str | None, Meta(description="Id of the component. Null: the trailer as a whole.")]
    description: Annotated[str, Meta(description="What bears the number.")]
    removed_on: Annotated[date | None, Meta(description="Since when it is out of the trailer. Null: it is in it.")]
    kind: Annotated[NumberKind, Meta(description="What kind of number it is.")]
    number: Annotated[str, Meta(description="The number as it is on record.")]
    match: Annotated[NumberMatch, Meta(description="How it is like the one that was looked up.")]
    forgiven: Annotated[tuple[Forgiven, ...], Meta(description="In what the two differ. Empty: in nothing.")]
    text: Annotated[str, Meta(description="The same in words, in the language of the locale.")] = ""


class NumberSearch(Struct, frozen=True, kw_only=True):
    """What was found for a number."""

    number: Annotated[str, Meta(description="The number that was looked up.")]
    locale: Annotated[str, Meta(description="Locale of the texts: the one requested, or the nearest available.")]
    items: Annotated[
        tuple[FoundNumber, ...],
        Meta(description="The numbers on record that are like it, the exact ones first. Empty: none is."),
    ]
    is_complete: Annotated[
        bool, Meta(description="Whether `items` has everything that is like it. False: there is more than fits.")
    ] = True
    unread: Annotated[
        tuple[BuildId, ...],
        Meta(description="Kept builds that were not looked at: their document has been altered and cannot be read."),
    ] = ()
    caution: Annotated[str, Meta(description="What equal characters do not say, in the language of the locale.")] = ""
