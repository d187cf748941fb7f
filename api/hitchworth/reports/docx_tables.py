"""Everything in a Word document that is laid out as a table: tables, facts, boxes, and lines to write on.

The tables are written as the XML of the format (ISO/IEC 29500-1, 17.4) and parsed once each: a large inventory has
thousands of cells, and to build them one by one takes fifteen times as long.
"""

from collections.abc import Iterable, Sequence
from io import BytesIO
from typing import Literal, TypeAlias, get_args
from xml.sax.saxutils import escape, quoteattr

from docx.document import Document as WordDocument
from docx.oxml import OxmlElement, parse_xml
from docx.oxml.ns import nsdecls
from docx.shape import InlineShape
from docx.shared import Mm, Pt
from docx.text.paragraph import Paragraph
from msgspec import Struct
from PIL import Image

from hitchworth.reports.content import AnyTable, Column, Facts, Group, Photo, Table, Thumbnail

TableRow: TypeAlias = tuple[tuple[str, ...], bool]
"""The cells of a row, and whether they are bold."""

Edge: TypeAlias = Literal["top", "left", "bottom", "right", "insideH", "insideV"]

_BODY_SIZE, _HEADER_SIZE, _BOX_SIZE = 8.5, 8.0, 9.0
"""Sizes of letters in points."""

_CHARACTER_WIDTH, _CELL_PADDING, _MAX_NARROW_WIDTH = Pt(4.6), Pt(10), Pt(96)
"""The mean width of a character in a table, the padding of a cell, and the widest that a narrow column can be."""

_BOX_BORDERS: dict[Edge, int] = {"top": 8, "bottom": 8, "left": 8, "right": 8}
_EMU_PER_TWENTIETH = 635
"""English metric units in a twentieth of a point, the unit of widths and heights in a table."""

_PHOTO_WIDTH = Mm(62)
_LOGO_WIDTH, _LOGO_HEIGHT = Mm(64), Mm(20)
"""The most that a logo takes."""


class _Cell(Struct, frozen=True):
    """A cell: its lines, all but the first of which are small."""

    text: str
    size: float = _BODY_SIZE
    bold: bool = False
    right: bool = False
    span: int = 1


class _Row(Struct, frozen=True):
    """A row. `height`: at least that, in points, and never split across pages."""

    cells: tuple[_Cell, ...]
    is_header: bool = False
    height: float = 0


def text_width(document: WordDocument) -> int:
    """Return the width of the text between the margins, in EMU."""
    section = document.sections[0]
    return int(section.page_width or 0) - int(section.left_margin or 0) - int(section.right_margin or 0)


def add_styled(document: WordDocument, text: str, style_id: str) -> Paragraph:
    """Add a paragraph in the style of an id. To name the style instead makes the library search all of them."""
    paragraph = document.add_paragraph(text)
    paragraph._p.style = style_id
    return paragraph


def add_table(document: WordDocument, table: AnyTable) -> None:
    """Add a table under its caption. Its header row is marked as such and repeats on every page."""
    add_styled(document, table.caption, "Caption")
    rows = _all_rows(table)
    pictures = _all_pictures(table)
    titles = tuple(
        _Cell(column.title, _HEADER_SIZE, bold=True, right=column.align == "right") for column in table.columns
    )
    body = (_Row(_cells(cells, table.columns, bold=bold)) for cells, bold in rows)
    _add(
        document,
        _widths(document, table.columns, rows),
        (_Row(titles, is_header=True), *body),
        {"insideH": 4, "bottom": 8},
        table.caption,
    )
    _add_pictures(document, pictures)


