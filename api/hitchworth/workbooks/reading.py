"""Read a file of tables, whatever it is: its content says so, not its name."""

from hitchworth.model.receipt_import import Delimiter, Encoding
from hitchworth.workbooks.delimited import read_delimited
from hitchworth.workbooks.spreadsheets import read_spreadsheet
from hitchworth.workbooks.table import Source, UnreadableFileError

_ZIP, _OLE = b"PK\x03\x04", bytes.fromhex("D0CF11E0A1B11AE1")
_PDF = b"%PDF"


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
    return read_delimited(content, encoding, delimiter)
