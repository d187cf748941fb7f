"""The document for a word processor: it can be read back, has paper, language and marked heads, and the same bytes."""

from datetime import UTC, datetime
from functools import cache
from io import BytesIO
from zipfile import ZipFile

import pytest
from docx import Document
from docx.document import Document as Word
from docx.oxml.ns import qn
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from demo_sheet import demo_content
from hitchworth.localization.locales import available
from hitchworth.reports import docx
from hitchworth.reports.content import Content, Facts, Figure, GroupedTable, Heading, Paragraph, QuestionBox, Table

MILLIMETER = 36_000
"""In EMU, the unit of the format (ISO/IEC 29500)."""


def read(sheet: Content) -> Word:
    return Document(BytesIO(docx.render(sheet)))


@cache
def demo(locale: str) -> Word:
    return read(demo_content(locale))


# Sizes: Letter 8.5 x 11 in (ANSI/ASME Y14.1); A4 210 x 297 mm (ISO 216).
@pytest.mark.parametrize(
    ("locale", "width", "height"),
    [("en-US", 215.9, 279.4), ("fr-CA", 215.9, 279.4), ("en-GB", 210, 297), ("de-DE", 210, 297)],
)
def test_pages_have_the_size_of_the_paper(locale: str, width: float, height: float) -> None:
    section = demo(locale).sections[0]
    assert section.page_width == pytest.approx(width * MILLIMETER, abs=MILLIMETER / 10)
    assert section.page_height == pytest.approx(height * MILLIMETER, abs=MILLIMETER / 10)


@pytest.mark.parametrize("locale", available())
def test_it_says_its_language_title_and_date(locale: str) -> None:
    word, sheet = demo(locale), demo_content(locale)
    assert [lang.get(qn("w:val")) for lang in word.styles.element.iter(qn("w:lang"))] == [locale]
    assert (word.core_properties.title, word.core_properties.language) == (sheet.title, locale)
    assert word.core_properties.subject == sheet.subtitle
    assert word.core_properties.created == word.core_properties.modified
    assert word.core_properties.modified == datetime(sheet.dated.year, sheet.dated.month, sheet.dated.day, tzinfo=UTC)


@pytest.mark.parametrize("locale", available())
def test_every_heading_is_in_its_order(locale: str) -> None:
    shown = [lines.text for lines in demo(locale).paragraphs if (lines.style and lines.style.name == "Heading 1")]
    wanted = [block.text for block in demo_content(locale).blocks if isinstance(block, Heading) and block.level == 1]
    assert [text for text in shown if text in wanted] == wanted


def test_every_table_is_there_with_its_head_marked() -> None:
    wanted = [block for block in demo_content("en-US").blocks if isinstance(block, (Table, GroupedTable))]
    ruled = [table for table in demo("en-US").tables if next(table._tbl.iter(qn("w:tblHeader")), None) is not None]
    assert [[cell.text for cell in table.rows[0].cells] for table in ruled] == [
        [column.title for column in block.columns] for block in wanted
    ]
    names = [next(table._tbl.iter(qn("w:tblCaption"))).get(qn("w:val")) for table in ruled]
    assert names == [block.caption for block in wanted]


def test_every_cell_of_a_table_is_there() -> None:
    blocks = [block for block in demo_content("en-US").blocks if isinstance(block, (Table, Facts, GroupedTable))]
    shown = {cell.text for table in demo("en-US").tables for row in table.rows for cell in row.cells}
    for block in blocks:
        if isinstance(block, Facts):
            assert {text for fact in block.rows for text in (fact.label, fact.value)} <= shown
        else:
            groups = block.groups if isinstance(block, GroupedTable) else ()
            rows = block.rows if isinstance(block, Table) else tuple(row for group in groups for row in group.rows)
            assert {text for row in (*rows, block.foot) for text in row} <= shown


def test_columns_fill_the_width_of_the_text_and_no_more() -> None:
    section = demo("de-DE").sections[0]
    width = (section.page_width or 0) - (section.left_margin or 0) - (section.right_margin or 0)
    for table in demo("de-DE").tables:
        widths = [column.width or 0 for column in table.columns]
        assert min(widths) > 8 * MILLIMETER
        assert sum(widths) == pytest.approx(width, abs=MILLIMETER)


def test_a_cell_is_as_wide_as_the_columns_that_it_spans() -> None:
    spans = set()
    for table in demo("en-US").tables:
        grid = [int(column.get(qn("w:w"))) for column in table._tbl.iter(qn("w:gridCol"))]
        for row in table._tbl.iter(qn("w:tr")):
            place = 0
            for cell in row.iter(qn("w:tc")):
                width, span = (next(cell.iter(qn(name)), None) for name in ("w:tcW", "w:gridSpan"))
                columns = 1 if span is None else int(span.get(qn("w:val")))
                assert width is not None
                assert int(width.get(qn("w:w"))) == sum(grid[place : place + columns])
                place += columns
                spans.add(columns)
            assert place == len(grid)
    assert len(spans) > 1


def test_the_picture_has_its_description() -> None:
    figures = [block for block in demo_content("en-US").blocks if isinstance(block, Figure)]
    descriptions = [shape._inline.docPr.get("descr") for shape in demo("en-US").inline_shapes]
    assert descriptions == [figure.description for figure in figures]


def test_there_is_room_for_each_answer() -> None:
    boxes = [block for block in demo_content("en-US").blocks if isinstance(block, QuestionBox)]
    boxed = [table for table in demo("en-US").tables if table.rows[0].cells[0].text == "Answer"]
    assert len(boxed) == len(boxes) > 5
    assert all((table.rows[0].height or 0) > 20 * MILLIMETER for table in boxed)


def test_the_same_content_gives_the_same_bytes_with_no_trace_of_the_clock() -> None:
    document = docx.render(demo_content("es-US"))
    assert document == docx.render(demo_content("es-US"))
    with ZipFile(BytesIO(document)) as archive:
        assert {entry.date_time for entry in archive.infolist()} == {(1980, 1, 1, 0, 0, 0)}


@settings(max_examples=25, deadline=None)
@given(st.text(alphabet=st.characters(exclude_categories=["Cs"]), min_size=1, max_size=60))
def test_any_text_can_be_written(text: str) -> None:
    sheet = replace(demo_content("en-US"), title=text, footer=text, blocks=(Paragraph(text),))
    assert read(sheet).paragraphs


def test_what_the_format_cannot_hold_is_left_out() -> None:
    sheet = replace(demo_content("en-US"), blocks=(Paragraph("a\x00b\x1b\uffffc <w:p/>&"),))
    assert read(sheet).paragraphs[-1].text == "abc <w:p/>&"
