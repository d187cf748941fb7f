"""What a file is, by its content, and what the camera stored in it."""

from io import BytesIO
from typing import Any

import pytest
from PIL import Image, ImageFile

from camera_photos import LATITUDE, LONGITUDE, PDF, exif, photo, picture
from hitchworth.evidence.pictures import UnacceptableFileError
from hitchworth.evidence.recognition import Recognized, recognize
from hitchworth.model.evidence import Place

LIMIT = 1_000_000


def recognized(content: bytes, limit: int = LIMIT) -> Recognized:
    return recognize(BytesIO(content), limit)


def refused(content: bytes, limit: int = LIMIT) -> str:
    with pytest.raises(UnacceptableFileError) as raised:
        recognized(content, limit)
    return str(raised.value)


@pytest.mark.parametrize(
    ("form", "media_type"),
    [("JPEG", "image/jpeg"), ("PNG", "image/png"), ("WEBP", "image/webp"), ("HEIF", "image/heic")],
)
def test_a_photo_of_each_format_with_its_date_and_place(form: str, media_type: str) -> None:
    assert recognized(photo(form)) == Recognized(
        media_type=media_type,  # type: ignore[arg-type]
        width=96,
        height=64,
        taken_at="2026-05-01T14:03:20-07:00",
        place=Place(latitude=LATITUDE, longitude=LONGITUDE),
    )


@pytest.mark.parametrize("form", ["JPEG", "PNG", "WEBP"])
@pytest.mark.parametrize(("turned", "size"), [(3, (96, 64)), (6, (64, 96)), (8, (64, 96))])
def test_width_and_height_are_those_of_the_upright_picture(form: str, turned: int, size: tuple[int, int]) -> None:
    found = recognized(photo(form, orientation=turned))
    assert (found.width, found.height) == size


def test_a_photo_on_its_side_of_an_iphone() -> None:
    """Of a HEIC file, the structure says how it is turned, and the opener has turned it."""
    found = recognized(photo("HEIF", orientation=6))
    assert (found.width, found.height) == (64, 96)


def test_a_pdf_is_looked_at_and_not_opened() -> None:
    assert recognized(PDF) == Recognized(media_type="application/pdf")
    assert recognized(PDF + b"\n" * 2000).media_type == "application/pdf"
    assert "cut off" in refused(PDF[:-7])
    assert "cut off" in refused(PDF + b" " * 3000)


def test_a_further_picture_behind_the_first_makes_no_other_format() -> None:
    """Phones store a small picture or a depth map behind the photo."""
    saved = BytesIO()
    picture().save(saved, "MPO", save_all=True, append_images=[picture(1)], exif=exif().tobytes())
    found = recognized(saved.getvalue())
    assert (found.media_type, found.width, found.taken_at) == ("image/jpeg", 96, "2026-05-01T14:03:20-07:00")


@pytest.mark.parametrize(
    ("stored", "taken"),
    [
        ({"offset": ""}, "2026-05-01T14:03:20"),
        ({"offset": "later"}, "2026-05-01T14:03:20"),
        ({"offset": "Z"}, "2026-05-01T14:03:20+00:00"),
        ({"taken": "0000:00:00 00:00:00"}, None),
        ({"taken": "2026:02:30 10:00:00"}, None),
        ({"taken": "    :  :     :  :  "}, None),
    ],
)
def test_a_date_that_is_none_is_not_known(stored: dict[str, Any], taken: str | None) -> None:
    assert recognized(photo(**stored)).taken_at == taken


def place_of(latitude: tuple[object, ...], longitude: tuple[object, ...], sides: str = "NW") -> Place | None:
    stored = exif()
    stored.get_ifd(0x8825).update({1: sides[0], 2: latitude, 3: sides[1], 4: longitude})
    saved = BytesIO()
    picture().save(saved, "JPEG", exif=stored.tobytes())
    return recognized(saved.getvalue()).place


def test_a_place_that_is_none_is_not_known() -> None:
    assert place_of((0, 0, 0), (0, 0, 0)) is None  # no fix
    assert place_of((91, 0, 0), (10, 0, 0)) is None
    assert place_of((10, 0, 0), (181, 0, 0)) is None
    assert place_of((90, 0, 0), (180, 0, 0)) == Place(latitude=90, longitude=-180)
    assert place_of((91, 0, 0), (10, 0, 0), "SE") is None
    assert place_of((10, 0, 0), (181, 0, 0), "SE") is None
    assert place_of((90, 0, 0), (180, 0, 0), "SE") == Place(latitude=-90, longitude=180)
    assert place_of((10, 30), (10, 30)) is None  # no seconds
    assert recognized(photo(place=False)).place is None


def test_broken_exif_is_no_reason_to_refuse_a_photo() -> None:
    saved = BytesIO()
    picture().save(saved, "JPEG", exif=b"Exif\0\0II*\0\xff\xff\xff\x7f" + b"\xff" * 40)
    assert recognized(saved.getvalue()) == Recognized(media_type="image/jpeg", width=96, height=64)


@pytest.mark.parametrize(
    "content",
    [b"<html><script>alert(1)</script></html>", b"GIF89a" + b"\0" * 40, b"MZ" + b"\0" * 100, b"PK\3\4" + b"\0" * 40],
)
def test_another_file_is_refused(content: bytes) -> None:
    assert refused(content) == "The file is neither a photo nor a PDF"


def test_an_empty_file_is_refused() -> None:
    assert refused(b"") == "The file is empty"


@pytest.mark.parametrize("form", ["JPEG", "PNG", "WEBP", "HEIF"])
def test_a_photo_that_is_cut_off_is_refused(form: str) -> None:
    whole = photo(form, size=(640, 480))
    for share in (0.3, 0.6, 0.9):
        assert "cut off" in refused(whole[: int(len(whole) * share)]) or "neither" in refused(whole[:40])


@pytest.mark.parametrize("form", ["PNG", "WEBP"])
def test_an_animation_is_refused(form: str) -> None:
    saved = BytesIO()
    picture().save(saved, form, save_all=True, append_images=[picture().rotate(180)])
    assert refused(saved.getvalue()) == "The picture is an animation"


def test_too_many_pixels_are_refused_before_they_are_unpacked(monkeypatch: pytest.MonkeyPatch) -> None:
    """200 megapixels of one color are a PNG of some hundred kilobytes."""
    saved = BytesIO()
    Image.new("1", (20_000, 10_000)).save(saved, "PNG")
    bomb = saved.getvalue()
    assert len(bomb) < 100_000

    def never(_: object) -> None:
        raise AssertionError("it is unpacked")

    monkeypatch.setattr(ImageFile.ImageFile, "load", never)
    assert "64,000,000" in refused(bomb, limit=64_000_000)
    assert refused(photo(), limit=96 * 64 - 1) == "The picture has 6,144 pixels; the limit is 6,143"
