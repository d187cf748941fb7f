"""A photo without its date, its place and its camera: what is stored beside the pixels is left out.

The pixels of JPEG, PNG and WebP stay as they are, to the bit; how the picture is to be turned stays, too. A HEIC file
holds all of it in one structure, so a JPEG is made of it. A PDF is handed over as it is: it has no camera.
"""

from collections.abc import Iterator
from io import BytesIO
from struct import pack, unpack
from typing import IO
from zlib import crc32

from PIL import ExifTags, Image

from hitchworth.evidence.pictures import MAX_PIXELS, UnacceptableFileError, bare_jpeg, opened_picture, orientation
from hitchworth.model.evidence import EvidenceMediaType

_START, _END, _SCAN = 0xD8, 0xD9, 0xDA
_APP0, _APP1, _APP2, _APP14 = 0xE0, 0xE1, 0xE2, 0xEE
_DECODING = (0x01, *range(0xC0, 0xE0))
"""Frames, tables, scans and restart marks (ITU-T T.81, B.1.1.3)."""
_WITHOUT_LENGTH = (0x01, *range(0xD0, 0xD8))
_COLORS, _ADOBE = b"ICC_PROFILE\0", b"Adobe"
_JFIF, _JFIF_LENGTH = b"JFIF\0", 16
"""The length without a thumbnail, whose sides are the last two bytes (ITU-T T.871, 10.1)."""

_PNG = b"\x89PNG\r\n\x1a\n"
_PNG_KEPT = (
    *(b"IHDR", b"PLTE", b"tRNS", b"IDAT", b"IEND"),
    *(b"gAMA", b"cHRM", b"sRGB", b"iCCP", b"cICP", b"sBIT", b"bKGD", b"pHYs"),
)
_WEBP_KEPT = (b"VP8 ", b"VP8L", b"VP8X", b"ALPH", b"ICCP")
_WEBP_EXIF_FLAG, _WEBP_XMP_FLAG = 0x08, 0x04


def stripped(
    file: IO[bytes], media_type: EvidenceMediaType, max_pixels: int = MAX_PIXELS
) -> tuple[bytes, EvidenceMediaType]:
    """Return a file without what is stored beside the picture, and what it is now. Raises UnacceptableFileError."""
    file.seek(0)
    content = file.read()
    match media_type:
        case "application/pdf":
            return content, media_type
        case "image/heic":
            return bare_jpeg(file, max_pixels), "image/jpeg"
    with opened_picture(file, max_pixels) as picture:
        turned = orientation(picture)
    try:
        match media_type:
            case "image/jpeg":
                return b"".join(_jpeg(content, turned)), media_type
            case "image/png":
                return b"".join(_png(content, turned)), media_type
            case _:
                return _webp(content, turned), media_type
    except (IndexError, ValueError):
        raise UnacceptableFileError("The picture is broken or cut off") from None


def _exif(turned: int) -> bytes:
    """Return EXIF with nothing but how the picture is to be turned."""
    exif = Image.Exif()
    exif[ExifTags.Base.Orientation] = turned
    return exif.tobytes()


def _jpeg(content: bytes, turned: int) -> Iterator[bytes]:
    """Yield the segments that the picture needs, up to its end: further pictures behind it are left out."""
    yield content[:2]
    if turned != 1:
        exif = _exif(turned)
        yield pack(">BBH", 0xFF, _APP1, len(exif) + 2) + exif
    place = 2
    while True:
        place = content.index(0xFF, place)
        while content[place + 1] == 0xFF:  # fill bytes
            place += 1
        marker = content[place + 1]
        if marker == _END:
            yield content[place : place + 2]
            return
        end = place + 2
        if marker not in _WITHOUT_LENGTH:
            end += int.from_bytes(content[place + 2 : place + 4])
        if marker == _SCAN:
            end = _end_of_scan(content, end)
        start = content[place + 4 : place + 4 + len(_COLORS)]
        if marker == _APP0:
            yield from _jfif(content[place:end])
        elif _is_needed(marker, start):
            yield content[place:end]
        place = end


def _jfif(segment: bytes) -> Iterator[bytes]:
    """Yield a segment of JFIF without its thumbnail: not the extension of it, which is nothing but one."""
    if segment[4:].startswith(_JFIF) and len(segment) >= 2 + _JFIF_LENGTH:
        yield segment[:2] + pack(">H", _JFIF_LENGTH) + segment[4:_JFIF_LENGTH] + b"\0\0"


def _is_needed(marker: int, start: bytes) -> bool:
    """Return whether a segment says how the picture is decoded: not what an application or a person added."""
    if marker == _APP2:
        return start == _COLORS
    if marker == _APP14:
        return start.startswith(_ADOBE)
    return marker in _DECODING


def _end_of_scan(content: bytes, place: int) -> int:
    """Return where the next segment begins: 0xFF in a scan is followed by 0 or by a restart mark."""
    while True:
        place = content.index(0xFF, place)
        if content[place + 1] not in (0x00, 0xFF, *_WITHOUT_LENGTH):
            return place
        place += 1 if content[place + 1] == 0xFF else 2


def _png(content: bytes, turned: int) -> Iterator[bytes]:
    """Yield the chunks that say how the picture is shown; how it is to be turned goes before the pixels."""
    yield _PNG
    place = len(_PNG)
    told = turned == 1
    while place < len(content):
        size, kind = unpack(">I4s", content[place : place + 8].ljust(8, b"\0"))
        end = place + 12 + size
        if kind == b"IDAT" and not told:
            exif = b"eXIf" + _exif(turned).removeprefix(b"Exif\0\0")
            yield pack(">I", len(exif) - 4) + exif + pack(">I", crc32(exif))
            told = True
        if kind in _PNG_KEPT:
            yield content[place:end]
        if kind == b"IEND":
            return
        place = end


def _webp(content: bytes, turned: int) -> bytes:
    """Return the chunks of the picture alone, with flags that say what there is."""
    kept = BytesIO()
    exif = b"" if turned == 1 else _exif(turned).removeprefix(b"Exif\0\0")
    place = 12
    while place + 8 <= len(content):
        kind, size = unpack("<4sI", content[place : place + 8])
        end = place + 8 + size + size % 2
        chunk = bytearray(content[place:end])
        if kind == b"VP8X":
            chunk[8] = chunk[8] & ~(_WEBP_EXIF_FLAG | _WEBP_XMP_FLAG) | (_WEBP_EXIF_FLAG if exif else 0)
        if kind in _WEBP_KEPT:
            kept.write(chunk)
        place = end
    if exif:  # only a file of the extended format has any
        kept.write(pack("<4sI", b"EXIF", len(exif)) + exif + b"\0" * (len(exif) % 2))
    chunks = kept.getvalue()
    return pack("<4sI4s", b"RIFF", len(chunks) + 4, b"WEBP") + chunks