def add_facts(document: WordDocument, block: Facts) -> None:
    """Add labels and values, as many pairs next to each other as the block has columns, below their photo."""
    if block.photo is not None:
        _add_photo(document, block.photo)
    pairs = [block.rows[index : index + block.columns] for index in range(0, len(block.rows), block.columns)]
    label = text_width(document) * (5 if block.columns == 2 else 3) // (11 * block.columns)
    widths = [label, text_width(document) // block.columns - label] * block.columns
    rows = [
        _Row(
            tuple(cell for fact in row for cell in (_Cell(fact.label, _HEADER_SIZE), _Cell(fact.value, _BOX_SIZE)))
            + (_Cell(""), _Cell("")) * (block.columns - len(row))
        )
        for row in pairs
    ]
    _add(document, widths, rows, {"insideH": 4, "bottom": 4})


def add_box(document: WordDocument, lines: Sequence[str]) -> None:
    """Add lines in a box, a row for each."""
    rows = [_Row((_Cell(line, _BOX_SIZE),)) for line in lines]
    _add(document, [text_width(document)], rows, _BOX_BORDERS)


def add_answer_box(document: WordDocument, answer: str, signed: Sequence[str]) -> None:
    """Add space for an answer, and next to it for who gave it, in one row that never splits across pages."""
    side = text_width(document) // (2 * len(signed) + 1)
    row = _Row(tuple(_Cell(label, _HEADER_SIZE) for label in (answer, *signed)), height=72)
    widths = [text_width(document) - side * len(signed), *(side for _ in signed)]
    _add(document, widths, [row], {**_BOX_BORDERS, "insideV": 4})


def add_blanks(document: WordDocument, labels: Sequence[str]) -> None:
    """Add labels next to each other, each above a line to write on."""
    row = _Row(tuple(_Cell(label, _HEADER_SIZE) for label in labels), height=34)
    _add(document, [text_width(document) // len(labels)] * len(labels), [row], {"bottom": 8})


def add_logo(document: WordDocument, logo: Photo) -> None:
    """Add a logo, as high as it may be unless that makes it too wide."""
    with Image.open(BytesIO(logo.data)) as picture:
        is_wide = picture.width * _LOGO_HEIGHT > picture.height * _LOGO_WIDTH
    size = {"width": _LOGO_WIDTH} if is_wide else {"height": _LOGO_HEIGHT}
    _describe(document.add_picture(BytesIO(logo.data), **size), logo)


def _add_photo(document: WordDocument, photo: Photo) -> None:
    _describe(document.add_picture(BytesIO(photo.data), width=_PHOTO_WIDTH), photo)


def _describe(picture: InlineShape, photo: Photo) -> None:
    picture._inline.docPr.set("descr", photo.description)


def _all_rows(table: AnyTable) -> list[TableRow]:
    """Return the rows below the header, each with whether it is bold: group titles and the foot are."""
    plain = table.rows if isinstance(table, Table) else ()
    groups = () if isinstance(table, Table) else table.groups
    body = [*((row, False) for row in plain), *(row for group in groups for row in _group_rows(group))]
    return [*body, (table.foot, True)] if table.foot else body


def _all_pictures(table: AnyTable) -> list[tuple[Thumbnail, ...]]:
    """Return the pictures of each row below the header; none where the table has none."""
    if isinstance(table, Table):
        return list(table.pictures)
    if not any(group.pictures for group in table.groups):
        return []
    return [row for group in table.groups for row in ((), *(group.pictures or ((),) * len(group.rows)))]


def _add_pictures(document: WordDocument, pictures: Sequence[tuple[Thumbnail, ...]]) -> None:
    """Add pictures to the first cell of each row of the last table, below its text."""
    if not any(pictures):
        return
    table = document.element.body.tbl_lst[-1]
    for row, of_row in zip(table.tr_lst[1:], pictures, strict=False):
        if of_row:
            row.get_or_add_trPr().append(OxmlElement("w:cantSplit"))
        for picture in of_row:
            paragraph = Paragraph(row.tc_lst[0].add_p(), document._body)
            shape = paragraph.add_run().add_picture(BytesIO(picture.data), width=Mm(picture.width_mm))
            shape._inline.docPr.set("descr", picture.description)


def _group_rows(group: Group) -> list[TableRow]:
    return [((group.title, *group.subtotals), True), *((row, False) for row in group.rows)]


def _cells(texts: Sequence[str], columns: Sequence[Column], *, bold: bool) -> tuple[_Cell, ...]:
    """Return the cells of a row. A single one, the title of a group, spans all columns."""
    if len(texts) == 1:
        return (_Cell(texts[0], bold=bold, span=len(columns)),)
    return tuple(
        _Cell(text, bold=bold, right=column.align == "right") for text, column in zip(texts, columns, strict=True)
    )


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


def _add(
    document: WordDocument,
    widths: Sequence[int],
    rows: Iterable[_Row],
    borders: dict[Edge, int],
    caption: str = "",
) -> None:
    """Add a table and a small empty line: without it, two tables in a row would become one.

    `widths`: of the columns, in EMU. `borders`: in eighths of a point. `caption`: what a screen reader reads out.
    """
    columns = [width // _EMU_PER_TWENTIETH for width in widths]
    grid = "".join(f'<w:gridCol w:w="{width}"/>' for width in columns)
    name = f"<w:tblCaption w:val={quoteattr(caption)}/>" if caption else ""
    xml = (
        f'<w:tbl {nsdecls("w")}><w:tblPr><w:tblW w:w="0" w:type="auto"/>{_borders_xml(borders)}'
        f'<w:tblLayout w:type="fixed"/><w:tblLook w:val="04A0"/>{name}</w:tblPr><w:tblGrid>{grid}</w:tblGrid>'
        f"{''.join(_row_xml(row, columns) for row in rows)}</w:tbl>"
    )
    gap = document.add_paragraph()
    gap._p.addprevious(parse_xml(xml))
    gap.paragraph_format.space_after = Pt(0)
    gap.paragraph_format.line_spacing = Pt(6)


def _borders_xml(borders: dict[Edge, int]) -> str:
    """Return the borders in the order of the schema."""
    lines = (
        f'<w:{edge} w:val="single" w:sz="{borders[edge]}" w:space="0" w:color="555555"/>'
        for edge in get_args(Edge)
        if edge in borders
    )
    return f"<w:tblBorders>{''.join(lines)}</w:tblBorders>"


def _row_xml(row: _Row, columns: Sequence[int]) -> str:
    height = f'<w:cantSplit/><w:trHeight w:val="{round(row.height * 20)}" w:hRule="atLeast"/>' if row.height else ""
    properties = height + ("<w:tblHeader/>" if row.is_header else "")
    place, cells = 0, []
    for cell in row.cells:
        cells.append(_cell_xml(cell, sum(columns[place : place + cell.span])))
        place += cell.span
    return f"<w:tr>{f'<w:trPr>{properties}</w:trPr>' if properties else ''}{''.join(cells)}</w:tr>"


def _cell_xml(cell: _Cell, width: int) -> str:
    first, *rest = cell.text.split("\n")
    span = f'<w:gridSpan w:val="{cell.span}"/>' if cell.span > 1 else ""
    align = '<w:jc w:val="right"/>' if cell.right else ""
    runs = _run_xml(first, cell.size, bold=cell.bold) + "".join(
        f"<w:r><w:br/></w:r>{_run_xml(line, cell.size - 1, bold=False)}" for line in rest
    )
    return (
        f'<w:tc><w:tcPr><w:tcW w:w="{width}" w:type="dxa"/>{span}</w:tcPr>'
        f'<w:p><w:pPr><w:spacing w:before="30" w:after="30"/>{align}</w:pPr>{runs}</w:p></w:tc>'
    )


def _run_xml(text: str, size: float, *, bold: bool) -> str:
    properties = f'{"<w:b/>" if bold else ""}<w:sz w:val="{round(size * 2)}"/>'
    return f'<w:r><w:rPr>{properties}</w:rPr><w:t xml:space="preserve">{escape(text)}</w:t></w:r>'
