"""Photos as a camera takes them: with date, place and the way they are turned, in each format; and a small PDF."""

from io import BytesIO
from pathlib import Path
from typing import Any

from PIL import ExifTags, Image, ImageDraw, ImageFilter, ImageFont
from PIL.TiffImagePlugin import IFDRational
from pillow_heif import register_heif_opener

register_heif_opener()

TAKEN = "2026:05:01 14:03:20"
NORTH, WEST = (47, 36, IFDRational(2232, 100)), (122, 19, IFDRational(5950, 100))
"""47 degrees 36 minutes 22.32 seconds north, 122 degrees 19 minutes 59.50 seconds west."""

LATITUDE, LONGITUDE = 47.606200, -122.333194
"""By hand: 47 + 36/60 + 22.32/3600; -(122 + 19/60 + 59.5/3600), to six places."""

PDF = b"%PDF-1.7\n1 0 obj<</Type/Catalog>>endobj\ntrailer<</Root 1 0 R>>\n%%EOF\n"


def exif(orientation: int = 1, taken: str = TAKEN, offset: str = "-07:00", place: bool = True) -> Image.Exif:
    """EXIF of a telephone."""
    stored = Image.Exif()
    stored[ExifTags.Base.Make] = "Example"
    stored[ExifTags.Base.Orientation] = orientation
    times: dict[int, Any] = {ExifTags.Base.DateTimeOriginal: taken, ExifTags.Base.OffsetTimeOriginal: offset}
    stored.get_ifd(ExifTags.IFD.Exif).update(times)
    if place:
        stored.get_ifd(ExifTags.IFD.GPSInfo).update(
            {
                ExifTags.GPS.GPSLatitudeRef: "N",
                ExifTags.GPS.GPSLatitude: NORTH,
                ExifTags.GPS.GPSLongitudeRef: "W",
                ExifTags.GPS.GPSLongitude: WEST,
            }
        )
    return stored


def picture(number: int = 0, size: tuple[int, int] = (96, 64)) -> Image.Image:
    """A picture of its own for each number: red on the left, blue on the right, a gray of the number below."""
    made = Image.new("RGB", size, (200, 30, 30))
    made.paste((30, 30, 200), (size[0] // 2, 0, size[0], size[1]))
    made.paste((number % 256, 90, 90), (0, size[1] - 8, size[0], size[1]))
    return made


def plate(*lines: str, orientation: int = 1) -> bytes:
    """A photo of a plate, a little askew and blurred, as a telephone takes it; lying on its side by the orientation."""
    made = Image.new("RGB", (1400, 120 + 100 * len(lines)), (176, 178, 180))
    drawing = ImageDraw.Draw(made)
    for place, line in enumerate(lines):
        drawing.text((60, 50 + 100 * place), line, font=ImageFont.load_default(60), fill=(40, 40, 42))
    made = made.rotate(2.5, fillcolor=(120, 118, 115), expand=True, resample=Image.Resampling.BICUBIC)
    made = made.filter(ImageFilter.GaussianBlur(1.4))
    if orientation == 6:  # to be turned a quarter clockwise
        made = made.transpose(Image.Transpose.ROTATE_90)
    saved = BytesIO()
    made.save(saved, "JPEG", quality=70, exif=exif(orientation, place=False))
    return saved.getvalue()


def photo(form: str = "JPEG", number: int = 0, size: tuple[int, int] = (96, 64), **stored: Any) -> bytes:
    """A photo in a format of Pillow: JPEG, PNG, WEBP or HEIF."""
    made, saved = picture(number, size), BytesIO()
    made.info.clear()
    made.save(saved, form, exif=exif(**stored).tobytes(), **({"quality": 90} if form != "PNG" else {}))
    return saved.getvalue()


FORMS = {"JPEG": ".jpg", "PNG": ".png", "WEBP": ".webp", "HEIF": ".heic"}


def folder_of_photos(folder: Path, count: int = 40) -> None:
    """A folder as it comes from a telephone: photos of every format, in folders of a day, all different."""
    for number in range(count):
        form = ("JPEG", "JPEG", "HEIF", "PNG", "WEBP")[number % 5]
        day = folder / f"day {number % 3 + 1}"
        day.mkdir(parents=True, exist_ok=True)
        name = f"IMG_{number:04}{FORMS[form].upper() if number % 2 else FORMS[form]}"
        (day / name).write_bytes(photo(form, number, orientation=(1, 6, 3)[number % 3]))
