"""Workbooks: a template to fill in, a document as a workbook, and a workbook that comes back with its results.

The docstrings of the functions are the descriptions of the API.
"""

from collections.abc import Iterator
from datetime import date
from typing import Annotated

from msgspec import Meta
from msgspec.structs import replace

from hitchworth import appraisal, validation
from hitchworth.demo import demo_request
from hitchworth.localization.localizer import Localizer, localizer_for
from hitchworth.localization.texts import texts
from hitchworth.model.document import Locale
from hitchworth.model.fault import Fault
from hitchworth.model.gap import GapStatement
from hitchworth.model.request import GapRequest
from hitchworth.operations.appraisals import create_gap_statement
from hitchworth.operations.clock import today
from hitchworth.operations.requests import completed
from hitchworth.reference.currencies import exponent_of
from hitchworth.workbooks.document_reading import ReadDocument, read_workbook
from hitchworth.workbooks.document_sheets import document_tables
from hitchworth.workbooks.fault_sheets import marked_workbook
from hitchworth.workbooks.input_looks import input_looks
from hitchworth.workbooks.look import Workbook
from hitchworth.workbooks.reading import read_tables
from hitchworth.workbooks.result_sheets import ResultSheets
from hitchworth.workbooks.table import UnreadableFileError

__all__ = [
    "UnreadableFileError",
    "Workbook",
    "fill_workbook",
    "get_workbook_template",
    "read_document_workbook",
    "workbook_of",
]

TemplateLocale = Annotated[
    Locale, Meta(description="Language of the headers, the words and the questions.", examples=["en-US"])
]
WorkbookLocale = Annotated[
    Locale | None, Meta(description="Language of the workbook that comes back. Default: as the workbook says.")
]
Demo = Annotated[bool, Meta(description="Whether the fictional build of the demo is filled in. Default: false.")]
Faults = Annotated[
    bool,
    Meta(
        description="With wrong cells: true answers with the workbook, the wrong cells marked and listed, and their "
        "number in the header Fault-Count; false with a problem that names them. Default: false."
    ),
]
AsOf = Annotated[date | None, Meta(description="Valuation date. Default: that in the workbook, or today.")]

_INVENTORY = ("build", "component", "labor")
"""The sheets that the formulas of the lines are made from."""

_MOST_FORMULAS = 20
"""So many cells are named that had a formula."""


def get_workbook_template(locale: TemplateLocale = "en-US", demo: Demo = False) -> Workbook:
    """Get a workbook to fill in.

    XLSX or ODS, by Accept: a sheet for the build, one each for components, labor, policies, losses, answers, measures
    and circuits, and one with every fact and its question. What a column holds stands in a comment on its header, and
    what it may say in a drop-down list. Send it to POST /v1/workbooks when it is filled in.
    """
    if demo:
        return workbook_of(replace(demo_request(), locale=locale))
    localizer = localizer_for(locale)
    tables = document_tables(None, localizer)
    looks = input_looks(tables, localizer, {})
    return Workbook(title="Hitchworth", locale=localizer.locale.formats, tables=tuple(tables.values()), looks=looks)


def fill_workbook(
    request: bytes, locale: WorkbookLocale = None, as_of: AsOf = None, mark_faults: Faults = False
) -> Workbook:
    """Fill in a workbook.

    The workbook, XLSX or ODS, is the body; the response is the same workbook with its results: values, gaps with a
    chart, every line with formulas that recompute it, and the questions. Sheets are found by their names, or by their
    headers, in any of the languages; columns by their headers wherever they stand. Sheets and columns that are not read
    are named beside the results. A fault names its cell.
    """
    source = read_tables(request)
    read = read_workbook(source)
    try:
        document = document_of(read)
    except validation.InvalidInputError as error:
        if not mark_faults:
            raise
        localizer = localizer_for(locale or read.locale)
        marked = marked_workbook(source, read, error.faults, localizer)
        return replace(marked, lost=_lost(replace(read, unread_columns=()), localizer))  # it keeps all columns
    changes = {"locale": locale or document.locale, "as_of": as_of or document.as_of}
    return workbook_of(replace(document, **changes), _lost(read, localizer_for(locale or document.locale)))


def read_document_workbook(content: bytes) -> GapRequest:
    """Return the document of a workbook.

    Raises UnreadableFileError, and InvalidInputError with every fault and its cell.
    """
    return document_of(read_workbook(read_tables(content)))


