"""Tables of a sheet in a document for a word processor: ruled ones with marked heads, facts, boxes, lines to fill."""

from collections.abc import Sequence
from typing import Literal, TypeAlias, get_args

from docx.document import Document as Word
from docx.enum.table import WD_ROW_HEIGHT_RULE
from docx.enum.text import WD_ALIGN_PARAGRAPH
from docx.oxml import OxmlElement
from docx.oxml.ns import qn
from docx.shared import Length, Pt
from docx.table import Table as Grid
from docx.table import _Cell, _Row

from hitchworth.reports.content import AnyTable, Column, Facts, Group, Table
from hitchworth.reports.docx_layout import width_of

Edge: TypeAlias = Literal["top", "left", "bottom", "right", "insideH", "insideV"]

_TEXT, _HEAD = Pt(8.5), Pt(8)
_LETTER, _BESIDE, _WIDEST = Pt(4.6), Pt(10), Pt(96)
"""The mean width of a letter of a table, what a cell has beside its text, and the most that a narrow column takes."""

_BOX: dict[Edge, int] = {"top": 8, "bottom": 8, "left": 8, "right": 8}


def ruled(word: Word, table: AnyTable) -> None:
    """A table under its caption. Its head is marked as such and stands again on every page of the table."""
    word.add_paragraph(table.caption, "Caption")
    rows = _all_rows(table)
    grid = _grid(word, len(rows) + 1, _widths(word, table.columns, rows))
    _name(grid, table.caption)
    _edges(grid, {"insideH": 4, "bottom": 8})
    _fill(grid.rows[0], [column.title for column in table.columns], table.columns, size=_HEAD, bold=True)
    _head(grid.rows[0])
    for row, (cells, bold) in zip(list(grid.rows)[1:], rows, strict=True):
        _fill(row, cells, table.columns, bold=bold)
    _space(word)


