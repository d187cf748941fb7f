"""A workbook with its wrong cells marked: its own cells as they were read, and a list of the faults before them."""

import re
from collections.abc import Iterator, Mapping, Sequence
from functools import partial

from msgspec.structs import replace

from hitchworth.localization.faults import localize_fault
from hitchworth.localization.localizer import Localizer
from hitchworth.localization.texts import texts
from hitchworth.model.fault import Fault
from hitchworth.workbooks.cells import Row, Unreadable, cell_place
from hitchworth.workbooks.columns import RECORDS, columns_of
from hitchworth.workbooks.document_reading import ReadDocument
from hitchworth.workbooks.document_sheets import FORM, sheet_name
from hitchworth.workbooks.input_looks import input_looks
from hitchworth.workbooks.look import Look, Workbook
from hitchworth.workbooks.table import Source, Table

_FIELD = re.compile(r"\b[a-z]+(?:_[a-z0-9]+)+\b")


def marked_workbook(source: Source, read: ReadDocument, faults: Sequence[Fault], localizer: Localizer) -> Workbook:
    """Return the sheets of a workbook that are read, with each wrong cell colored and its fault as a comment."""
    kept = {kind: _without_unreadable(table) for table in source.tables if (kind := read.kinds.get(table.name))}
    looks = input_looks(kept, localizer, read.heads)
    told = _in_order([_in_words(fault, read.kinds, localizer) for fault in faults], list(read.kinds))
    by_sheet: dict[str, dict[tuple[int, int], str]] = {}
    for fault in told:
        for name in (fault.cell, *fault.also_at):
            sheet, _, cell = name.rpartition("!")
            place = cell_place(cell)
            if place is not None:
                by_sheet.setdefault(sheet, {})[place] = _sentence(fault, localizer)
    tables = tuple(_reaching(table, by_sheet.get(table.name, {})) for table in kept.values())
    listed, look = _fault_table(told, localizer)
    marked = {name: _marked(looks.get(name, Look()), places) for name, places in by_sheet.items()}
    return Workbook(
        title=listed.name,
        locale=localizer.locale.formats,
        tables=(listed, *tables),
        looks={**looks, **marked, listed.name: look},
        fault_count=sum(1 + len(fault.also_at) for fault in faults),
    )


def _in_words(fault: Fault, kinds: Mapping[str, str], localizer: Localizer) -> Fault:
    """Return a fault in the locale, with the headers of the sheet in place of the names of fields."""
    said = localize_fault(fault, localizer)
    kind = kinds.get(fault.cell.rpartition("!")[0], "")
    named = partial(_FIELD.sub, lambda found: _header(found[0], kind, localizer))
    return replace(said, detail=named(said.detail), expected=named(said.expected))


def _header(name: str, kind: str, localizer: Localizer) -> str:
    """Return what a sheet calls a field, or a fact; the name itself where it is neither."""
    records = FORM if kind == "build" else (kind,)
    columns = (column for record in records if record in RECORDS for column in columns_of(record))
    column = next((column for column in columns if column.field.rpartition(".")[2] == name), None)
    header = localizer.label("fact", name) if column is None else column.header(localizer)
    is_known = column is not None or name in texts().labels["fact"]
    return localizer.format(texts().workbook["quoted"], text=header) if is_known else name


def _in_order(faults: Sequence[Fault], sheets: Sequence[str]) -> list[Fault]:
    """Return the faults as the sheets come, and in each by row and column; before them those of no cell."""

    def place(name: str) -> tuple[int, int, int]:
        sheet, _, cell = name.rpartition("!")
        row, column = cell_place(cell) or (-1, -1)
        return (sheets.index(sheet) if sheet in sheets else -1, row, column)

    places = (sorted((fault.cell, *fault.also_at), key=place) for fault in faults)
    ordered = [
        replace(fault, cell=first, also_at=tuple(more)) for fault, (first, *more) in zip(faults, places, strict=True)
    ]
    return sorted(ordered, key=lambda fault: place(fault.cell))


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


def _sentence(fault: Fault, localizer: Localizer) -> str:
    own = texts().workbook
    more = (("expected_is", fault.expected), ("found_is", fault.found))
    return "; ".join((fault.detail, *(localizer.format(own[name], text=text) for name, text in more if text)))


def _fault_table(faults: Sequence[Fault], localizer: Localizer) -> tuple[Table, Look]:
    own = texts().workbook
    head = tuple(localizer.translate(own[name]) for name in ("cell", "wrong", "expected", "found", "also_in"))
    rows = tuple(
        (fault.cell or fault.pointer, fault.detail, fault.expected, fault.found, "\n".join(_lines(fault.also_at)))
        for fault in faults
    )
    look = Look(
        widths=(22, 44, 44, 30, 40),
        columns=dict.fromkeys(range(5), "text"),
        links={(row, 0): fault.cell for row, fault in enumerate(faults, start=1) if fault.cell},
    )
    return Table(name=sheet_name("fault", localizer), rows=(head, *rows)), look


_MOST_LISTED = 20


def _lines(cells: Sequence[str]) -> Iterator[str]:
    """Yield the first of many cells on a line, and how many more there are on another."""
    if cells:
        yield ", ".join(cells[:_MOST_LISTED])
    if len(cells) > _MOST_LISTED:
        yield f"+ {len(cells) - _MOST_LISTED:,}"
