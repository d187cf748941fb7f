"""The formats of the results, each with its media type: JSON, tables, a chart, and those of a report."""

from collections.abc import Callable
from typing import Any, Final

import msgspec
from msgspec import Struct

from hitchworth.localization.localizer import localizer_for
from hitchworth.model.value_curve import ValueCurve
from hitchworth.operations.documents import canonical
from hitchworth.operations.evidence import SUFFIXES
from hitchworth.operations.tables import csv_table, table_workbook, tsv_table
from hitchworth.reports import html, markdown, plain_text
from hitchworth.reports.typesetters import render_docx, render_pdf
from hitchworth.reports.value_chart import value_chart
from hitchworth.workbooks.look import Workbook
from hitchworth.workbooks.ods_writing import ods_bytes
from hitchworth.workbooks.writing import xlsx_bytes


class Rendering(Struct, frozen=True):
    """One format of a result."""

    name: str
    """The value of `?format=`."""
    media_type: str
    render: Callable[[Any], bytes]


_encoder = msgspec.json.Encoder()
JSON = "application/json"
DOCX: Final = "application/vnd.openxmlformats-officedocument.wordprocessingml.document"
"""As registered with IANA for the documents of ISO/IEC 29500."""

XLSX: Final = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
ODS: Final = "application/vnd.oasis.opendocument.spreadsheet"
TSV: Final = "text/tab-separated-values"
FILES = ("text/csv", XLSX, ODS, "text/calendar")
"""The files that an import reads. As registered with IANA."""
DOCUMENT_FILES = (JSON, "application/yaml", "application/toml", XLSX, ODS)
"""The files that hold a document. As registered with IANA."""

AS_JSON = Rendering("json", JSON, _encoder.encode)
AS_DOCUMENT = Rendering("json", JSON, canonical)
"""The format of a kept document: as it is kept, fields at their defaults left out."""

AS_CELL = (Rendering("text", "text/plain", lambda cell: cell.text.encode()), AS_JSON)
"""The formats of a cell of a spreadsheet: its text alone, or with the figure."""

AS_MACRO = (Rendering("text", "text/plain", lambda macro: macro.text.encode()),)
"""The format of a macro: its code."""

AS_ZIP = Rendering("zip", "application/zip", lambda content: content)
"""The format of a content that is a ZIP file already."""

NDJSON: Final = "application/x-ndjson"
"""Newline-delimited JSON. It is not registered with IANA, but this is the name that is used."""
AS_LINES = Rendering("ndjson", NDJSON, b"".join)
"""The format of the answers of a batch, a line each."""
AS_FILE = tuple(
    Rendering(suffix.removeprefix("."), media_type, lambda content: content) for media_type, suffix in SUFFIXES.items()
)
"""The formats of a file that is handed out: which it is, the file decides."""

AS_THUMBNAIL = AS_FILE[:1]
"""The format of a thumbnail."""

AS_REPORT = (
    Rendering("html", "text/html", lambda report: html.render(report).encode()),
    Rendering("pdf", "application/pdf", render_pdf),
    Rendering("markdown", "text/markdown", lambda report: markdown.render(report).encode()),
    Rendering("docx", DOCX, render_docx),
)
"""The formats of a report."""

AS_LETTER = (Rendering("text", "text/plain", lambda letter: plain_text.render(letter).encode()), AS_REPORT[-1])
"""The formats of a letter."""


AS_WORKBOOK = (
    Rendering("xlsx", XLSX, lambda made: _written(made, xlsx_bytes)),
    Rendering("ods", ODS, lambda made: _written(made, ods_bytes)),
)
"""The formats of a workbook."""


def _written(made: Workbook, write: Callable[..., bytes]) -> bytes:
    return write(made.tables, made.title, made.looks, made.money_places, made.currency_sign)


AS_TABLE = (
    Rendering("csv", "text/csv", lambda table: csv_table(table, line_end="\r\n").encode()),
    Rendering("tsv", TSV, lambda table: tsv_table(table).encode()),
    Rendering("xlsx", XLSX, lambda table: AS_WORKBOOK[0].render(table_workbook(table))),
    Rendering("ods", ODS, lambda table: AS_WORKBOOK[1].render(table_workbook(table))),
)
"""The formats of a table of a result, a FilledTable."""


AS_COLUMN = (
    Rendering("text", "text/plain", lambda column: "".join(f"{cell.text}\n" for cell in column.cells).encode()),
    AS_JSON,
    *AS_TABLE,
)
"""The formats of a column of cells: a line for each row, or with the figures."""


def _chart(curve: ValueCurve) -> bytes:
    return value_chart(curve, localizer_for(curve.locale, curve.currency)).encode()


AS_CHART = Rendering("svg", "image/svg+xml", _chart)
"""The chart of a value curve, in the locale of the curve."""
