"""Read a file of tables, whatever it is: its content says so, not its name."""

from hitchworth.model.receipt_import import Delimiter, Encoding
from hitchworth.workbooks.delimited import read_delimited
from hitchworth.workbooks.spreadsheets import read_spreadsheet
from hitchworth.workbooks.table import Source, UnreadableFileError

_ZIP, _OLE = b"PK\x03\x04", bytes.fromhex("D0CF11E0A1B11AE1")
_PDF = b"%PDF"
_PICTURES = {
    b"\x89PNG": "PNG",
    b"\xff\xd8\xff": "JPEG",
    b"GIF8": "GIF",
    b"II*\x00": "TIFF",
    b"MM\x00*": "TIFF",
    b"RIFF": "WebP",
}
_PHONE_PICTURES = (b"ftypheic", b"ftypheix", b"ftypmif1", b"ftypavif")


def read_tables(content: bytes, encoding: Encoding | None = None, delimiter: Delimiter | None = None) -> Source:
    """Return the tables of a CSV, XLSX or ODS file. Encoding and delimiter matter for delimited text only.

    Raises UnreadableFileError for a file that is none of these, is damaged, holds macros, or is too large.
    """
    if not content.strip():
        raise UnreadableFileError("The file is empty.")
    if content.startswith(_ZIP):
        return read_spreadsheet(content)
    if content.startswith(_OLE):
        raise UnreadableFileError(
            "The workbook is in the old form .xls, or protected with a password. Save it as .xlsx or .ods, without one."
        )
    if content.startswith(_PDF):
        raise UnreadableFileError("The file is a PDF. Send the table that it was printed from: .csv, .xlsx or .ods.")
    picture = next((name for start, name in _PICTURES.items() if content.startswith(start)), None)
    if picture is not None or content[4:12] in _PHONE_PICTURES:
        kind = picture or "HEIC"
        raise UnreadableFileError(
            f"The file is a picture ({kind}), not a table. Type its receipts into a table: a row for each purchase."
        )
    return read_delimited(content, encoding, delimiter)
