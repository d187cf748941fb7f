"""Values for the rows of a spreadsheet: the rows come as text from its macro, and what to write beside them goes back.

The docstrings of the functions are the descriptions of the API.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date
from decimal import Decimal
from typing import Annotated
from urllib.parse import quote

from msgspec import Meta
from msgspec.structs import replace

from hitchworth import validation
from hitchworth.localization.faults import fault_in_a_line
from hitchworth.localization.localize import localize
from hitchworth.localization.localizer import Localizer, localizer_for
from hitchworth.localization.texts import texts
from hitchworth.model.build import Build
from hitchworth.model.document import Locale
from hitchworth.model.estimate import Estimate, EstimateLine
from hitchworth.model.fault import Fault
from hitchworth.model.receipt_import import ImportedRow, ImportQuestion, ImportSettings, ReceiptImport
from hitchworth.model.request import EstimateRequest
from hitchworth.model.sheet_values import SheetRow, SheetValues
from hitchworth.model.strings import CurrencyCode
from hitchworth.operations.appraisals import create_estimate
from hitchworth.operations.clock import today
from hitchworth.operations.requests import completed
from hitchworth.operations.workbooks import document_of
from hitchworth.workbooks.cells import cell_name, cell_place
from hitchworth.workbooks.document_reading import ReadDocument, read_workbook
from hitchworth.workbooks.imports import FIELD_OPTIONS, import_receipts
from hitchworth.workbooks.rows import OR_FILL_DOWN, OR_LEAVE_OUT
from hitchworth.workbooks.sheet_text import read_sheet_text
from hitchworth.workbooks.table import Source, Table
from hitchworth.workbooks.writing import LISTS_SHEET

SheetLocale = Annotated[
    Locale | None, Meta(description="Language of the remarks. Default: as the sheet of the build says, or en-US.")
]
AsOf = Annotated[
    date | None,
    Meta(description="Valuation date. Default: that in the sheet of the build, or today.", examples=["2026-11-01"]),
]
Currency = Annotated[
    CurrencyCode | None,
    Meta(
        description="Currency of the amounts in a table of receipts or hours, unless `settings` names one. Default: by "
        "their signs or codes, else that of the locale. A build names its own.",
        examples=["GBP"],
    ),
]
ReadingSettings = Annotated[
    ImportSettings | None,
    Meta(description="How a table of receipts or hours is to be read, as JSON. What is left out is recognized."),
]
Faults = Annotated[
    bool,
    Meta(
        description="With wrong cells: true answers with a remark for each of their rows; false with a problem that "
        "names the cells. Default: false."
    ),
]

_ENTRIES = {"component": "/build/components", "labor": "/build/labor"}
_CORRECTIONS = {
    OR_LEAVE_OUT: "or remove the row from the sheet",
    **dict.fromkeys(OR_FILL_DOWN.values(), "or the same as in the cell above, where it is that of the row above"),
    FIELD_OPTIONS["exchange_rate"]: "; in a column with the header exchange_rate",
}
"""What a person does in the sheet itself, by the option that an import names for it."""
_NOT_ABOUT_VALUES = ("no_evidence", "evidence_of_some", "evidence_of_all")
"""Notes of an import on how wide the range of a cost is, which these rows do not have."""


def create_sheet_values(
    request: bytes,
    locale: SheetLocale = None,
    as_of: AsOf = None,
    settings: ReadingSettings = None,
    *,
    currency: Currency = None,
    mark_faults: Faults = False,
) -> SheetValues:
    """Value the rows of a spreadsheet.

    The rows are the body, as the macros of GET /v1/macros send them: a line for each row, with the name of its sheet
    and its cells, tabs between them. A number has a decimal point, a date is YYYY-MM-DD, and a text has an apostrophe
    before it. With a sheet that describes the build, as in GET /v1/workbook-template, its components and labor are
    valued; without one, the first sheet, as a table of receipts or hours. The response says what to write into which
    row: replacement cost, percent good, actual cash value and a remark; below the rows of each sheet, their sums. As
    CSV or TSV: the rows.
    """
    source = _visible(read_sheet_text(request))
    try:
        read = read_workbook(source)
        if "build" in read.kinds.values():
            return _of_document(read, source, locale, as_of)
        how = settings or ImportSettings()
        how = replace(how, currency=how.currency or currency)
        return _of_receipts(source.tables[0], how, locale or "en-US", as_of or today())
    except validation.InvalidInputError as error:
        if not mark_faults:
            raise
        heads = {name: read.heads.get(name, 0) for name in read.kinds} if "build" in read.kinds.values() else {}
        return _with_faults(error, source, heads, localizer_for(locale or "en-US"), as_of or today())


def _visible(source: Source) -> Source:
    """Return the sheets without our own, which has the words of the drop-down lists."""
    return replace(source, tables=tuple(table for table in source.tables if table.name != LISTS_SHEET))


def _of_document(read: ReadDocument, source: Source, locale: str | None, as_of: date | None) -> SheetValues:
    """Return the values of the components and the labor of a document."""
    document = document_of(read)
    localizer = localizer_for(locale or document.locale, document.build.currency)
    request = EstimateRequest(
        build=document.build,
        as_of=as_of or document.as_of or today(),
        options=document.options,
        locale=localizer.locale.formats,
    )
    estimate = create_estimate(completed(request))
    names = {kind: name for name, kind in read.kinds.items() if kind in _ENTRIES}
    tables = {table.name: table for table in source.tables}
    rows: list[SheetRow] = []
    for kind, name in names.items():
        records = read.sheets.get(_ENTRIES[kind])
        if records is not None and records.values:
            ids = [(row + 1, str(value["id"])) for row, value in zip(records.rows, records.values, strict=True)]
            rows += _sheet(name, read.heads[name] + 1, len(tables[name].rows), _lines(name, ids, estimate, localizer))
    if not rows:
        expected = f"a row in {' or '.join(names) or 'a sheet of components or labor'}"
        raise validation.InvalidInputError([Fault(pointer="", detail="There is nothing to value", expected=expected)])
    unread = [
        localizer.format(texts().workbook["column_not_read"], sheet=sheet, header=header)
        for sheet, header in read.unread_columns
    ]
    return _values(estimate, localizer, rows, unread)


def _lines(sheet: str, ids: Iterable[tuple[int, str]], estimate: Estimate, localizer: Localizer) -> Iterator[SheetRow]:
    """Yield the row of each entry: its values, with the notes on it, or that it does not count on this date."""
    lines = {line.id: line for line in estimate.lines}
    for row, identifier in ids:
        line = lines.get(identifier)
        if line is None:
            remark = localizer.format(texts().macro["not_counted"], as_of=estimate.as_of)
            yield SheetRow(sheet=sheet, row=row, kind="left_out", remark=remark)
        else:
            yield _line(sheet, row, line, (note.text for note in estimate.notes if note.about == identifier))


def _line(sheet: str, row: int, line: EstimateLine, remarks: Iterable[str]) -> SheetRow:
    return SheetRow(
        sheet=sheet,
        row=row,
        kind="line",
        replacement_cost=line.replacement_cost,
        percent_good=line.percent_good,
        actual_cash_value=line.actual_cash_value,
        remark=" ".join(remarks),
    )


def _of_receipts(table: Table, settings: ImportSettings, locale: str, as_of: date) -> SheetValues:
    """Return the values of a table of receipts or hours, each row on its own.

    Raises InvalidInputError, also for what the table does not decide: a macro has nobody to ask but the sheet.
    """
    if not table.rows:
        fault = Fault(
            pointer="",
            cell=cell_name(0, 0, table.name),
            detail="The sheet is empty",
            expected="a row of headers, such as Date, Description and Price, and a row for each purchase below it",
        )
        raise validation.InvalidInputError([fault])
    try:
        read = import_receipts(Source(tables=(table,), form="tsv"), replace(settings, sheet=table.name), locale)
    except validation.InvalidInputError as error:
        error.faults = tuple(map(_in_the_sheet, error.faults))
        raise
    imported = localize(read, locale)
    if imported.questions:
        raise validation.InvalidInputError([*_questions(imported, table)])
    if imported.settings.header_row == 0:
        expected = "a row of headers above the first purchase, such as Date, Description and Price"
        cell = cell_name(0, 0, table.name)
        raise validation.InvalidInputError([Fault(pointer="", cell=cell, detail="No headers", expected=expected)])
    build = Build(
        name="-",
        currency=imported.settings.currency or "USD",
        components=imported.components,
        labor=imported.labor,
    )
    estimate = create_estimate(completed(EstimateRequest(build=build, as_of=as_of, locale=imported.locale)))
    localizer = localizer_for(imported.locale, build.currency)
    first = min((row.row for row in imported.rows), default=2)
    lines = _receipt_rows(table.name, imported, estimate, localizer)
    rows = _sheet(table.name, first - 1, len(table.rows), lines)
    notes = [note.text for note in imported.notes if note.code not in _NOT_ABOUT_VALUES]
    return _values(estimate, localizer, rows, notes)


def _receipt_rows(sheet: str, imported: ReceiptImport, estimate: Estimate, localizer: Localizer) -> Iterator[SheetRow]:
    """Yield the row of each receipt: its values with the category that was guessed, or what became of it."""
    lines = {line.id: line for line in estimate.lines}
    guessed = {guess.id: guess.value for guess in imported.guesses if guess.field == "category"}
    for row in imported.rows:
        line = lines.get(row.id or "") if row.outcome in ("purchase", "work") else None
        if line is not None:
            category = guessed.get(line.id)
            remark = localizer.format(texts().macro["category_taken"], category=category) if category else ""
            yield _line(sheet, row.row, line, [remark] if remark else [])
        else:
            remark = _became(row, estimate, localizer)
            yield SheetRow(sheet=sheet, row=row.row, kind="left_out", remark=remark)


def _became(row: ImportedRow, estimate: Estimate, localizer: Localizer) -> str:
    """Return what became of a row that is not a line."""
    if row.outcome in ("purchase", "work"):
        return localizer.format(texts().macro["not_counted"], as_of=estimate.as_of)
    outcome = localizer.heading("row_outcome", row.outcome)
    return f"{outcome}: {localizer.label('left_out_reason', row.reason)}" if row.reason else outcome


def _questions(imported: ReceiptImport, table: Table) -> Iterator[Fault]:
    """Yield a fault for each cell that can be read in several ways, or for the headers."""
    for question in imported.questions:
        for cell in question.cells or (cell_name(0, 0, table.name),):
            yield Fault(
                pointer="",
                cell=cell if "!" in cell else f"{table.name}!{cell}",
                detail=question.text,
                expected=_remedy(question),
            )


def _in_the_sheet(fault: Fault) -> Fault:
    """Return a fault with what a person corrects in the sheet, where an import has options for it."""
    expected = fault.expected
    for option, correction in _CORRECTIONS.items():
        expected = expected.replace(option, correction)
    return replace(fault, expected=expected)


def _remedy(question: ImportQuestion) -> str:
    """Return how a person answers a question in the sheet itself."""
    if not question.choices:  # as of money back for which there is no purchase
        return "another value in the row, or the row taken out of the sheet"
    readings = [choice.reading or choice.value for choice in question.choices]
    match question.setting:
        case "columns":
            headers = [choice.value.rpartition("=")[2].replace("_", " ") for choice in question.choices]
            shown = (
                f"“{header}”" + (f" for {choice.reading}" if choice.reading else "")
                for header, choice in zip(headers, question.choices, strict=True)
            )
            return f"the header {' or '.join(shown)}"
        case "date_order":
            return f"a date that the spreadsheet knows as one: {' or '.join(readings)}"
        case "decimal_mark":
            return f"a number that the spreadsheet knows as one: {' or '.join(readings)}"
        case "currency":
            codes = [choice.value for choice in question.choices]
            return f"the currency in the header of the amounts, as “Price {codes[0]}”: {' or '.join(codes)}"
        case setting:
            values = [choice.value for choice in question.choices]
            ways = " or ".join(
                f"{value} ({choice.reading})" if choice.reading else value
                for value, choice in zip(values, question.choices, strict=True)
            )
            name, _, value = values[0].partition("=")
            declared = {setting: {name: value} if value else name}
            example = quote(validation.write_json(declared))
            return f"{ways}; in the macro, at the end of its line ADDRESS: &settings={example}"


def _sheet(name: str, head: int, last: int, rows: Iterable[SheetRow]) -> list[SheetRow]:
    """Return the rows of a sheet with its headings, and its sums two rows below the last one."""
    own = tuple(rows)
    lines = [row for row in own if row.kind == "line"]
    total = SheetRow(
        sheet=name,
        row=last + 2,
        kind="total",
        replacement_cost=sum((row.replacement_cost or Decimal(0) for row in lines), Decimal(0)),
        actual_cash_value=sum((row.actual_cash_value or Decimal(0) for row in lines), Decimal(0)),
    )
    return [SheetRow(sheet=name, row=head, kind="heading"), *own, total]


def _values(estimate: Estimate, localizer: Localizer, rows: Sequence[SheetRow], notes: Iterable[str]) -> SheetValues:
    """Return the answer: every sum says of which date it is, the last one all that there is to tell."""
    summed = localizer.format(
        texts().macro["summed"],
        as_of=estimate.as_of,
        replacement_cost=estimate.totals.replacement_cost,
        actual_cash_value=estimate.totals.actual_cash_value,
    )
    last = max(place for place, row in enumerate(rows) if row.kind == "total")
    remarks: Mapping[int, str] = {last: " ".join((summed, *notes))}
    return SheetValues(
        locale=localizer.locale.formats,
        as_of=estimate.as_of,
        currency=localizer.currency,
        fault_count=0,
        rows=tuple(
            replace(row, remark=remarks.get(place, summed)) if row.kind == "total" else row
            for place, row in enumerate(rows)
        ),
    )


def _with_faults(
    error: validation.InvalidInputError, source: Source, heads: Mapping[str, int], localizer: Localizer, as_of: date
) -> SheetValues:
    """Return the answer that has no values: a remark for each row with a fault, and below the rows that there are some.

    A fault that is in no cell is told at the top of the first sheet.
    """
    first = source.tables[0].name
    remarks: dict[tuple[str, int], list[str]] = {}
    for fault in error.faults:
        for cell in (fault.cell, *fault.also_at):
            sheet, row = _place(cell) or (first, heads.get(first, 0) + 1)
            remarks.setdefault((sheet, row), []).append(fault_in_a_line(_shown(fault, cell), localizer))
    lengths = {table.name: len(table.rows) for table in source.tables}
    rows: list[SheetRow] = []
    for name in dict.fromkeys(sheet for sheet, _ in remarks):
        head = heads.get(name, 0) + 1
        told = localizer.format(texts().macro["nothing_valued"], count=str(error.count))
        rows.append(SheetRow(sheet=name, row=head, kind="heading", remark=" ".join(remarks.pop((name, head), ()))))
        rows += [
            SheetRow(sheet=name, row=row, kind="fault", remark=" ".join(sentences))
            for (sheet, row), sentences in sorted(remarks.items())
            if sheet == name
        ]
        rows.append(SheetRow(sheet=name, row=lengths.get(name, 0) + 2, kind="total", remark=told))
    return SheetValues(
        locale=localizer.locale.formats, as_of=as_of, currency=None, fault_count=error.count, rows=tuple(rows)
    )


def _place(cell: str) -> tuple[str, int] | None:
    """Return the sheet and the row of a cell named like Components!D14."""
    sheet, _, name = cell.rpartition("!")
    place = cell_place(name)
    return (sheet, place[0] + 1) if sheet and place else None


def _shown(fault: Fault, cell: str) -> Fault:
    """Return a fault as its row tells it: by the column and the row, without the sheet and the other rows."""
    return replace(fault, cell=cell.rpartition("!")[2], also_at=())
