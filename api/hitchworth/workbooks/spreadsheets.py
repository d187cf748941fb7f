"""Read XLSX and ODS into tables of cells. The values come from calamine, once the file has been checked."""

from collections.abc import Mapping
from datetime import date, datetime, time, timedelta
from decimal import Decimal
from posixpath import normpath
from typing import NamedTuple

from python_calamine import CalamineError, CalamineSheet, SheetTypeEnum, SheetVisibleEnum, load_workbook

from hitchworth.workbooks.archive import repacked, unpacked
from hitchworth.workbooks.cells import Cell, Unreadable, cell_name
from hitchworth.workbooks.sheet_scan import Attributes, SheetScan, WithoutValue, elements, scan_ods, scan_xlsx
from hitchworth.workbooks.table import MAX_COLUMNS, MAX_LINES, Source, Table, UnreadableFileError

_WORKBOOK = "xl/workbook.xml"
_CONTENT = "content.xml"
_NO_SHEETS = ("sharedStrings.xml", "styles.xml")


def read_spreadsheet(content: bytes) -> Source:
    """Return the visible sheets of an XLSX or ODS file. Raises UnreadableFileError."""
    parts = unpacked(content)
    if _WORKBOOK in parts:
        form, outline = "xlsx", _xlsx_outline(parts)
    elif _CONTENT in parts:
        form, outline = "ods", _Outline(scan_ods(parts[_CONTENT]), False)
    else:
        raise UnreadableFileError("The file is no workbook. Send .csv, .xlsx or .ods.")
    try:
        with load_workbook(repacked(parts)) as workbook:
            sheets = [sheet for sheet in workbook.sheets_metadata if sheet.typ == SheetTypeEnum.WorkSheet]
            visible = [sheet.name for sheet in sheets if sheet.visible == SheetVisibleEnum.Visible]
            tables = [_table(workbook.get_sheet_by_name(name), outline) for name in visible]
    except UnreadableFileError:
        raise
    except (CalamineError, OSError, ValueError) as error:
        raise UnreadableFileError(f"The file is damaged: {error}. Save it again and retry.") from None
    except BaseException as error:
        if type(error).__name__ != "PanicException":  # how the reader, which is no Python, gives up
            raise
        raise UnreadableFileError("The file is damaged: its sheets cannot be read. Save it again and retry.") from None
    hidden = tuple(sheet.name for sheet in sheets if sheet.visible != SheetVisibleEnum.Visible)
    return Source(tables=tuple(tables), form=form, hidden=hidden)


class _Outline(NamedTuple):
    """What the parts say beside the values: by sheet what its XML says, and from when dates count."""

    scans: Mapping[str, SheetScan]
    dates_from_1904: bool


def _xlsx_outline(parts: Mapping[str, bytes]) -> _Outline:
    """Scan every sheet of the workbook, hidden ones too: the reader may allocate them all."""
    sheets: dict[str, str] = {}
    dates_from_1904 = False

    def start(name: str, attributes: Attributes) -> None:
        nonlocal dates_from_1904
        if name == "sheet":
            key = next((value for name, value in attributes.items() if name.endswith(":id")), "")
            sheets[key] = attributes.get("name", "")
        elif name == "workbookPr":
            dates_from_1904 = attributes.get("date1904", "") in ("1", "true")

    elements(parts[_WORKBOOK], start)
    paths = _targets(parts.get("xl/_rels/workbook.xml.rels", b""))
    # Every part that may be a sheet: the reader may find one by another way than this.
    may_be_sheets = {name for name in parts if name.endswith(".xml") and not name.endswith(_NO_SHEETS)}
    may_be_sheets |= {paths[key] for key in sheets if paths.get(key) in parts}
    scans = {path: scan_xlsx(parts[path]) for path in sorted(may_be_sheets)}
    found = {name: scans[path] for key, name in sheets.items() if (path := paths.get(key, "")) in scans}
    return _Outline(found, dates_from_1904)


def _targets(part: bytes) -> dict[str, str]:
    """Return the path of each part that the workbook refers to, by the id of the reference."""
    paths: dict[str, str] = {}

    def start(name: str, attributes: Attributes) -> None:
        if name == "Relationship":
            target = attributes.get("Target", "")
            paths[attributes.get("Id", "")] = target.lstrip("/") if target.startswith("/") else normpath(f"xl/{target}")

    if part:
        elements(part, start)
    return paths


def _table(sheet: CalamineSheet, outline: _Outline) -> Table:
    rows = [[_cell(value) for value in row] for row in sheet.to_python(skip_empty_area=False)]
    scan = outline.scans.get(sheet.name, SheetScan({}, set()))
    for place, unreadable in {**_merged(sheet), **scan.unreadable}.items():
        _put(rows, place, unreadable)
    width = max(map(len, rows), default=0)
    filled = tuple((*row, *[None] * (width - len(row))) for row in rows)
    return Table(
        name=sheet.name,
        rows=filled,
        dates_from_1904=outline.dates_from_1904,
        formulas=tuple(sorted(scan.formulas)),
    )


def _put(rows: list[list[Cell]], place: tuple[int, int], cell: Unreadable) -> None:
    """Put a cell in its place, which may lie beyond the values."""
    row, column = place
    rows.extend([] for _ in range(row + 1 - len(rows)))
    rows[row].extend([None] * (column + 1 - len(rows[row])))
    rows[row][column] = cell


def _merged(sheet: CalamineSheet) -> WithoutValue:
    """Return the cells of merged ranges except the first of each, which has the value.

    Raises UnreadableFileError where they are more than there can be: ranges that lie upon each other.
    """
    merged: WithoutValue = {}
    remaining = MAX_LINES * MAX_COLUMNS
    for (top, left), (bottom, right) in sheet.merged_cell_ranges or ():
        rows = range(top, min(bottom + 1, top + sheet.height + 1, MAX_LINES))
        columns = range(left, min(right + 1, MAX_COLUMNS))
        remaining -= len(rows) * len(columns)
        if remaining < 0:
            raise UnreadableFileError("The file is damaged: its merged cells overlap. Save it again and retry.")
        first = Unreadable("merged", cell_name(top, left))
        merged |= {(row, column): first for row in rows for column in columns if (row, column) != (top, left)}
    return merged


def _cell(value: object) -> Cell:
    """Return a value of the reader as a cell. A number has at most 12 digits: the file holds binary fractions."""
    match value:
        case bool():
            return value
        case int() | float():
            return Decimal(f"{value:.12g}")
        case datetime():
            return value.date() if value.time() == time() else value.isoformat(" ")
        case date():
            return value
        case timedelta():
            return _clock(value)
        case time():
            return _clock(timedelta(hours=value.hour, minutes=value.minute, seconds=value.second))
    return str(value).strip() or None


def _clock(duration: timedelta) -> str:
    minutes = round(duration.total_seconds() / 60)
    return f"{minutes // 60}:{minutes % 60:02}"
