"""Pictures: opened within bounds, turned upright, and made small."""

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from functools import cache
from io import BytesIO
from threading import BoundedSemaphore
from typing import IO

from PIL import ExifTags, Image, ImageOps, UnidentifiedImageError

from hitchworth.model.evidence import EvidenceMediaType

MEDIA_TYPES: Mapping[str, EvidenceMediaType] = {
    "JPEG": "image/jpeg",
    "MPO": "image/jpeg",  # a JPEG with further pictures behind the first, as many phones take them
    "PNG": "image/png",
    "WEBP": "image/webp",
    "HEIF": "image/heic",
}
"""The media type of each format, by the name that Pillow gives it."""

MAX_PIXELS = 150_000_000
"""More are never unpacked, whatever the settings allow: that many take 600 megabytes."""

Image.MAX_IMAGE_PIXELS = None
"""Whoever opens a picture has a bound of its own, looked at before it is unpacked. That of Pillow is lower than the
settings allow, and prints a warning."""

_FORMATS = ("JPEG", "PNG", "WEBP", "HEIF")
_MAY_MOVE = ("PNG", "WEBP")
_SIDEWAYS = (5, 6, 7, 8)
"""The values of EXIF Orientation whose pictures lie on their side."""

_at_once = BoundedSemaphore(2)
"""A picture of 60 megapixels takes 240 megabytes while it is unpacked."""


class UnacceptableFileError(ValueError):
    """A file that is not taken; the message says why."""


@contextmanager
def opened_picture(file: IO[bytes], max_pixels: int) -> Iterator[Image.Image]:
    """Open a picture that is not unpacked yet. Raises UnacceptableFileError, also for what goes wrong inside."""
    try:
        with Image.open(file, formats=_formats()) as picture:
            _require_small(picture.width * picture.height, max_pixels)
            if picture.format in _MAY_MOVE and getattr(picture, "n_frames", 1) > 1:
                raise UnacceptableFileError("The picture is an animation")
            yield picture
    except UnidentifiedImageError:
        raise UnacceptableFileError("The file is neither a photo nor a PDF") from None
    except UnacceptableFileError:
        raise
    except (OSError, SyntaxError, ValueError, RuntimeError, EOFError, IndexError) as error:
        raise UnacceptableFileError("The picture is broken or cut off") from error


@contextmanager
def unpacking() -> Iterator[None]:
    """Wait until few pictures are unpacked at the same time."""
    with _at_once:
        yield


def thumbnail(file: IO[bytes], side: int, max_pixels: int = MAX_PIXELS) -> bytes:
    """Return a picture as an upright JPEG whose longer side has at most so many pixels, without date and place.

    The same file gives the same bytes. Raises UnacceptableFileError when it is no picture.
    """
    with opened_picture(file, max_pixels) as picture, unpacking():
        picture.draft("RGB", (side, side))
        small = picture.convert("RGBA") if picture.mode == "P" else picture
        small.thumbnail((side, side))
        upright = on_white(ImageOps.exif_transpose(small))
        return _jpeg(upright, quality=85)


def bare_jpeg(file: IO[bytes], max_pixels: int = MAX_PIXELS) -> bytes:
    """Return a picture at its full size as an upright JPEG, without date and place. Raises UnacceptableFileError."""
    with opened_picture(file, max_pixels) as picture, unpacking():
        return _jpeg(on_white(ImageOps.exif_transpose(picture)), quality=95)


def on_white(picture: Image.Image) -> Image.Image:
    """Return a picture without transparency: what is clear is the white of the paper."""
    if not picture.has_transparency_data:
        return picture.convert("RGB")
    clear = picture.convert("RGBA")
    paper = Image.new("RGBA", clear.size, "white")
    return Image.alpha_composite(paper, clear).convert("RGB")


def orientation(picture: Image.Image) -> int:
    """Return how a picture is to be turned: EXIF Orientation, 1 for upright, which is also what is not stored."""
    try:
        stored = picture.getexif().get(ExifTags.Base.Orientation, 1)
    except Exception:  # as in recognition: what is stored there fails in many ways
        return 1
    return stored if stored in range(1, 9) else 1


def is_sideways(picture: Image.Image) -> bool:
    """Return whether width and height change places when the picture is turned upright."""
    return orientation(picture) in _SIDEWAYS


def _jpeg(picture: Image.Image, quality: int) -> bytes:
    saved = BytesIO()
    picture.save(saved, "JPEG", quality=quality)
    return saved.getvalue()


def _require_small(pixels: int, max_pixels: int) -> None:
    if pixels > max_pixels:
        raise UnacceptableFileError(f"The picture has {pixels:,} pixels; the limit is {max_pixels:,}")


@cache
def _formats() -> tuple[str, ...]:
    """Return the formats that are opened, after that of iPhones has been added to them."""
    from pillow_heif import register_heif_opener  # noqa: PLC0415  (it takes its time, and few commands need it)

    register_heif_opener()
    return _FORMATS
