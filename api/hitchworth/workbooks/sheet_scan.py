"""What the XML of a sheet says that a reader of values does not: how far it reaches, and which cells are formulas.

The reader gives an empty cell for an error and for a formula that was never computed, and allocates a rectangle up to
the last cell with content, however far that is.
"""

import re
from collections.abc import Callable, Mapping
from typing import Any, NamedTuple
from xml.parsers.expat import ExpatError, ParserCreate

from hitchworth.workbooks.cells import Unreadable, cell_place
from hitchworth.workbooks.table import MAX_COLUMNS, MAX_LINES, TOO_MANY_ROWS, UnreadableFileError

Attributes = Mapping[str, str]

_NUMBER = re.compile(r"[1-9][0-9]{0,7}")
_NO_PLACE = "The file is damaged: a cell of it has no place. Save it again and retry."

WithoutValue = dict[tuple[int, int], Unreadable]
"""The cells of one sheet that have no value, by row and column counted from 0."""


class SheetScan(NamedTuple):
    """What was found in one sheet."""

    unreadable: WithoutValue
    formulas: set[tuple[int, int]]
    """The cells whose value a formula gives, by row and column counted from 0."""


def elements(
    part: bytes,
    start: Callable[[str, Attributes], None],
    end: Callable[[str], None] | None = None,
    text: Callable[[str], None] | None = None,
) -> None:
    """Call the functions for each element of an XML part, its name without the prefix, and for the texts in them.

    Raises UnreadableFileError when it is no XML, or defines entities, which only an attack does.
    """

    def refuse(*_: Any) -> None:
        raise UnreadableFileError("The file defines XML entities, which no spreadsheet program does.")

    def started(name: str, attributes: dict[str, str]) -> None:
        start(_local(name), attributes)

    parser = ParserCreate()
    parser.EntityDeclHandler = refuse
    parser.StartElementHandler = started
    if end is not None:
        parser.EndElementHandler = lambda name: end(_local(name))
    if text is not None:
        parser.CharacterDataHandler = text
    try:
        parser.Parse(part, True)
    except UnreadableFileError:
        raise
    except (ExpatError, LookupError, ValueError):  # the last two: of an encoding that is not known
        raise UnreadableFileError("The file is damaged: a part of it is no XML. Save it again and retry.") from None


def _local(name: str) -> str:
    return name.rpartition(":")[2]


def scan_xlsx(part: bytes) -> SheetScan:
    """Return what a worksheet part says. Raises UnreadableFileError when it reaches too far."""
    scan = _XlsxScan()
    elements(part, scan.start, scan.end, scan.text)
    return scan.found


class _XlsxScan:
    """Follows the cells of a worksheet; a cell without a name comes after the one before."""

    def __init__(self) -> None:
        self.found = SheetScan({}, set())
        self._row, self._column = -1, -1
        self._has_formula = self._has_value = self._is_error = self._in_value = False

    def start(self, name: str, attributes: Attributes) -> None:
        match name:
            case "row":
                self._row = _number(attributes, "r", self._row + 2) - 1
                self._column = -1
            case "c":
                self._row, self._column = self._place(attributes)
                self._has_formula = False
                self._has_value = attributes.get("t") == "str"  # the result of a formula may be an empty text
                self._is_error = attributes.get("t") == "e"
            case "f":
                self._has_formula = True
            case "v" | "is":
                self._in_value = True
                check_reach(self._row, self._column)

    def _place(self, attributes: Attributes) -> tuple[int, int]:
        if "r" not in attributes:
            return self._row, self._column + 1
        place = cell_place(attributes["r"].upper())
        if place is None:
            raise UnreadableFileError(_NO_PLACE)
        return place

    def text(self, _: str) -> None:
        self._has_value = self._has_value or self._in_value

    def end(self, name: str) -> None:
        match name:
            case "v" | "is":  # one that is empty is no value: some programs write it beside every formula
                self._in_value = False
            case "c" if self._is_error:
                self.found.unreadable[self._row, self._column] = Unreadable("error")
            case "c" if self._has_formula:
                check_reach(self._row, self._column)
                if self._has_value:
                    self.found.formulas.add((self._row, self._column))
                else:
                    self.found.unreadable[self._row, self._column] = Unreadable("no_value")


def check_reach(row: int, column: int) -> None:
    """Raise UnreadableFileError for a place that is too far down or to the right."""
    if row >= MAX_LINES:
        raise UnreadableFileError(TOO_MANY_ROWS)
    if column >= MAX_COLUMNS:
        raise UnreadableFileError(f"The table has more than {MAX_COLUMNS} columns. Leave out what is not needed.")


def scan_ods(part: bytes) -> dict[str, SheetScan]:
    """Return what the content of an .ods file says, by name of the sheet. Raises UnreadableFileError for a far cell."""
    scan = _OdsScan()
    elements(part, scan.start, scan.end)
    return scan.sheets


class _OdsScan:
    """Follows the cells of an .ods file, where rows and cells are written once for all their repetitions."""

    def __init__(self) -> None:
        self.sheets: dict[str, SheetScan] = {}
        self._found = SheetScan({}, set())
        self._row = self._column = 0
        self._rows = self._columns = 1
        self._attributes: Attributes = {}
        self._has_content = self._in_cell = False

    def start(self, name: str, attributes: Attributes) -> None:
        match name:
            case "table":
                self._found = self.sheets.setdefault(attributes.get("table:name", ""), SheetScan({}, set()))
                self._row = 0
            case "table-row":
                self._rows, self._column = _number(attributes, "table:number-rows-repeated"), 0
            case "table-cell" | "covered-table-cell":
                self._columns = _number(attributes, "table:number-columns-repeated")
                self._attributes, self._in_cell = attributes, True
                self._has_content = "office:value-type" in attributes or "table:formula" in attributes
            case "p" if self._in_cell:
                self._has_content = True

    def end(self, name: str) -> None:
        match name:
            case "table-cell" | "covered-table-cell":
                if self._has_content:
                    self._enter()
                self._column += self._columns
                self._in_cell = False
            case "table-row":
                self._row += self._rows

    def _enter(self) -> None:
        check_reach(self._row + self._rows - 1, self._column + self._columns - 1)
        attributes = self._attributes
        if attributes.get("calcext:value-type") == "error":
            self._found.unreadable[self._row, self._column] = Unreadable("error")
        elif "table:formula" in attributes and "office:value-type" not in attributes:
            self._found.unreadable[self._row, self._column] = Unreadable("no_value")
        elif "table:formula" in attributes:
            self._found.formulas.add((self._row, self._column))


def _number(attributes: Attributes, name: str, default: int = 1) -> int:
    """Return a number of rows or columns. Raises UnreadableFileError for what the reader would take in its own way."""
    if name not in attributes:
        return default
    if not _NUMBER.fullmatch(attributes[name]):
        raise UnreadableFileError(_NO_PLACE)
    return int(attributes[name])
