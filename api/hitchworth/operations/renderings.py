"""The formats of the results, each with its media type: JSON, tables, a chart, and those of a report."""

from collections.abc import Callable, Sequence
from typing import Any, Final

import msgspec
from msgspec import Struct

from hitchworth.localization.localizer import localizer_for
from hitchworth.model.value_curve import ValueCurve
from hitchworth.operations.documents import canonical
from hitchworth.operations.evidence import SUFFIXES
from hitchworth.operations.tables import csv_table, tsv_table
from hitchworth.reports import docx, html, markdown, pdf, plain_text
from hitchworth.reports.value_chart import value_chart
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
FILES = ("text/csv", XLSX, ODS, "text/calendar")
"""The files that an import reads. As registered with IANA."""

AS_JSON = Rendering("json", JSON, _encoder.encode)
AS_DOCUMENT = Rendering("json", JSON, canonical)
"""The format of a kept document: as it is kept, fields at their defaults left out."""

AS_CELL = (Rendering("text", "text/plain", lambda cell: cell.text.encode()), AS_JSON)
"""The formats of a cell of a spreadsheet: its text alone, or with the figure."""

AS_ZIP = Rendering("zip", "application/zip", lambda content: content)
"""The format of a content that is a ZIP file already."""

AS_FILE = tuple(
    Rendering(suffix.removeprefix("."), media_type, lambda content: content) for media_type, suffix in SUFFIXES.items()
)
"""The formats of a file that is handed out: which it is, the file decides."""

AS_THUMBNAIL = AS_FILE[:1]
"""The format of a thumbnail."""

AS_REPORT = (
    Rendering("html", "text/html", lambda report: html.render(report).encode()),
    Rendering("pdf", "application/pdf", pdf.render),
    Rendering("markdown", "text/markdown", lambda report: markdown.render(report).encode()),
    Rendering("docx", DOCX, docx.render),
)
"""The formats of a report."""

AS_LETTER = (Rendering("text", "text/plain", lambda letter: plain_text.render(letter).encode()), AS_REPORT[-1])
"""The formats of a letter."""


AS_WORKBOOK = (
    Rendering("xlsx", XLSX, lambda made: xlsx_bytes(made.tables, made.title, made.looks, made.money_places)),
    Rendering("ods", ODS, lambda made: ods_bytes(made.tables, made.title, made.looks, made.money_places)),
)
"""The formats of a workbook."""


def as_tables(rows: Callable[[Any], Sequence[Struct]]) -> tuple[Rendering, Rendering]:
    """Return the table formats of a result; `rows` takes the rows from it."""
    return (
        Rendering("csv", "text/csv", lambda result: csv_table(rows(result), line_end="\r\n").encode()),
        Rendering("tsv", "text/tab-separated-values", lambda result: tsv_table(rows(result)).encode()),
    )


def _chart(curve: ValueCurve) -> bytes:
    return value_chart(curve, localizer_for(curve.locale, curve.currency)).encode()


AS_CHART = Rendering("svg", "image/svg+xml", _chart)
"""The chart of a value curve, in the locale of the curve."""
