"""Text read in pictures by the program of the extra `ocr`, on plates that are drawn here."""

from io import BytesIO

import pytest

from camera_photos import PDF, picture, plate
from hitchworth.evidence import text_reading
from hitchworth.evidence.pictures import UnacceptableFileError
from hitchworth.evidence.text_reading import NoTextReaderError, read_text

LINES = ("TRAILER MFD BY EXAMPLE WORKS", "VIN 1M8GDM9AXKP042788", "GVWR 1361 KG")
MAX_PIXELS = 10_000_000


@pytest.mark.parametrize("orientation", [1, 6])
def test_the_lines_of_a_plate_are_read_from_top_to_bottom(orientation: int) -> None:
    """Letter by letter what was drawn; a plate on its side is turned upright first."""
    lines = read_text(BytesIO(plate(*LINES, orientation=orientation)), MAX_PIXELS)
    assert [line.text for line in lines] == list(LINES)
    assert all(0.8 < line.confidence <= 1 for line in lines)


def test_places_are_those_of_the_whole_picture() -> None:
    """The lines were drawn 100 pixels apart, from 60 pixels on, before the plate was turned by 2.5 degrees: then the
    first is at least 50 pixels down, and they are still 100 apart but for the height of the letters."""
    first, second, third = read_text(BytesIO(plate(*LINES)), MAX_PIXELS)
    for upper, lower in [(first, second), (second, third)]:
        middles = [line.top + line.height / 2 for line in (upper, lower)]
        assert 70 < middles[1] - middles[0] < 130
    assert 40 < first.left < 120
    assert first.width > 600


def test_a_large_picture_is_read_smaller_and_its_places_are_not(monkeypatch: pytest.MonkeyPatch) -> None:
    whole = read_text(BytesIO(plate(*LINES)), MAX_PIXELS)
    monkeypatch.setattr(text_reading, "MAX_SIDE", 700)
    for line, same in zip(read_text(BytesIO(plate(*LINES)), MAX_PIXELS), whole, strict=True):
        assert abs(line.left - same.left) < 30
        assert abs(line.width - same.width) < 60


def test_a_picture_without_text_has_no_lines() -> None:
    saved = BytesIO()
    picture().save(saved, "PNG")
    assert read_text(saved, MAX_PIXELS) == ()


@pytest.mark.parametrize(("content", "max_pixels"), [(PDF, MAX_PIXELS), (b"", MAX_PIXELS), (plate("A 1"), 1000)])
def test_what_is_no_picture_or_too_large_is_refused(content: bytes, max_pixels: int) -> None:
    with pytest.raises(UnacceptableFileError):
        read_text(BytesIO(content), max_pixels)


def test_without_the_extra_it_is_said_which_one_to_install(monkeypatch: pytest.MonkeyPatch) -> None:
    def missing(name: str) -> None:
        raise ModuleNotFoundError(name)

    text_reading._reader.cache_clear()
    monkeypatch.setattr(text_reading, "import_module", missing)
    with pytest.raises(NoTextReaderError, match=r"install hitchworth\[ocr\]"):
        read_text(BytesIO(plate("A 1")), MAX_PIXELS)
