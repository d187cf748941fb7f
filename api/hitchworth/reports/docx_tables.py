"""Everything in a Word document that is laid out as a table: tables, facts, boxes, and lines to write on."""

from collections.abc import Sequence
from typing import Literal, TypeAlias, get_args

from docx.document import Document as WordDocument
from docx.enum.table import WD_ROW_HEIGHT_RULE
from docx.enum.text import WD_ALIGN_PARAGRAPH
from docx.oxml import OxmlElement
from docx.oxml.ns import qn
from docx.shared import Length, Pt
from docx.table import Table as WordTable
from docx.table import _Cell, _Row

from hitchworth.reports.content import AnyTable, Column, Facts, Group, Table

TableRow: TypeAlias = tuple[tuple[str, ...], bool]
"""The cells of a row, and whether they are bold."""

Edge: TypeAlias = Literal["top", "left", "bottom", "right", "insideH", "insideV"]

_BODY_SIZE, _HEADER_SIZE, _BOX_SIZE = Pt(8.5), Pt(8), Pt(9)
_CHARACTER_WIDTH, _CELL_PADDING, _MAX_NARROW_WIDTH = Pt(4.6), Pt(10), Pt(96)
"""The mean width of a character in a table, the padding of a cell, and the widest that a narrow column can be."""

_BOX_BORDERS: dict[Edge, int] = {"top": 8, "bottom": 8, "left": 8, "right": 8}


def text_width(document: WordDocument) -> int:
    """Return the width of the text between the margins, in EMU."""
    section = document.sections[0]
    return int(section.page_width or 0) - int(section.left_margin or 0) - int(section.right_margin or 0)


def add_table(document: WordDocument, table: AnyTable) -> None:
    """Add a table under its caption. Its header row is marked as such and repeats on every page."""
    document.add_paragraph(table.caption, "Caption")
    rows = _all_rows(table)
    word_table = _new_table(document, len(rows) + 1, _widths(document, table.columns, rows))
    _set_accessible_name(word_table, table.caption)
    _set_borders(word_table, {"insideH": 4, "bottom": 8})
    _fill_row(
        word_table.rows[0], [column.title for column in table.columns], table.columns, size=_HEADER_SIZE, bold=True
    )
    _mark_as_header(word_table.rows[0])
    for row, (cells, bold) in zip(list(word_table.rows)[1:], rows, strict=True):
        _fill_row(row, cells, table.columns, bold=bold)
    _add_gap(document)


