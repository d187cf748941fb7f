"""Twenty files of receipts as people have them, and as nobody should: each with its name and its bytes."""

from collections.abc import Callable
from datetime import datetime
from io import BytesIO
from typing import Any
from zipfile import ZIP_DEFLATED, ZipFile

from xlsxwriter import Workbook

PLAIN = "Date,Item,Amount\n2026-03-14,Stove,268.00\n2026-03-20,Sink,120.50\n"
GERMAN = "Datum;Artikel;Betrag\n14.03.2026;Kühlbox;1.268,00\n20.03.2026;Spüle;120,50\n"


def book(fill: Callable[[Any, Any], None], **options: Any) -> bytes:
    """A workbook with the headers of a table of receipts, filled by the test."""
    written = BytesIO()
    with Workbook(written, {"in_memory": True, **options}) as workbook:
        sheet = workbook.add_worksheet("Receipts")
        sheet.write_row(0, 0, ["Date", "Item", "Amount"])
        fill(workbook, sheet)
    return written.getvalue()


def _merged(_: Any, sheet: Any) -> None:
    sheet.write_row(1, 1, ["Stove", 268])
    sheet.write_row(2, 1, ["Sink", 120.5])
    sheet.merge_range(1, 0, 2, 0, "2026-03-14")


def _hidden(workbook: Any, sheet: Any) -> None:
    sheet.write_row(1, 0, ["2026-03-14", "Stove", 268])
    other = workbook.add_worksheet("Old")
    other.write_row(0, 0, ["Date", "Item", "Amount"])
    other.write_row(1, 0, ["2025-01-01", "Secret", 999])
    other.hide()


def _from_1904(workbook: Any, sheet: Any) -> None:
    sheet.write_datetime(1, 0, datetime(2026, 3, 14), workbook.add_format({"num_format": "yyyy-mm-dd"}))  # noqa: DTZ001
    sheet.write_row(1, 1, ["Stove", 268])


def _formulas(_: Any, sheet: Any) -> None:
    sheet.write_row(1, 0, ["2026-03-14", "Stove"])
    sheet.write_formula(1, 2, "=2*134", None, 268)
    sheet.write_row(2, 0, ["2026-03-20", "Sink"])
    sheet.write_formula(2, 2, "=1/0", None, "#DIV/0!")
    sheet.write_row(3, 0, ["2026-03-21", "Pump"])
    sheet.write_formula(3, 2, "=A1+1", None, "")


def _with_part(name: str, content: bytes) -> bytes:
    written = BytesIO(book(lambda _, sheet: sheet.write_row(1, 0, ["2026-03-14", "Stove", 268])))
    with ZipFile(written, "a", ZIP_DEFLATED) as archive:
        archive.writestr(name, content)
    return written.getvalue()


NASTY_FILES: dict[str, bytes] = {
    "utf_16.csv": PLAIN.replace(",", "\t").encode("utf-16"),
    "windows_1252.csv": GERMAN.encode("cp1252"),
    "decimal_comma.csv": GERMAN.encode(),
    "day_order.csv": PLAIN.replace("2026-03-14", "03/04/2026").replace("2026-03-20", "05/06/2026").encode(),
    "merged.xlsx": book(_merged),
    "hidden.xlsx": book(_hidden),
    "from_1904.xlsx": book(_from_1904, date_1904=True),
    "formulas.xlsx": book(_formulas),
    "many_rows.csv": ("Date,Item,Amount\n" + "2026-03-14,Stove,268.00\n" * 200_000).encode(),
    "macros.xlsm": _with_part("xl/vbaProject.bin", b"x"),
    "bomb.xlsx": _with_part("xl/worksheets/sheet9.xml", b"<worksheet>" + b" " * 200_000_000 + b"</worksheet>"),
    "formula_texts.csv": b"Date,Item,Amount\n2026-03-14,=1+1,268.00\n2026-03-20,@lights,120.50\n2026-03-21,-x,9.00\n",
    "two_headers.csv": b"Purchase,,Paid\nDate,Item,Amount\n2026-03-14,Stove,268.00\n2026-03-20,Sink,120.50\n",
    "totals.csv": PLAIN.encode() + b",Total,388.50\n",
    "blank_columns.csv": PLAIN.replace(",", ",,").encode(),
    "same_headers.csv": b"Date,Item,Amount,Amount\n2026-03-14,Stove,268.00,1.00\n2026-03-20,Sink,120.50,2.00\n",
    "currency_signs.csv": b'Date,Item,Amount\n2026-03-14,Stove,$268.00\n2026-03-20,Sink,"US$ 1,120.50"\n',
    "parentheses.csv": PLAIN.encode() + b"2026-04-02,Stove returned,(268.00)\n",
    "not_available.csv": PLAIN.encode() + b"2026-04-02,Pump,n/a\n2026-04-03,Hose,tbd\n",
    "bom_and_tabs.csv": PLAIN.replace(",", "\t").encode("utf-8-sig"),
}
