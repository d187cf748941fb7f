"""The pictures of the guide: what the program prints and shows of its demo. The tests draw them again and compare.

Keep them anew: PYTHONPATH=tests .venv/bin/python tests/guide_pictures.py
"""

from io import BytesIO
from pathlib import Path
from typing import cast

from PIL import Image, ImageChops, ImageOps, ImageStat
from playwright.sync_api import Browser

from demo_sheet import demo_content
from headless_browser import headless_browser
from hitchworth.reports import pdf
from hitchworth.reports.typesetting import compile_typst
from hitchworth.web.server import running
from page_driving import open_demo, opened

PICTURES = Path(__file__).parents[1] / "api" / "hitchworth" / "guide" / "pictures"
FOOTER, MARGIN = 70, 30
"""Pixels of the sheet at 96 to the inch."""

LARGEST = 100_000
"""Bytes of a picture at most: the guide is read on telephones."""


def report_picture(report: str) -> Image.Image:
    """Return the first page of a report, without its footer and what is empty above it."""
    printed = compile_typst(pdf.source(demo_content("en-US", None, report)), "png", ppi=96)
    first = cast("list[bytes]", printed)[0] if isinstance(printed, list) else printed
    page = Image.open(BytesIO(first)).convert("RGB")
    bottom = ImageOps.invert(page.convert("L").crop((0, 0, page.width, page.height - FOOTER))).getbbox()
    return page.crop((0, 0, page.width, (bottom or (0, 0, 0, page.height))[3] + MARGIN))


def page_picture(browser: Browser, address: str) -> Image.Image:
    """Return the page with the demo, from its top, without what moves."""
    with opened(browser, address, viewport={"width": 900, "height": 1000}, reduced_motion="reduce") as page:
        open_demo(page)
        page.evaluate("window.scrollTo(0, 0)")
        return Image.open(BytesIO(page.screenshot(animations="disabled", caret="hide"))).convert("RGB")


def drawn_pictures(browser: Browser, address: str) -> dict[str, Image.Image]:
    """Return the pictures by the names of their files."""
    return {
        "sheet": report_picture("conversation-sheet"),
        "class-report": report_picture("class-report"),
        "page": page_picture(browser, address),
    }


def difference(one: Image.Image, other: Image.Image) -> float:
    """Return by how much two pictures differ in what can be recognized: 0 is not at all, 1 is black against white.

    They are compared small and gray, so that another version of a font or of the packing makes little of it.
    """
    first, second = (each.convert("L").resize((60, 80)) for each in (one, other))
    return float(ImageStat.Stat(ImageChops.difference(first, second)).mean[0]) / 255


def _keep() -> None:
    with headless_browser() as browser, running() as address:
        drawn = drawn_pictures(browser, address)
    for name, picture in drawn.items():
        picture.save(PICTURES / f"{name}.webp", quality=60, method=6)


if __name__ == "__main__":
    _keep()
