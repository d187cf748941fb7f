"""What a file is, by its content: its name and what its sender says of it do not count.

A picture is refused by its size in pixels before it is unpacked, and then unpacked once, so that one that is broken or
cut off is refused as well. A PDF is not opened: only its beginning and its end are looked at.
"""

from datetime import datetime
from typing import IO, Any

from msgspec import Struct
from PIL import ExifTags, Image

from hitchworth.evidence.pictures import (
    MAX_PIXELS,
    MEDIA_TYPES,
    UnacceptableFileError,
    is_sideways,
    opened_picture,
    unpacking,
)
from hitchworth.model.evidence import EvidenceMediaType, Place

_PDF, _PDF_END = b"%PDF-", b"%%EOF"
_PDF_TAIL_BYTES = 2048
"""Where the end mark of a PDF is looked for: some writers add bytes after it."""

_TIMES = (
    (ExifTags.Base.DateTimeOriginal, ExifTags.Base.OffsetTimeOriginal),
    (ExifTags.Base.DateTimeDigitized, ExifTags.Base.OffsetTimeDigitized),
)


class Recognized(Struct, frozen=True, kw_only=True):
    """What a file says of itself."""

    media_type: EvidenceMediaType
    width: int | None = None
    height: int | None = None
    taken_at: str | None = None
    place: Place | None = None


def recognize(file: IO[bytes], max_pixels: int) -> Recognized:
    """Return what a file is. Raises UnacceptableFileError with the reason when it is none that is taken."""
    file.seek(0)
    start = file.read(len(_PDF))
    if not start:
        raise UnacceptableFileError("The file is empty")
    return _pdf(file) if start.startswith(_PDF) else _picture(file, max_pixels)


def media_type_of(file: IO[bytes]) -> EvidenceMediaType:
    """Return what a file is by its beginning, without unpacking it. Raises UnacceptableFileError when it is none."""
    file.seek(0)
    if file.read(len(_PDF)) == _PDF:
        return "application/pdf"
    with opened_picture(file, MAX_PIXELS) as picture:
        return MEDIA_TYPES[picture.format or ""]


def _pdf(file: IO[bytes]) -> Recognized:
    size = file.seek(0, 2)
    file.seek(max(0, size - _PDF_TAIL_BYTES))
    if _PDF_END not in file.read():
        raise UnacceptableFileError("The PDF is cut off: it has no end")
    return Recognized(media_type="application/pdf")


def _picture(file: IO[bytes], max_pixels: int) -> Recognized:
    with opened_picture(file, max_pixels) as picture:
        width, height = picture.size
        exif = _exif(picture)
        with unpacking():
            picture.draft(None, (1, 1))  # a JPEG is read whole all the same, and eight times smaller
            picture.load()
        if is_sideways(picture):
            width, height = height, width
        return Recognized(
            media_type=MEDIA_TYPES[picture.format or ""],
            width=width,
            height=height,
            taken_at=_taken_at(exif),
            place=_place(exif),
        )


def _exif(picture: Image.Image) -> dict[int, dict[int, Any]]:
    """Return the two parts of EXIF that are read, by their number; what cannot be read is not known."""
    try:
        exif = picture.getexif()
        return {part: dict(exif.get_ifd(part)) for part in (ExifTags.IFD.Exif, ExifTags.IFD.GPSInfo)}
    except Exception:  # what cameras and programs write there fails in many ways, and is no reason to refuse a photo
        return {}


def _taken_at(exif: dict[int, dict[int, Any]]) -> str | None:
    """Return when a photo was taken, by the clock of the camera; with the offset from UTC where it is stored."""
    stored = exif.get(ExifTags.IFD.Exif, {})
    for time_tag, offset_tag in _TIMES:
        try:
            time = datetime.strptime(str(stored.get(time_tag, "")).strip("\0 "), "%Y:%m:%d %H:%M:%S")  # noqa: DTZ007
        except ValueError:
            continue
        text = time.isoformat()
        try:
            return datetime.fromisoformat(text + str(stored.get(offset_tag, "")).strip("\0 ")).isoformat()
        except ValueError:
            return text
    return None


def _place(exif: dict[int, dict[int, Any]]) -> Place | None:
    """Return where a photo was taken. Zero and zero is what a camera without a fix stores."""
    stored = exif.get(ExifTags.IFD.GPSInfo, {})
    latitude = _degrees(stored.get(ExifTags.GPS.GPSLatitude), stored.get(ExifTags.GPS.GPSLatitudeRef), "S")
    longitude = _degrees(stored.get(ExifTags.GPS.GPSLongitude), stored.get(ExifTags.GPS.GPSLongitudeRef), "W")
    if latitude is None or longitude is None or (latitude, longitude) == (0, 0):
        return None
    if not (-90 <= latitude <= 90 and -180 <= longitude <= 180):  # also refuses what is no number
        return None
    return Place(latitude=latitude, longitude=longitude)


def _degrees(parts: Any, reference: Any, below_zero: str) -> float | None:
    """Return degrees, minutes and seconds as degrees, to about a tenth of a meter."""
    try:
        degrees, minutes, seconds = (float(part) for part in parts)
        found = round(degrees + minutes / 60 + seconds / 3600, 6)
    except (TypeError, ValueError, ZeroDivisionError, OverflowError):
        return None
    return -found if str(reference).strip("\0 ").upper() == below_zero else found
