"""Pictures of kept evidence beside the lines that they show: small, and no more than a report can carry."""

from collections.abc import Iterable
from io import BytesIO
from typing import NamedTuple

from hitchworth.model.evidence import Evidence
from hitchworth.reports.content import AnyBlock, Paragraph, Thumbnail
from hitchworth.reports.context import ReportContext

MAX_PICTURES = 60
MAX_BYTES = 4_000_000
"""The most that the pictures of one report come to: a file that can be mailed."""

SMALL, LEGIBLE = 160, 480
"""Pixels of the longer side: enough to know a thing again, and to read a number."""

SIDE_MM = {SMALL: 24, LEGIBLE: 48}
"""How long the longer side of a picture is on paper, by its pixels."""


class Pictured(NamedTuple):
    """The pictures of a report, by the id of the evidence, and what is said of those that are not in it."""

    thumbnails: dict[str, Thumbnail]
    remarks: tuple[AnyBlock, ...]


class Wanted(NamedTuple):
    """Evidence to print, and what its picture shows, in words."""

    evidence: Evidence
    description: str
    side: int
    """Pixels of its longer side, one of SIDE_MM."""


def pictured(context: ReportContext, wanted: Iterable[Wanted]) -> Pictured:
    """Return the pictures that fit, in the order in which they are wanted, each file once.

    Without kept evidence there are none, and nothing is said of them.
    """
    found: dict[str, Thumbnail] = {}
    if context.picture_of is None:
        return Pictured(found, ())
    too_many, unreadable, size = 0, 0, 0
    once: dict[str, Wanted] = {}
    for each in wanted:
        if is_picture(each.evidence):
            once.setdefault(each.evidence.id, each)
    for each in once.values():
        if len(found) >= MAX_PICTURES or size >= MAX_BYTES:
            too_many += 1
            continue
        data = context.picture_of(each.evidence, each.side)
        if data is None:
            unreadable += 1
        elif size + len(data) > MAX_BYTES:
            too_many += 1
        else:
            size += len(data)
            found[each.evidence.id] = _thumbnail(data, each.description, SIDE_MM[each.side])
    counts = {"pictures_left_out": too_many, "pictures_unreadable": unreadable}
    remarks = (Paragraph(context.format(text, count=str(n)), small=True) for text, n in counts.items() if n)
    return Pictured(found, tuple(remarks))


def is_picture(evidence: Evidence) -> bool:
    """Return whether a file is a picture, and no PDF."""
    return evidence.media_type != "application/pdf"


def _thumbnail(data: bytes, description: str, side_mm: int) -> Thumbnail:
    from PIL import Image  # noqa: PLC0415  (most reports have no pictures)

    with Image.open(BytesIO(data), formats=("JPEG",)) as picture:
        width, height = picture.size
    longer = max(width, height)
    return Thumbnail(
        data=data,
        description=description,
        width_mm=round(side_mm * width / longer, 1),
        height_mm=round(side_mm * height / longer, 1),
    )