def add_facts(document: WordDocument, block: Facts) -> None:
    """Add labels and values, as many pairs next to each other as the block has columns."""
    pairs = [block.rows[index : index + block.columns] for index in range(0, len(block.rows), block.columns)]
    label = text_width(document) * (5 if block.columns == 2 else 3) // (11 * block.columns)
    word_table = _new_table(
        document, len(pairs), [label, text_width(document) // block.columns - label] * block.columns
    )
    _set_borders(word_table, {"insideH": 4, "bottom": 4})
    for row, pair_row in zip(word_table.rows, pairs, strict=True):
        cells = list(row.cells)
        for index, fact in enumerate(pair_row):
            _write(cells[2 * index], fact.label, size=_HEADER_SIZE)
            _write(cells[2 * index + 1], fact.value, size=_BOX_SIZE)
    _add_gap(document)


def add_box(document: WordDocument, lines: Sequence[str]) -> None:
    """Add lines in a box."""
    word_table = _new_table(document, 1, [text_width(document)])
    _set_borders(word_table, _BOX_BORDERS)
    cell = word_table.rows[0].cells[0]
    _write(cell, lines[0], size=_BOX_SIZE)
    for line in lines[1:]:
        cell.add_paragraph(line).runs[0].font.size = _BOX_SIZE
    _add_gap(document)


def add_answer_box(document: WordDocument, answer: str, signed: Sequence[str]) -> None:
    """Add space for an answer, and next to it for who gave it, in one row that never splits across pages."""
    side = text_width(document) // (2 * len(signed) + 1)
    word_table = _new_table(document, 1, [text_width(document) - side * len(signed), *(side for _ in signed)])
    _set_borders(word_table, {**_BOX_BORDERS, "insideV": 4})
    _set_minimum_height(word_table.rows[0], Pt(72))
    for cell, label in zip(word_table.rows[0].cells, (answer, *signed), strict=True):
        _write(cell, label, size=_HEADER_SIZE)
    _add_gap(document)


def add_blanks(document: WordDocument, labels: Sequence[str]) -> None:
    """Add labels next to each other, each above a line to write on."""
    word_table = _new_table(document, 1, [text_width(document) // len(labels)] * len(labels))
    _set_borders(word_table, {"bottom": 8})
    _set_minimum_height(word_table.rows[0], Pt(34))
    for cell, label in zip(word_table.rows[0].cells, labels, strict=True):
        _write(cell, label, size=_HEADER_SIZE)
    _add_gap(document)


def _all_rows(table: AnyTable) -> list[TableRow]:
    """Return the rows below the header, each with whether it is bold: group titles and the foot are."""
    plain = table.rows if isinstance(table, Table) else ()
    groups = () if isinstance(table, Table) else table.groups
    body = [*((row, False) for row in plain), *(row for group in groups for row in _group_rows(group))]
    return [*body, (table.foot, True)] if table.foot else body


def _group_rows(group: Group) -> list[TableRow]:
    return [((group.title, *group.subtotals), True), *((row, False) for row in group.rows)]


def _widths(document: WordDocument, columns: Sequence[Column], rows: list[TableRow]) -> list[int]:
    """Return the widths: of columns of width 0 by their cells, of the others by their share of the remaining width."""
    narrow = [0 if column.width else _needed_width(column, index, rows) for index, column in enumerate(columns)]
    remaining, shares = text_width(document) - sum(narrow), sum(column.width for column in columns)
    return [
        remaining * column.width // shares if column.width else needed
        for column, needed in zip(columns, narrow, strict=True)
    ]


def _needed_width(column: Column, index: int, rows: list[TableRow]) -> int:
    cells = [cells[index] for cells, _ in rows if index < len(cells)]
    lines = [line for cell in cells for line in cell.split("\n")]
    longest = max(map(len, lines), default=0)
    of_title = 2 + max(map(len, column.title.split()), default=0)
    return min(max(longest, of_title) * _CHARACTER_WIDTH + _CELL_PADDING, _MAX_NARROW_WIDTH)


def _new_table(document: WordDocument, rows: int, widths: Sequence[int]) -> WordTable:
    table: WordTable = document.add_table(rows, len(widths))
    table.autofit = False
    for column, width in zip(table.columns, widths, strict=True):
        column.width = Length(width)
    for row in table.rows:
        for cell, width in zip(row.cells, widths, strict=True):
            cell.width = Length(width)
    return table


def _fill_row(
    row: _Row, cells: Sequence[str], columns: Sequence[Column], *, size: Length = _BODY_SIZE, bold: bool
) -> None:
    """Write the cells of a row. A single cell, the title of a group, spans all columns."""
    places = list(row.cells)
    if len(cells) == 1 and len(places) > 1:
        places = [places[0].merge(places[-1])]
    for cell, text, column in zip(places, cells, columns, strict=False):
        _write(cell, text, size=size, bold=bold, right=column.align == "right")


def _write(cell: _Cell, text: str, *, size: Length, bold: bool = False, right: bool = False) -> None:
    """Write the text; all lines but the first are small."""
    paragraph = cell.paragraphs[0]
    paragraph.paragraph_format.space_after = paragraph.paragraph_format.space_before = Pt(1.5)
    first, *rest = text.split("\n")
    run = paragraph.add_run(first)
    run.font.size, run.bold = size, bold
    for line in rest:
        run.add_break()
        run = paragraph.add_run(line)
        run.font.size = Pt(size.pt - 1)
    if right:
        paragraph.alignment = WD_ALIGN_PARAGRAPH.RIGHT


def _mark_as_header(row: _Row) -> None:
    row._tr.get_or_add_trPr().append(OxmlElement("w:tblHeader"))


def _set_minimum_height(row: _Row, height: Length) -> None:
    """Set the minimum height, and keep the row on one page."""
    row._tr.get_or_add_trPr().append(OxmlElement("w:cantSplit"))
    row.height, row.height_rule = height, WD_ROW_HEIGHT_RULE.AT_LEAST


def _set_accessible_name(table: WordTable, caption: str) -> None:
    """Set the name that a screen reader reads out."""
    caption_element = OxmlElement("w:tblCaption")
    caption_element.set(qn("w:val"), caption)
    table._tbl.tblPr.append(caption_element)


def _set_borders(table: WordTable, widths: dict[Edge, int]) -> None:
    """Set the borders of the table. `widths`: in eighths of a point."""
    borders = OxmlElement("w:tblBorders")
    for edge in get_args(Edge):  # the order of the schema
        if edge in widths:
            line = OxmlElement(f"w:{edge}")
            for name, value in (("val", "single"), ("sz", str(widths[edge])), ("space", "0"), ("color", "555555")):
                line.set(qn(f"w:{name}"), value)
            borders.append(line)
    table._tbl.tblPr.find(qn("w:tblLayout")).addprevious(borders)  # the schema requires this order


def _add_gap(document: WordDocument) -> None:
    """Add a small empty line: without it, two tables in a row would become one."""
    paragraph = document.add_paragraph()
    paragraph.paragraph_format.space_after = Pt(0)
    paragraph.paragraph_format.line_spacing = Pt(6)
