"""Thumbnails, and photos without what is stored beside the pixels."""

from io import BytesIO
from struct import pack
from typing import Any
from warnings import catch_warnings, simplefilter
from zlib import crc32

import pytest
from PIL import Image, ImageChops, ImageCms
from PIL.PngImagePlugin import PngInfo

from camera_photos import PDF, exif, photo, picture
from hitchworth.evidence.pictures import MAX_PIXELS, UnacceptableFileError, thumbnail
from hitchworth.evidence.recognition import recognize
from hitchworth.evidence.stripping import stripped
from hitchworth.model.evidence import EvidenceMediaType

LIMIT = 1_000_000
FORMS: list[tuple[str, EvidenceMediaType]] = [("JPEG", "image/jpeg"), ("PNG", "image/png"), ("WEBP", "image/webp")]
PRIVATE = (b"Example", b"2026:05:01", b"GPS", b"xmp", b"a secret")


def opened(content: bytes) -> Image.Image:
    return Image.open(BytesIO(content))


def pixels(content: bytes) -> Image.Image:
    return opened(content).convert("RGB")


def is_red(color: Any) -> bool:
    return bool(color[0] > 150 and color[2] < 100)


@pytest.mark.parametrize("form", ["JPEG", "PNG", "WEBP", "HEIF"])
def test_a_thumbnail_is_small_upright_and_bare(form: str) -> None:
    """Orientation 6: to be turned a quarter to the right, so what was left is above."""
    small = opened(thumbnail(BytesIO(photo(form, size=(960, 640), orientation=6)), 160, LIMIT))
    assert (small.format, small.size, small.mode) == ("JPEG", (107, 160), "RGB")
    assert not small.getexif()
    if form != "HEIF":  # its maker has turned the pixels already
        assert is_red(small.getpixel((50, 10)))
        assert not is_red(small.getpixel((50, 150)))


def test_a_thumbnail_is_no_larger_than_the_photo_and_the_same_each_time() -> None:
    content = photo(size=(96, 64))
    first, second = (thumbnail(BytesIO(content), 480, LIMIT) for _ in range(2))
    assert first == second
    assert opened(first).size == (96, 64)


@pytest.mark.parametrize("mode", ["P", "RGBA", "LA", "I;16", "CMYK", "L", "1"])
def test_a_thumbnail_of_every_kind_of_picture(mode: str) -> None:
    saved = BytesIO()
    made = Image.new("I;16", (96, 64)) if mode == "I;16" else picture().convert(mode)
    made.save(saved, "JPEG" if mode == "CMYK" else "PNG")
    assert opened(thumbnail(BytesIO(saved.getvalue()), 48, LIMIT)).size == (48, 32)


def test_a_thumbnail_has_the_mean_of_its_pixels_also_where_they_are_of_a_palette() -> None:
    """Squares of black and white by turns, each of one pixel, are a gray between them."""
    board = Image.new("1", (64, 64))
    board.putdata([(column + row) % 2 * 255 for row in range(64) for column in range(64)])
    saved = BytesIO()
    board.convert("P").save(saved, "PNG")
    assert opened(saved.getvalue()).mode == "P"
    small = pixels(thumbnail(BytesIO(saved.getvalue()), 8, LIMIT)).convert("L")
    shades = [shade for shade, count in enumerate(small.histogram()) if count]
    assert shades[0] > 110
    assert shades[-1] < 145


def test_there_is_no_thumbnail_of_a_pdf() -> None:
    with pytest.raises(UnacceptableFileError):
        thumbnail(BytesIO(PDF), 160, LIMIT)


def with_everything(form: str, turned: int) -> bytes:
    """A photo with EXIF, a color profile and, where the format has them, comments and XMP."""
    told = PngInfo()
    told.add_text("Comment", "a secret")
    told.add_itxt("XML:com.adobe.xmp", "<x:xmpmeta>a secret</x:xmpmeta>")
    more: dict[str, dict[str, Any]] = {
        "JPEG": {"comment": b"a secret", "xmp": b"<x:xmpmeta>a secret</x:xmpmeta>", "progressive": True},
        "PNG": {"pnginfo": told},
        "WEBP": {"xmp": b"<x:xmpmeta>a secret</x:xmpmeta>"},
    }
    profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    saved = BytesIO()
    picture(7, (320, 200)).save(saved, form, exif=exif(turned).tobytes(), icc_profile=profile, **more[form])
    return saved.getvalue()


@pytest.mark.parametrize(("form", "media_type"), FORMS)
def test_a_picture_with_nothing_beside_its_pixels_stays_as_it_is_to_the_byte(
    form: str, media_type: EvidenceMediaType
) -> None:
    saved = BytesIO()
    picture().save(saved, form)
    saved.seek(7)  # wherever it was read to
    assert stripped(saved, media_type, LIMIT) == (saved.getvalue(), media_type)


def test_a_filler_before_the_end_of_a_jpeg_is_read() -> None:
    """Any mark may have fill bytes 0xFF before it (ITU-T T.81, B.1.1.2)."""
    saved = BytesIO()
    picture().save(saved, "JPEG")
    filled = saved.getvalue()[:-2] + b"\xff" + saved.getvalue()[-2:]
    bare, _ = stripped(BytesIO(filled), "image/jpeg", LIMIT)
    assert bare in (filled, saved.getvalue())


def test_a_chunk_of_odd_size_in_a_webp_has_a_byte_behind_it() -> None:
    """RFC 9649, 2.3: a byte of padding that the size does not count."""
    profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    saved = BytesIO()
    picture().save(saved, "WEBP", icc_profile=profile[: len(profile) - 1 + len(profile) % 2])
    assert saved.getvalue()[30:34] == b"ICCP"
    assert saved.getvalue()[34] % 2 == 1
    assert stripped(saved, "image/webp", LIMIT)[0] == saved.getvalue()


