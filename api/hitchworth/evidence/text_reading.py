"""The text in a picture, read by a program of the extra `ocr`. Its models come with it; nothing is sent anywhere."""

from functools import cache
from importlib import import_module
from importlib.util import find_spec
from threading import Lock
from typing import IO, Any

from PIL import ImageOps

from hitchworth.evidence.pictures import on_white, opened_picture, unpacking
from hitchworth.extras import MissingExtraError
from hitchworth.model.plate_reading import TextLine

MAX_SIDE = 2400
"""Pixels of the longer side that is read: more makes it slower, and reads no better."""

_one_at_a_time = Lock()
"""A reading takes both cores already."""


class NoTextReaderError(MissingExtraError):
    """The extra `ocr` is not installed."""


def reads_text() -> bool:
    """Return whether the extra `ocr` is installed, without loading it."""
    return find_spec("rapidocr") is not None and find_spec("onnxruntime") is not None


def read_text(file: IO[bytes], max_pixels: int) -> tuple[TextLine, ...]:
    """Return the lines of text in a picture, from top to bottom, with places in pixels of the whole upright picture.

    Raises NoTextReaderError without the extra, UnacceptableFileError when it is no picture.
    """
    reader = _reader()
    with opened_picture(file, max_pixels) as picture, unpacking():
        upright = on_white(ImageOps.exif_transpose(picture))
    scale = max(1.0, max(upright.size) / MAX_SIDE)
    upright.thumbnail((MAX_SIDE, MAX_SIDE))
    with _one_at_a_time:
        found = reader(_pixels(upright))
    if found.txts is None:
        return ()
    read = zip(found.boxes.tolist(), found.txts, found.scores, strict=True)
    lines = (_line(box, text, score, scale) for box, text, score in read if text.strip())
    return tuple(sorted(lines, key=lambda line: (line.top + line.height / 2, line.left)))


def _line(corners: list[list[float]], text: str, score: float, scale: float) -> TextLine:
    across, down = ([max(0, round(corner[axis] * scale)) for corner in corners] for axis in (0, 1))
    return TextLine(
        text=text,
        confidence=round(float(score), 3),
        left=min(across),
        top=min(down),
        width=max(across) - min(across),
        height=max(down) - min(down),
    )


def _pixels(picture: Any) -> Any:
    return import_module("numpy").asarray(picture)


@cache
def _reader() -> Any:
    """Return the program, which takes a second to load. Raises NoTextReaderError."""
    try:
        package = import_module("rapidocr")
    except ImportError:  # also where a library of the system that it needs is missing
        raise NoTextReaderError("the server does not read photos: install hitchworth[ocr]") from None
    return package.RapidOCR(params={"Global.log_level": "error"})