def lost_when_rewritten(content: bytes) -> tuple[str, ...]:
    """Return in words what a workbook would lose if it were written again: its own sheets, columns and formulas.

    Raises UnreadableFileError.
    """
    read = read_workbook(read_tables(content))
    return _lost(read, localizer_for(read.locale))


def workbook_of(document: GapRequest, lost: tuple[str, ...] = ()) -> Workbook:
    """Return a document as a workbook with its results.

    lost: what the workbook that it was read from has more; printed with the results.

    Raises InvalidInputError where the document cannot be computed.
    """
    request = completed(replace(document, as_of=document.as_of or today()))
    statement = create_gap_statement(request)
    localizer = localizer_for(document.locale, document.build.currency)
    tables = document_tables(document, localizer)
    money_places = _money_places(document)
    results = _results(document, request, statement, localizer, lost)
    looks = input_looks(tables, localizer, {})
    made = tuple(results.sheets())
    return Workbook(
        title=document.build.name,
        locale=localizer.locale.formats,
        tables=(*(table for table, _ in made), *tables.values()),
        looks={**results.marked(looks), **{table.name: look for table, look in made}},
        money_places=money_places,
        lost=lost,
    )


def inventory_workbook(request: GapRequest, statement: GapStatement) -> Workbook:
    """Return the inventory of a request as a workbook: every line with its formulas, and what they are made from.

    Nothing of policies, losses and answers. request: dated and completed, as its statement was made from it.
    """
    localizer = localizer_for(request.locale, request.build.currency)
    lines, look = _results(request, request, statement, localizer, ()).line_values()
    tables = {name: table for name, table in document_tables(request, localizer).items() if name in _INVENTORY}
    return Workbook(
        title=request.build.name,
        locale=localizer.locale.formats,
        tables=(lines, *tables.values()),
        looks={**input_looks(tables, localizer, {}), lines.name: look},
        money_places=_money_places(request),
    )


def _results(
    document: GapRequest, request: GapRequest, statement: GapStatement, localizer: Localizer, lost: tuple[str, ...]
) -> ResultSheets:
    """Return the results of a document, of which the request is what is computed."""
    detailed = replace(request, options=replace(request.options, workings=True))
    estimate = appraisal.gap_statement(replace(detailed, losses=(), policies=()), statement.as_of).estimate
    return ResultSheets(document, statement, estimate, localizer, money_places=_money_places(document), notes=lost)


def _money_places(document: GapRequest) -> int:
    places = exponent_of(document.build.currency)
    return 2 if places is None else places


def document_of(read: ReadDocument) -> GapRequest:
    """Return the document as written, once it is known to be one that can be computed. Raises InvalidInputError."""
    faults = list(read.faults)
    try:
        document = validation.read(validation.write_json(read.values), GapRequest, today())
        completed(document)
    except validation.InvalidInputError as error:
        faults.extend(_elsewhere(read.in_cells(error.faults), read.faults))
    if faults:
        raise validation.InvalidInputError(faults)
    return document


def _elsewhere(faults: tuple[Fault, ...], told: tuple[Fault, ...]) -> Iterator[Fault]:
    """Yield the faults, one for each cell, but for those that were told already: what cannot be read is not missing."""
    cells = {fault.cell for fault in told if fault.cell}
    for fault in faults:
        for place in (fault.cell, *fault.also_at):
            if not place or place not in cells:
                yield replace(fault, cell=place, also_at=())


def _lost(read: ReadDocument, localizer: Localizer) -> tuple[str, ...]:
    """Return in words what the workbook with the results does not have."""
    return tuple(_losses(read, localizer))


def _losses(read: ReadDocument, localizer: Localizer) -> Iterator[str]:
    own = texts().workbook
    for sheet in read.unread_sheets:
        yield localizer.format(own["sheet_not_read"], sheet=sheet)
    for sheet, header in read.unread_columns:
        yield localizer.format(own["column_not_read"], sheet=sheet, header=header)
    if read.formulas:
        more = len(read.formulas) - _MOST_FORMULAS
        cells = ", ".join(read.formulas[:_MOST_FORMULAS]) + (f", + {more:,}" if more > 0 else "")
        yield localizer.format(own["formulas_not_kept"], cells=cells)
