"""Read delimited text (CSV, TSV) into a table: its encoding and its delimiter are recognized, or declared."""

import csv
from codecs import BOM_UTF16_BE, BOM_UTF16_LE
from collections import Counter
from collections.abc import Sequence
from io import StringIO
from itertools import islice

from hitchworth.model.receipt_import import Delimiter, Encoding
from hitchworth.workbooks.cells import Row, restored
from hitchworth.workbooks.table import MAX_COLUMNS, MAX_LINES, TOO_MANY_ROWS, Source, Table, UnreadableFileError

DELIMITERS: dict[Delimiter, str] = {"comma": ",", "semicolon": ";", "tab": "\t", "bar": "|"}
_SAMPLE_ROWS = 50
_NUL_SHARE = 0.3
"""Text of Latin letters in UTF-16 is half zeros."""

csv.field_size_limit(1_000_000)


def read_delimited(content: bytes, encoding: Encoding | None = None, delimiter: Delimiter | None = None) -> Source:
    """Return delimited text as one table. Raises UnreadableFileError, also where the declared encoding does not fit."""
    encoding = encoding or recognized_encoding(content)
    text = _decoded(content, encoding)
    delimiter = delimiter or _declared_delimiter(text) or recognized_delimiter(text)
    rows = _parsed(text, DELIMITERS[delimiter])
    width = max(map(len, rows), default=0)
    if len(rows) > MAX_LINES:
        raise UnreadableFileError(TOO_MANY_ROWS)
    if width > MAX_COLUMNS:
        raise UnreadableFileError(f"The table has more than {MAX_COLUMNS} columns. Leave out what is not needed.")
    table = Table(rows=tuple(_row(row, width) for row in rows))
    return Source(tables=(table,), form="csv", encoding=encoding, delimiter=delimiter)


def recognized_encoding(content: bytes) -> Encoding:
    """Return the encoding: that of a byte order mark, else UTF-8 where the bytes are, UTF-16, or Windows-1252."""
    if content.startswith((BOM_UTF16_LE, BOM_UTF16_BE)) or _utf_16_without_mark(content):
        return "utf-16"
    try:
        content.decode()
    except UnicodeDecodeError:
        return "cp1252"
    return "utf-8"


def _utf_16_without_mark(content: bytes) -> str | None:
    """Return the byte order of UTF-16 without a byte order mark: every other byte of Latin letters is zero."""
    low, high = content[::2].count(0), content[1::2].count(0)
    if max(low, high) > _NUL_SHARE * len(content) and min(low, high) < max(low, high) / 10:
        return "utf-16-le" if high > low else "utf-16-be"
    return None


def _decoded(content: bytes, encoding: Encoding) -> str:
    has_mark = content.startswith((BOM_UTF16_LE, BOM_UTF16_BE))
    codec = (not has_mark and _utf_16_without_mark(content)) or encoding if encoding == "utf-16" else encoding
    try:
        text = content.decode("utf-8-sig" if codec == "utf-8" else codec)
    except UnicodeDecodeError as error:
        line = content[: error.start].count(b"\n") + 1
        raise UnreadableFileError(
            f"The file is not text in {encoding}: a letter in line {line} does not fit. Name its encoding "
            "(--encoding), as utf-8 or cp1252."
        ) from None
    if "\x00" in text:
        raise UnreadableFileError("The file is no text and no workbook. Send .csv, .xlsx or .ods.")
    return text


def _declared_delimiter(text: str) -> Delimiter | None:
    """Return the delimiter of a first line `sep=;`, which some spreadsheets write."""
    first = text.partition("\n")[0].strip('\r"')
    return next((name for name, delimiter in DELIMITERS.items() if first == f"sep={delimiter}"), None)


def recognized_delimiter(text: str) -> Delimiter:
    """Return the delimiter that splits the most rows into the same number of cells, two or more; a comma for none."""
    return max(DELIMITERS, key=lambda name: _fit(text, DELIMITERS[name]))


def _fit(text: str, delimiter: str) -> tuple[int, int]:
    """Return how many rows have the commonest width, and that width, where it is two or more."""
    widths = Counter(len(row) for row in _parsed(text, delimiter, _SAMPLE_ROWS) if len(row) > 1)
    width, count = max(widths.items(), key=lambda item: (item[1], item[0]), default=(0, 0))
    return count, width


def _parsed(text: str, delimiter: str, most: int = MAX_LINES + 1) -> list[list[str]]:
    reader = csv.reader(StringIO(text, newline=""), delimiter=delimiter)
    try:
        rows = list(islice(reader, most))
    except csv.Error as error:
        raise UnreadableFileError(f"Line {reader.line_num} cannot be read: {error}.") from None
    return rows[1:] if rows and delimiter.join(rows[0]).strip().startswith("sep=") else rows


def _row(row: Sequence[str], width: int) -> Row:
    return tuple(restored(cell.strip()) or None for cell in (*row, *[""] * (width - len(row))))
