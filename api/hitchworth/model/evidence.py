"""Evidence: the photos and papers of a build, tied to what they prove. A document has them by hash, a store the files.

An entry names its file by SHA-256 of its bytes, so the same document fits a folder, a server and a claim pack, and
nobody can put another picture in the place of one.
"""

from typing import Annotated, Literal, TypeAlias

from msgspec import Meta, Struct

from hitchworth.model.access import Instant
from hitchworth.model.strings import Identifier, ShortText

IDENTIFICATION_PLATE = "identification_plate"
OWNERSHIP = "ownership"
TRAILER = "trailer"
PROTECTION = "protection:"
"""Before the name of a measure: what the evidence of a measure of protection is tied to."""

NUMBER = "number:"
"""Before the id of a component: what a file is tied to that shows the number of the component."""

MAX_EVIDENCE = 2000

EvidenceMediaType: TypeAlias = Literal["image/jpeg", "image/png", "image/heic", "image/webp", "application/pdf"]
"""The files that are taken, as registered with IANA; recognized by their content.

image/jpeg: a JPEG photo
image/png: a PNG picture
image/heic: a HEIC photo, as iPhones take them
image/webp: a WebP picture
application/pdf: a PDF
"""

ThumbnailSize: TypeAlias = Literal["small", "medium", "large"]
"""How large a thumbnail is.

small: at most 160 pixels on the longer side
medium: at most 480 pixels on the longer side
large: at most 1,200 pixels on the longer side
"""

EvidenceKind: TypeAlias = Literal["photo", "receipt", "written_quote", "title", "certificate", "other"]
"""What a file is.

photo: a picture of the thing itself
receipt: a receipt or invoice
written_quote: a written quote of a seller
title: a paper of ownership: title, registration, bill of sale, certificate of origin
certificate: a certificate of an inspection, a weighing or licensed work
other: another paper: a manual, a data sheet, a drawing
"""

Sha256 = Annotated[
    str, Meta(pattern="^[0-9a-f]{64}$", description="SHA-256 of the bytes of the file, in 64 hexadecimal digits.")
]
Subject = Annotated[
    str,
    Meta(
        min_length=1,
        max_length=91,
        description="What it is evidence of: the id of a component or labor entry; `identification_plate`, "
        "`ownership` (the papers of the base) or `trailer` (the whole); `protection:` and the name of a measure; or "
        "`number:` and the id of a component, for what shows its serial number.",
    ),
]
Subjects = Annotated[
    tuple[Subject, ...],
    Meta(max_length=500, description="What it is evidence of; a receipt of several components names each."),
]
Pixels = Annotated[int, Meta(ge=1, le=10**6, description="A number of pixels.")]
CameraTime = Annotated[
    str,
    Meta(
        pattern=r"^[0-9]{4}-[0-9]{2}-[0-9]{2}T[0-9]{2}:[0-9]{2}:[0-9]{2}(Z|[+-][0-9]{2}:[0-9]{2})?$",
        description="A day and a time of day, with an offset from UTC or without.",
    ),
]
FileName = Annotated[
    ShortText | None,
    Meta(
        description="Name of the file as it was added; from a folder with the way to it: kitchen/IMG_0001.jpg. "
        "Null: not known."
    ),
]
Caption = Annotated[ShortText | None, Meta(description="What is to be seen, in your words. Null: nothing said.")]
Kind = Annotated[EvidenceKind | None, Meta(description="What the file is. Null: not stated.")]


class Place(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Where a photo was taken, as the camera stored it (WGS 84)."""

    latitude: Annotated[float, Meta(ge=-90, le=90, description="Degrees north of the equator; south is below zero.")]
    longitude: Annotated[float, Meta(ge=-180, le=180, description="Degrees east of Greenwich; west is below zero.")]


class Evidence(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A photo or paper: its file by hash, what is known of it, and what it is evidence of."""

    id: Annotated[Identifier, Meta(description="Its id; where the server made it, the first 16 digits of its hash.")]
    sha256: Sha256
    media_type: Annotated[EvidenceMediaType, Meta(description="The kind of file, recognized by its content.")]
    size: Annotated[int, Meta(ge=1, le=10**12, description="Bytes of the file.")]
    width: Annotated[Pixels | None, Meta(description="From left to right, upright. Null: no picture.")] = None
    height: Annotated[Pixels | None, Meta(description="From top to bottom, upright. Null: no picture.")] = None
    taken_at: Annotated[
        CameraTime | None,
        Meta(
            description="When the photo was taken, by the clock of the camera: 2026-05-01T14:03:20, with the offset "
            "from UTC where the camera stored one. Null: not stored.",
        ),
    ] = None
    place: Annotated[Place | None, Meta(description="Where the photo was taken. Null: not stored.")] = None
    file_name: FileName = None
    kind: Kind = None
    subjects: Subjects = ()
    caption: Caption = None
    added_by: Annotated[ShortText | None, Meta(description="Who added it. Null: not known.")] = None
    added_at: Annotated[
        Instant | None, Meta(description="When it was added: 2026-11-27T12:00:00Z. Null: not known.")
    ] = None


EvidenceList = Annotated[
    tuple[Evidence, ...],
    Meta(max_length=MAX_EVIDENCE, description="Photos and papers, by hash; the files are kept beside. Default: none."),
]
