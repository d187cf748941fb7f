"""A workbook with its wrong cells marked: its own cells as they were read, and a list of the faults before them."""

from collections.abc import Mapping, Sequence

from msgspec.structs import replace

from hitchworth.localization.localizer import Localizer
from hitchworth.localization.texts import texts
from hitchworth.model.fault import Fault
from hitchworth.workbooks.cells import Row, Unreadable, cell_place
from hitchworth.workbooks.document_reading import ReadDocument
from hitchworth.workbooks.document_sheets import sheet_name
from hitchworth.workbooks.input_looks import input_looks
from hitchworth.workbooks.look import Look, Workbook
from hitchworth.workbooks.table import Source, Table


def marked_workbook(source: Source, read: ReadDocument, faults: Sequence[Fault], localizer: Localizer) -> Workbook:
    """Return the sheets of a workbook that are read, with each wrong cell colored and its fault as a comment."""
    kept = {kind: _without_unreadable(table) for table in source.tables if (kind := read.kinds.get(table.name))}
    looks = input_looks(kept, localizer, read.heads)
    by_sheet: dict[str, dict[tuple[int, int], str]] = {}
    for fault in faults:
        for name in (fault.cell, *fault.also_at):
            sheet, _, cell = name.rpartition("!")
            place = cell_place(cell)
            if place is not None:
                by_sheet.setdefault(sheet, {})[place] = _sentence(fault)
    tables = tuple(_reaching(table, by_sheet.get(table.name, {})) for table in kept.values())
    listed, look = _fault_table(faults, localizer)
    marked = {name: _marked(looks.get(name, Look()), places) for name, places in by_sheet.items()}
    return Workbook(
        title=listed.name,
        locale=localizer.locale.formats,
        tables=(listed, *tables),
        looks={**looks, **marked, listed.name: look},
        fault_count=sum(1 + len(fault.also_at) for fault in faults),
    )


def _marked(look: Look, places: Mapping[tuple[int, int], str]) -> Look:
    styles = {**look.styles, **dict.fromkeys(places, "wrong")}
    return replace(look, styles=styles, comments={**look.comments, **places})


def _reaching(table: Table, places: Mapping[tuple[int, int], str]) -> Table:
    """Return the table with cells as far as the marks reach: an empty cell can be wrong."""
    height = max((row + 1 for row, _ in places), default=0)
    width = max((column + 1 for _, column in places), default=0)
    rows: list[Row] = [
        (*row, *[None] * (width - len(row))) for row in (*table.rows, *[()] * max(0, height - len(table.rows)))
    ]
    return replace(table, rows=tuple(rows))


def _without_unreadable(table: Table) -> Table:
    rows = (tuple(None if isinstance(cell, Unreadable) else cell for cell in row) for row in table.rows)
    return replace(table, rows=tuple(rows))


def _sentence(fault: Fault) -> str:
    more = [f"{word}: {text}" for word, text in (("expected", fault.expected), ("found", fault.found)) if text]
    return "; ".join((fault.detail, *more))


def _fault_table(faults: Sequence[Fault], localizer: Localizer) -> tuple[Table, Look]:
    own = texts().workbook
    head = tuple(localizer.translate(own[name]) for name in ("cell", "wrong", "expected", "found", "also_in"))
    rows = (
        (fault.cell or fault.pointer, fault.detail, fault.expected, fault.found, ", ".join(fault.also_at))
        for fault in faults
    )
    look = Look(widths=(22, 44, 44, 30, 40), columns=dict.fromkeys(range(5), "text"))
    return Table(name=sheet_name("fault", localizer), rows=(head, *rows)), look