@pytest.mark.parametrize("turned", [1, 6])
@pytest.mark.parametrize(("form", "media_type"), FORMS)
def test_what_is_stored_beside_the_pixels_is_gone_and_the_pixels_are_the_same(
    form: str, media_type: EvidenceMediaType, turned: int
) -> None:
    content = with_everything(form, turned)
    assert b"a secret" in content or form == "PNG"
    bare, now = stripped(BytesIO(content), media_type, LIMIT)
    assert now == media_type
    assert [private for private in PRIVATE if private in bare] == []
    assert ImageChops.difference(pixels(content), pixels(bare)).getbbox() is None
    made = opened(bare)
    assert made.format == form
    assert made.info["icc_profile"] == opened(content).info["icc_profile"]
    assert dict(made.getexif()) == ({} if turned == 1 else {0x0112: 6})
    assert made.getexif().get_ifd(0x8825) == {}
    found = recognize(BytesIO(bare), LIMIT)
    assert (found.taken_at, found.place) == (None, None)
    assert (found.width, found.height) == ((320, 200) if turned == 1 else (200, 320))


def chunk(kind: bytes, content: bytes) -> bytes:
    return pack(">I", len(content)) + kind + content + pack(">I", crc32(kind + content))


@pytest.mark.parametrize("kind", [b"caBX", b"prVt", b"tIME", b"zTXt", b"eXIf", b"iTXt"])
def test_a_png_has_no_chunk_but_those_that_show_it(kind: bytes) -> None:
    """caBX: where a picture comes from, with place, date and camera; prVt: what an application has made up."""
    saved = BytesIO()
    picture().save(saved, "PNG", dpi=(300, 300))
    header, rest = saved.getvalue()[:33], saved.getvalue()[33:]
    assert rest.startswith(pack(">I", 9) + b"pHYs")
    told = header + chunk(kind, b"\0\0\0\0a secret place") + rest
    assert stripped(BytesIO(told), "image/png", LIMIT) == (header + rest, "image/png")


def test_a_jpeg_has_no_thumbnail_in_its_head() -> None:
    """JFIF may have one of three bytes a pixel, and its extension (JFXX) one as a JPEG (ITU-T T.871, 10)."""
    saved = BytesIO()
    picture().save(saved, "JPEG", dpi=(300, 300))
    plain = saved.getvalue()
    assert plain[2:11] == b"\xff\xe0\x00\x10JFIF\0"
    inside = b"secret"  # two pixels
    with_one = plain[:4] + pack(">H", 16 + len(inside)) + plain[6:18] + b"\x02\x01" + inside
    extension = b"JFXX\0\x10" + photo(size=(16, 16))
    with_both = with_one + b"\xff\xe0" + pack(">H", 2 + len(extension)) + extension + plain[20:]
    assert Image.open(BytesIO(with_both)).info["dpi"] == (300, 300)
    assert stripped(BytesIO(with_both), "image/jpeg", LIMIT) == (plain, "image/jpeg")


@pytest.mark.parametrize("mark", [b"\xe5", b"\xee", b"\xf7", b"\xfe"])
def test_a_segment_that_decodes_nothing_is_gone(mark: bytes) -> None:
    saved = BytesIO()
    picture().save(saved, "JPEG")
    told = saved.getvalue()[:20] + b"\xff" + mark + b"\x00\x0aa secret" + saved.getvalue()[20:]
    assert stripped(BytesIO(told), "image/jpeg", LIMIT) == (saved.getvalue(), "image/jpeg")


def test_no_warning_is_printed_of_a_large_picture() -> None:
    """Pillow has a bound of its own, 89 million pixels; the warning is an error where it is asked to be."""
    saved = BytesIO()
    Image.new("1", (12_000, 12_000)).save(saved, "PNG")
    with catch_warnings():
        simplefilter("error")
        assert recognize(BytesIO(saved.getvalue()), MAX_PIXELS).width == 12_000
        with pytest.raises(UnacceptableFileError, match="144,000,000 pixels; the limit is 1,000,000"):
            recognize(BytesIO(saved.getvalue()), LIMIT)


def test_pictures_behind_the_first_are_gone() -> None:
    """They have EXIF of their own."""
    saved = BytesIO()
    picture().save(saved, "MPO", save_all=True, append_images=[picture(1)], exif=exif().tobytes())
    bare, _ = stripped(BytesIO(saved.getvalue()), "image/jpeg", LIMIT)
    assert opened(bare).format == "JPEG"
    assert len(bare) < len(saved.getvalue()) * 0.7
    assert b"Example" not in bare
    assert ImageChops.difference(pixels(saved.getvalue()), pixels(bare)).getbbox() is None


def test_heic_becomes_an_upright_jpeg() -> None:
    bare, now = stripped(BytesIO(photo("HEIF", orientation=6)), "image/heic", LIMIT)
    assert now == "image/jpeg"
    assert (opened(bare).size, dict(opened(bare).getexif())) == ((64, 96), {})
    assert [private for private in PRIVATE if private in bare] == []


def test_a_pdf_stays_as_it_is() -> None:
    assert stripped(BytesIO(PDF), "application/pdf", LIMIT) == (PDF, "application/pdf")


def test_a_baseline_photo_with_restart_marks() -> None:
    saved = BytesIO()
    picture().save(saved, "JPEG", restart_marker_rows=1, exif=exif().tobytes())
    bare, _ = stripped(BytesIO(saved.getvalue()), "image/jpeg", LIMIT)
    assert ImageChops.difference(pixels(saved.getvalue()), pixels(bare)).getbbox() is None
    assert b"Example" not in bare
