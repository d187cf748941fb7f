"""A photo of the trailer: read from the formats of cameras, printed upright and without what was stored in it."""

from base64 import b64encode
from io import BytesIO
from pathlib import Path
from zipfile import ZipFile

import msgspec
import pytest
from msgspec.structs import replace
from PIL import Image
from pypdf import PdfReader

from hitchworth.cli import main
from hitchworth.demo import demo_body, demo_request
from hitchworth.model.request import GapRequest
from hitchworth.operations.reports import create_conversation_sheet
from hitchworth.operations.requests import read_request
from hitchworth.reports import docx, html, markdown, pdf, photo
from hitchworth.reports.photo import UnreadablePhotoError, printable
from hitchworth.validation import InvalidInputError

ORIENTATION, GPS = 0x0112, 0x8825
"""Tags of the Exif standard (CIPA DC-008): the camera was turned; the place."""

RED, BLUE = (200, 20, 20), (20, 20, 200)


def picture(kind: str = "JPEG", size: tuple[int, int] = (40, 20), turned: int = 1) -> bytes:
    """A picture whose left half is red and whose right half is blue."""
    image = Image.new("RGB", size, BLUE)
    image.paste(RED, (0, 0, size[0] // 2, size[1]))
    exif = Image.Exif()
    exif[ORIENTATION] = turned
    exif.get_ifd(GPS)[1] = "N"
    saved = BytesIO()
    image.save(saved, kind, exif=exif)
    return saved.getvalue()


def opened(file: bytes) -> Image.Image:
    return Image.open(BytesIO(file))


def is_like(found: object, color: tuple[int, int, int]) -> bool:
    """Whether a pixel has nearly the color: JPEG changes it a little."""
    return isinstance(found, tuple) and all(abs(a - b) < 40 for a, b in zip(found, color, strict=True))


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
def test_a_picture_of_a_camera_becomes_a_jpeg_without_its_place(kind: str) -> None:
    found = opened(printable(picture(kind)))
    assert (found.format, found.size) == ("JPEG", (40, 20))
    assert dict(found.getexif()) == {}
    assert is_like(found.getpixel((2, 10)), RED)
    assert is_like(found.getpixel((37, 10)), BLUE)


def test_it_is_turned_as_the_camera_was() -> None:
    # 6: the top of the picture is its left side, so red comes to the top.
    found = opened(printable(picture(turned=6)))
    assert found.size == (20, 40)
    assert is_like(found.getpixel((10, 2)), RED)


def test_a_large_one_is_made_small() -> None:
    assert opened(printable(picture(size=(3600, 1200)))).size == (900, 300)


def test_the_same_file_gives_the_same_bytes() -> None:
    assert printable(picture()) == printable(picture())


@pytest.mark.parametrize("file", [b"", b"%PDF-1.7", b"GIF89a" + bytes(20), picture()[:200], picture("PNG")[:60]])
def test_what_is_no_picture_is_refused(file: bytes) -> None:
    with pytest.raises(UnreadablePhotoError, match="picture"):
        printable(file)


def test_a_picture_with_too_many_pixels_is_refused_before_it_is_unpacked(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(photo, "MAX_PIXELS", 799)
    with pytest.raises(UnreadablePhotoError, match="40 x 20 pixels are too many"):
        printable(picture())


def test_a_picture_of_200_million_pixels_is_refused_like_any_that_is_too_large() -> None:
    saved = BytesIO()
    Image.new("1", (20_000, 10_000)).save(saved, "PNG")
    with pytest.raises(UnreadablePhotoError, match="20,000 x 10,000 pixels are too many"):
        printable(saved.getvalue())


def body(file: bytes) -> bytes:
    fields = msgspec.json.decode(demo_body())
    return msgspec.json.encode(fields | {"photo": b64encode(file).decode()})


def test_a_file_that_is_no_picture_is_named_in_the_request() -> None:
    with pytest.raises(InvalidInputError) as raised:
        read_request(body(b"a text, not a picture"), GapRequest)
    (fault,) = raised.value.faults
    assert (fault.pointer, fault.found) == ("/photo", "21 bytes")
    assert fault.detail == "The photo cannot be printed: not a picture"
    assert fault.expected.startswith("a JPEG, PNG or WEBP file")


def test_what_is_not_base64_is_a_fault() -> None:
    fields = msgspec.json.decode(demo_body()) | {"photo": "not base64!"}
    with pytest.raises(InvalidInputError) as raised:
        read_request(msgspec.json.encode(fields), GapRequest)
    assert [(fault.pointer, fault.expected) for fault in raised.value.faults] == [
        ("/photo", "a file as text in base64 or null")
    ]


def test_every_format_shows_it() -> None:
    sheet = create_conversation_sheet(replace(demo_request(), photo=picture()))
    encoded = b64encode(printable(picture())).decode()
    assert f'src="data:image/jpeg;base64,{encoded}" alt="Photo of the trailer' in html.render(sheet)
    assert len(PdfReader(BytesIO(pdf.render(sheet))).pages[0].images) == 1
    with ZipFile(BytesIO(docx.render(sheet))) as archive:
        assert len([name for name in archive.namelist() if name.startswith("word/media/")]) == 1
    assert "Standing-height birch camper" in markdown.render(sheet)
    assert len(PdfReader(BytesIO(pdf.render(sheet))).pages) == 4


def test_the_command_line_takes_a_file(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    request, image, sheet = (tmp_path / name for name in ("request.json", "trailer.jpg", "sheet.html"))
    request.write_bytes(demo_body())
    image.write_bytes(picture())
    assert main(["sheet", str(request), "--photo", str(image), "-o", str(sheet)]) == 0
    assert "data:image/jpeg" in sheet.read_text("utf-8")
    image.write_text("no picture")
    assert main(["sheet", str(request), "--photo", str(image), "-o", str(sheet), "--force"]) == 1
    assert "/photo: The photo cannot be printed: not a picture" in capsys.readouterr().err
    assert main(["sheet", str(request), "--photo", str(tmp_path / "none.jpg"), "-o", str(sheet)]) == 2