def facts(word: Word, block: Facts) -> None:
    """Label and value, as many pairs side by side as the block has columns."""
    pairs = [block.rows[place : place + block.columns] for place in range(0, len(block.rows), block.columns)]
    label = width_of(word) * (5 if block.columns == 2 else 3) // (11 * block.columns)
    grid = _grid(word, len(pairs), [label, width_of(word) // block.columns - label] * block.columns)
    _edges(grid, {"insideH": 4, "bottom": 4})
    for row, facts_abreast in zip(grid.rows, pairs, strict=True):
        cells = list(row.cells)
        for place, fact in enumerate(facts_abreast):
            _write(cells[2 * place], fact.label, size=_HEAD)
            _write(cells[2 * place + 1], fact.value, size=Pt(9))
    _space(word)


def boxed(word: Word, lines: Sequence[str]) -> None:
    """Lines in a box."""
    grid = _grid(word, 1, [width_of(word)])
    _edges(grid, _BOX)
    cell = grid.rows[0].cells[0]
    _write(cell, lines[0], size=Pt(9))
    for line in lines[1:]:
        cell.add_paragraph(line).runs[0].font.size = Pt(9)
    _space(word)


def answer_box(word: Word, answer: str, signed: Sequence[str]) -> None:
    """Room for an answer, and beside it for who gave it; one row, which no page break parts."""
    side = width_of(word) // (2 * len(signed) + 1)
    grid = _grid(word, 1, [width_of(word) - side * len(signed), *(side for _ in signed)])
    _edges(grid, {**_BOX, "insideV": 4})
    _at_least(grid.rows[0], Pt(72))
    for cell, label in zip(grid.rows[0].cells, (answer, *signed), strict=True):
        _write(cell, label, size=_HEAD)
    _space(word)


def blanks(word: Word, labels: Sequence[str]) -> None:
    """Labels side by side, each over a line to write on."""
    grid = _grid(word, 1, [width_of(word) // len(labels)] * len(labels))
    _edges(grid, {"bottom": 8})
    _at_least(grid.rows[0], Pt(34))
    for cell, label in zip(grid.rows[0].cells, labels, strict=True):
        _write(cell, label, size=_HEAD)
    _space(word)


def _all_rows(table: AnyTable) -> list[tuple[tuple[str, ...], bool]]:
    """The rows below the head, each with whether it is in bold: titles of groups and the foot are."""
    plain = table.rows if isinstance(table, Table) else ()
    groups = () if isinstance(table, Table) else table.groups
    body = [*((row, False) for row in plain), *(row for group in groups for row in _group(group))]
    return [*body, (table.foot, True)] if table.foot else body


def _group(group: Group) -> list[tuple[tuple[str, ...], bool]]:
    return [((group.title, *group.sums), True), *((row, False) for row in group.rows)]


def _widths(word: Word, columns: Sequence[Column], rows: list[tuple[tuple[str, ...], bool]]) -> list[int]:
    """Columns of width 0 as wide as their cells, the others by their share of what is left."""
    narrow = [0 if column.width else _needed(column, place, rows) for place, column in enumerate(columns)]
    left, shares = width_of(word) - sum(narrow), sum(column.width for column in columns)
    return [
        left * column.width // shares if column.width else needed
        for column, needed in zip(columns, narrow, strict=True)
    ]


def _needed(column: Column, place: int, rows: list[tuple[tuple[str, ...], bool]]) -> int:
    cells = [cells[place] for cells, _ in rows if place < len(cells)]
    lines = [line for cell in cells for line in cell.split("\n")]
    letters = max(map(len, lines), default=0)
    of_title = 2 + max(map(len, column.title.split()), default=0)
    return min(max(letters, of_title) * _LETTER + _BESIDE, _WIDEST)


def _grid(word: Word, rows: int, widths: Sequence[int]) -> Grid:
    grid: Grid = word.add_table(rows, len(widths))
    grid.autofit = False
    for column, width in zip(grid.columns, widths, strict=True):
        column.width = Length(width)
    for row in grid.rows:
        for cell, width in zip(row.cells, widths, strict=True):
            cell.width = Length(width)
    return grid


def _fill(row: _Row, cells: Sequence[str], columns: Sequence[Column], *, size: Length = _TEXT, bold: bool) -> None:
    """A row that has fewer cells than columns, the title of a group, spans the rest."""
    places = list(row.cells)
    if len(cells) == 1 and len(places) > 1:
        places = [places[0].merge(places[-1])]
    for cell, text, column in zip(places, cells, columns, strict=False):
        _write(cell, text, size=size, bold=bold, right=column.align == "right")


def _write(cell: _Cell, text: str, *, size: Length, bold: bool = False, right: bool = False) -> None:
    """The text; what follows its first line is small."""
    lines = cell.paragraphs[0]
    lines.paragraph_format.space_after = lines.paragraph_format.space_before = Pt(1.5)
    first, *rest = text.split("\n")
    run = lines.add_run(first)
    run.font.size, run.bold = size, bold
    for line in rest:
        run.add_break()
        run = lines.add_run(line)
        run.font.size = Pt(size.pt - 1)
    if right:
        lines.alignment = WD_ALIGN_PARAGRAPH.RIGHT


def _head(row: _Row) -> None:
    row._tr.get_or_add_trPr().append(OxmlElement("w:tblHeader"))


def _at_least(row: _Row, high: Length) -> None:
    """And whole on one page."""
    row._tr.get_or_add_trPr().append(OxmlElement("w:cantSplit"))
    row.height, row.height_rule = high, WD_ROW_HEIGHT_RULE.AT_LEAST


def _name(grid: Grid, caption: str) -> None:
    """What a screen reader calls the table."""
    named = OxmlElement("w:tblCaption")
    named.set(qn("w:val"), caption)
    grid._tbl.tblPr.append(named)


def _edges(grid: Grid, widths: dict[Edge, int]) -> None:
    """Lines of the table, in eighths of a point."""
    travels_to = OxmlElement("w:tblBorders")
    for edge in get_args(Edge):  # the order of the schema
        if edge in widths:
            line = OxmlElement(f"w:{edge}")
            for name, value in (("val", "single"), ("sz", str(widths[edge])), ("space", "0"), ("color", "555555")):
                line.set(qn(f"w:{name}"), value)
            travels_to.append(line)
    grid._tbl.tblPr.find(qn("w:tblLayout")).addprevious(travels_to)  # the schema wants them before the layout


def _space(word: Word) -> None:
    """Two tables that follow each other would be taken for one: a small line keeps them apart."""
    lines = word.add_paragraph()
    lines.paragraph_format.space_after = Pt(0)
    lines.paragraph_format.line_spacing = Pt(6)
