"""Draw the pictures of the chapter on macros anew: sheets before and after the macro, as a real office prints them.

Run: PYTHONPATH=tests .venv/bin/python tests/macro_pictures.py
"""

import subprocess
from datetime import date
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import xlsxwriter
from PIL import Image, ImageChops

from hitchworth.localization.localizer import localizer_for
from hitchworth.web.server import running
from hitchworth.workbooks.macros import macro
from installed import installed
from office_macros import Office

PICTURES = Path(__file__).parents[1] / "api" / "hitchworth" / "guide" / "pictures"
RECEIPTS: list[list[Any]] = [
    ["Date", "Store", "Item", "Category", "Qty", "Unit price"],
    [date(2024, 5, 11), "RV parts", "Two-burner stove", "stove", 1, 268],
    [date(2024, 5, 11), "RV parts", "Roof vent, 12 V", "ventilation", 1, 189.5],
    [date(2025, 3, 2), "Lumber yard", "Birch plywood, 1/2 in", "body_panels", 6, 62],
    [date(2025, 3, 9), "Solar shop", "Panel, 200 W", "solar", 2, 145],
    [date(2026, 4, 18), "Lumber yard", "Cedar strips", "interior", 24, 7.25],
]
WIDTHS = (11, 12, 22, 13, 5, 10, 31, 13, 17, 50)


def main() -> None:
    """Write before.png, after.png and wrong.png."""
    PICTURES.mkdir(exist_ok=True)
    wrong = [*RECEIPTS[:4], [*RECEIPTS[4][:5], "ask the dealer"], *RECEIPTS[5:]]
    with TemporaryDirectory() as made, running() as url:
        folder = Path(made)
        office = Office(folder)
        code = {"Hitchworth": macro("libreoffice", url, localizer_for("en-US"))}
        for name, rows, steps in (
            ("before", RECEIPTS, []),
            ("after", RECEIPTS, ["Hitchworth.Hitchworth()"]),
            ("wrong", wrong, ["Hitchworth.Hitchworth()"]),
        ):
            book = folder / f"{name}.xlsx"
            write(book, rows)
            office.run(book, steps, code)
            draw(office.convert(book, "pdf"), PICTURES / f"{name}.png")


def write(book: Path, rows: list[list[Any]]) -> None:
    """Write the sheet, to be printed with its grid and the names of rows and columns on one page."""
    with xlsxwriter.Workbook(book, {"default_date_format": "mm/dd/yyyy"}) as written:
        sheet = written.add_worksheet("Receipts")
        sheet.set_landscape()
        sheet.fit_to_pages(1, 1)
        sheet.hide_gridlines(0)
        sheet.print_row_col_headers()
        sheet.set_header("")
        sheet.set_footer("")
        for column, width in enumerate(WIDTHS):
            look = {"num_format": "0.00"} if column in (6, 8) else {"num_format": "0.0%"} if column == 7 else {}
            wrap = {"text_wrap": True, "valign": "top"} if column == 9 else {}
            sheet.set_column(column, column, width, written.add_format({**look, **wrap}))
        for place, row in enumerate(rows):
            sheet.write_row(place, 0, row)


def draw(page: Path, picture: Path) -> None:
    """Draw the printed page without its margins, in few colors."""
    program = installed("pdftoppm", package="poppler-utils")
    subprocess.run([program, "-png", "-r", "160", "-singlefile", page, page.with_suffix("")], check=True)
    with Image.open(page.with_suffix(".png")) as drawn:
        plain = drawn.convert("RGB")
        box = ImageChops.difference(plain, Image.new("RGB", plain.size, "white")).getbbox()
        plain.crop(box).quantize(16).save(picture, optimize=True)


if __name__ == "__main__":
    main()
