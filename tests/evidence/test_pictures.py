"""Thumbnails, and photos without what is stored beside the pixels."""

from io import BytesIO
from typing import Any

import pytest
from PIL import Image, ImageChops, ImageCms
from PIL.PngImagePlugin import PngInfo

from camera_photos import PDF, exif, photo, picture
from hitchworth.evidence.pictures import UnacceptableFileError, thumbnail
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
