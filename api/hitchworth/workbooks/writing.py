"""Write tables as CSV, XLSX or ODS: the same bytes for the same tables. No text in them is read as a formula."""

import csv
from collections.abc import Sequence
from datetime import date, datetime
from decimal import Decimal
from io import BytesIO, StringIO
from xml.sax.saxutils import escape, quoteattr

from xlsxwriter import Workbook

from hitchworth.workbooks.archive import repacked
from hitchworth.workbooks.cells import Cell, cell_text, defused
from hitchworth.workbooks.table import Table

_CREATED = datetime(2000, 1, 1)  # noqa: DTZ001 (the file has no time zone; a fixed day gives the same bytes)
_DATE_FORMAT = "yyyy-mm-dd"
_ODS = "application/vnd.oasis.opendocument.spreadsheet"
_DECLARATION = '<?xml version="1.0" encoding="UTF-8"?>\n'
_NAMES = (
    'xmlns:office="urn:oasis:names:tc:opendocument:xmlns:office:1.0" '
    'xmlns:table="urn:oasis:names:tc:opendocument:xmlns:table:1.0" '
    'xmlns:text="urn:oasis:names:tc:opendocument:xmlns:text:1.0" '
    'xmlns:style="urn:oasis:names:tc:opendocument:xmlns:style:1.0" '
    'xmlns:number="urn:oasis:names:tc:opendocument:xmlns:datastyle:1.0" '
    'xmlns:fo="urn:oasis:names:tc:opendocument:xmlns:xsl-fo-compatible:1.0" '
    'xmlns:manifest="urn:oasis:names:tc:opendocument:xmlns:manifest:1.0"'
)
_STYLES = (
    '<number:date-style style:name="day"><number:year number:style="long"/><number:text>-</number:text>'
    '<number:month number:style="long"/><number:text>-</number:text><number:day number:style="long"/>'
    "</number:date-style>"
    '<style:style style:name="date" style:family="table-cell" style:data-style-name="day"/>'
    '<style:style style:name="head" style:family="table-cell"><style:text-properties fo:font-weight="bold"/>'
    "</style:style>"
)


def csv_bytes(rows: Sequence[Sequence[Cell]], delimiter: str = ",") -> bytes:
    """Return rows as CSV in UTF-8 with a byte order mark, so that every spreadsheet reads the accents."""
    written = StringIO(newline="")
    writer = csv.writer(written, delimiter=delimiter)
    writer.writerows([_defused(cell) for cell in row] for row in rows)
    return written.getvalue().encode("utf-8-sig")


def _defused(cell: Cell) -> str:
    return defused(cell) if isinstance(cell, str) else cell_text(cell)


def xlsx_bytes(tables: Sequence[Table], title: str = "") -> bytes:
    """Return tables as XLSX, each as a sheet with its first row as a bold head that stays in sight."""
    written = BytesIO()
    options = {"in_memory": True, "strings_to_formulas": False, "strings_to_urls": False, "strings_to_numbers": False}
    with Workbook(written, options) as workbook:
        workbook.set_properties({"title": title, "created": _CREATED})
        head, day = workbook.add_format({"bold": True}), workbook.add_format({"num_format": _DATE_FORMAT})
        for table in tables:
            sheet = workbook.add_worksheet(table.name)
            sheet.freeze_panes(1, 0)
            for row, cells in enumerate(table.rows):
                for column, cell in enumerate(cells):
                    match cell:
                        case bool() | Decimal():
                            sheet.write(row, column, cell)
                        case date():
                            sheet.write_datetime(row, column, datetime(cell.year, cell.month, cell.day), day)  # noqa: DTZ001
                        case _:
                            sheet.write_string(row, column, cell_text(cell), head if row == 0 else None)
    return written.getvalue()


def ods_bytes(tables: Sequence[Table]) -> bytes:
    """Return tables as ODS, each as a sheet with its first row as a bold head."""
    sheets = "".join(map(_ods_table, tables))
    parts = {
        "mimetype": _ODS,
        "content.xml": _ods_part(
            "document-content",
            f"<office:automatic-styles>{_STYLES}</office:automatic-styles>"
            f"<office:body><office:spreadsheet>{sheets}</office:spreadsheet></office:body>",
        ),
        "META-INF/manifest.xml": f'{_DECLARATION}<manifest:manifest {_NAMES} manifest:version="1.2">'
        f'<manifest:file-entry manifest:full-path="/" manifest:media-type="{_ODS}"/>'
        '<manifest:file-entry manifest:full-path="content.xml" manifest:media-type="text/xml"/></manifest:manifest>',
    }
    return repacked({name: part.encode() for name, part in parts.items()}).getvalue()


def _ods_part(name: str, content: str) -> str:
    return f'{_DECLARATION}<office:{name} {_NAMES} office:version="1.2">{content}</office:{name}>'


def _ods_table(table: Table) -> str:
    rows = "".join(
        f"<table:table-row>{''.join(_ods_cell(cell, is_head=row == 0) for cell in cells)}</table:table-row>"
        for row, cells in enumerate(table.rows)
    )
    return f"<table:table table:name={quoteattr(table.name)}>{rows}</table:table>"


def _ods_cell(cell: Cell, *, is_head: bool) -> str:
    shown = f"<text:p>{escape(cell_text(cell))}</text:p>"
    match cell:
        case bool():
            value = f'office:value-type="boolean" office:boolean-value="{str(cell).lower()}"'
        case Decimal():
            value = f'office:value-type="float" office:value="{cell:f}"'
        case date():
            value = f'table:style-name="date" office:value-type="date" office:date-value="{cell.isoformat()}"'
        case str():
            value = 'office:value-type="string"' + (' table:style-name="head"' if is_head else "")
        case _:
            return "<table:table-cell/>"
    return f"<table:table-cell {value}>{shown}</table:table-cell>"
