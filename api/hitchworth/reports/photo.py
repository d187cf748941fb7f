"""A photo for a report: read, made small, and freed of everything but the picture."""

from io import BytesIO

FORMATS = ("JPEG", "PNG", "WEBP")
MAX_PIXELS = 100_000_000
"""A picture with more is refused before it is unpacked: its file may be small and its pixels not."""

_PRINTED = (900, 900)
"""Pixels of the longer side: 300 dots per inch at the width that a report gives to a photo."""


class UnreadablePhotoError(ValueError):
    """A file that is no picture in one of the formats, or too large a one."""


def printable(file: bytes) -> bytes:
    """Return a picture as a JPEG of moderate size, upright, without the date, place and camera that were stored in it.

    The same file gives the same bytes. Raises UnreadablePhotoError with what is wrong.
    """
    from PIL import Image, ImageOps, UnidentifiedImageError  # noqa: PLC0415  (most requests have no photo)

    from hitchworth.evidence.pictures import on_white  # noqa: PLC0415

    try:
        with Image.open(BytesIO(file), formats=FORMATS) as picture:
            if picture.width * picture.height > MAX_PIXELS:
                raise UnreadablePhotoError(f"{picture.width:,} x {picture.height:,} pixels are too many")
            upright = on_white(ImageOps.exif_transpose(picture))
    except UnidentifiedImageError:
        raise UnreadablePhotoError("not a picture") from None
    except (OSError, SyntaxError, ValueError) as error:  # a broken picture ends in one of these
        raise error if isinstance(error, UnreadablePhotoError) else UnreadablePhotoError("a broken picture") from None
    upright.thumbnail(_PRINTED)
    saved = BytesIO()
    upright.save(saved, "JPEG", quality=85)
    return saved.getvalue()
