"""The pages of a report as pictures: set by the same template as the PDF, small, to measure how full each is."""

from io import BytesIO
from pathlib import Path
from typing import cast

from msgspec import Struct
from PIL import Image, ImageOps

from hitchworth.reports import pdf
from hitchworth.reports.content import Content
from hitchworth.reports.typesetting import compile_typst

PIXELS_PER_INCH = 24
INCH = 25.4
TOP, BOTTOM = 14 / INCH, 16 / INCH
"""The margins of the template, in inches."""


PICTURES = Path(__file__).parent / "reports" / "pictures"
PICTURED = (("conversation-sheet", "en-US"), ("conversation-sheet", "de-DE"), ("after-loss", "en-US"))
"""Reports of the demo of which a picture is kept, in their locales."""


class PrintedPage(Struct, frozen=True):
    """A page, and how far down its text goes: 0 at the top margin, 1 at the bottom margin."""

    picture: Image.Image
    filled: float


def printed_pages(content: Content) -> list[PrintedPage]:
    """Return every page of a report."""
    printed = compile_typst(pdf.source(content), "png", ppi=PIXELS_PER_INCH)
    pictures = cast("list[bytes]", printed) if isinstance(printed, list) else [printed]
    return [_page(Image.open(BytesIO(picture)).convert("L")) for picture in pictures]


def _page(picture: Image.Image) -> PrintedPage:
    top, bottom = round(TOP * PIXELS_PER_INCH), picture.height - round(BOTTOM * PIXELS_PER_INCH)
    box = ImageOps.invert(picture.crop((0, top, picture.width, bottom))).getbbox()
    return PrintedPage(picture, 0.0 if box is None else box[3] / (bottom - top))


def strip(pages: list[PrintedPage]) -> Image.Image:
    """Return the pages one below the other."""
    width, height = pages[0].picture.width, sum(page.picture.height for page in pages)
    whole = Image.new("L", (width, height), "white")
    place = 0
    for page in pages:
        whole.paste(page.picture, (0, place))
        place += page.picture.height
    return whole


def picture_of(report: str, locale: str) -> Path:
    """Return where the picture of a report of the demo is kept."""
    return PICTURES / f"{report}.{locale}.png"


def _keep() -> None:
    """Keep the pictures, in few grays so that the files are small."""
    from demo_sheet import demo_content  # noqa: PLC0415 - only for the command

    PICTURES.mkdir(exist_ok=True)
    for report, locale in PICTURED:
        picture = strip(printed_pages(demo_content(locale, None, report)))
        picture.quantize(16).save(picture_of(report, locale), optimize=True)


if __name__ == "__main__":
    _keep()
