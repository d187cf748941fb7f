"""The PDF: it can be read back, has its paper's size, is tagged, is the same every time, and no text can break it."""

import os
import re
import subprocess
import sys
from io import BytesIO
from pathlib import Path
from typing import get_args

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace
from pypdf import PdfReader

from demo_sheet import demo_content
from hitchworth.localization.locales import available
from hitchworth.reports import pdf
from hitchworth.reports.catalog import CONVERSATION_SHEET, ReportName
from hitchworth.reports.content import Column, Content, Group, GroupedTable, Paper, Paragraph, Table
from hitchworth.validation import InvalidInputError
from installed import installed

MILLIMETER = 72 / 25.4


def read(sheet: Content) -> PdfReader:
    return PdfReader(BytesIO(pdf.render(sheet)))


def one_paragraph(text: str) -> Content:
    return replace(demo_content("en-US"), blocks=(Paragraph(text),))


@pytest.fixture(scope="module")
def english() -> PdfReader:
    return read(demo_content("en-US"))


# Sizes: Letter 8.5 x 11 in (ANSI/ASME Y14.1); A4 210 x 297 mm (ISO 216).
@pytest.mark.parametrize(
    ("locale", "width", "height"),
    [
        ("en-US", 8.5 * 72, 11 * 72),
        ("es-US", 8.5 * 72, 11 * 72),
        ("fr-CA", 8.5 * 72, 11 * 72),
        ("en-GB", 210 * MILLIMETER, 297 * MILLIMETER),
        ("de-DE", 210 * MILLIMETER, 297 * MILLIMETER),
    ],
)
def test_pages_have_the_size_of_the_paper(locale: str, width: float, height: float) -> None:
    for page in read(demo_content(locale)).pages:
        assert float(page.mediabox.width) == pytest.approx(width, abs=0.1)
        assert float(page.mediabox.height) == pytest.approx(height, abs=0.1)


def test_it_is_tagged_and_says_its_language_and_title(english: PdfReader) -> None:
    catalog = english.root_object
    assert "'/Marked': True" in str(catalog["/MarkInfo"])
    assert str(catalog["/Lang"]) == "en-US"
    assert "/StructTreeRoot" in catalog
    assert english.metadata is not None
    assert "All reports" in (english.metadata.title or "")


def test_the_first_page_says_what_is_asked_and_what_it_is_worth(english: PdfReader) -> None:
    text = " ".join(english.pages[0].extract_text().split())
    assert "Please insure this trailer" in text
    assert "Value by part of the trailer" in text
    assert "1 / " in text


@pytest.mark.parametrize("paper", ["letter", "a4"])
@pytest.mark.parametrize("locale", available())
def test_the_conversation_sheet_has_four_pages(locale: str, paper: Paper) -> None:
    pages = read(demo_content(locale, paper, CONVERSATION_SHEET)).pages
    assert len(pages) == 4
    boxes = [len(re.findall(r"^[1-8] ", page.extract_text(), re.MULTILINE)) for page in pages[1:3]]
    assert boxes == [4, 4]


@pytest.mark.parametrize("report", [CONVERSATION_SHEET, *(name for name in get_args(ReportName) if name != "all")])
def test_no_page_but_the_last_is_nearly_empty(report: str) -> None:
    *pages, _ = read(demo_content("en-US", None, report)).pages
    assert [len(page.extract_text().splitlines()) for page in pages if len(page.extract_text().splitlines()) < 12] == []


def test_a_strict_reader_finds_nothing_wrong(tmp_path: Path) -> None:
    """Poppler, as an independent reader of ISO 32000, has nothing to say."""
    program = installed("pdfinfo", package="poppler-utils")
    file = tmp_path / "sheet.pdf"
    file.write_bytes(pdf.render(demo_content("en-US")))
    run = subprocess.run([program, file], capture_output=True, text=True, check=True)
    assert run.stderr == ""


def test_every_line_of_the_inventory_is_printed(english: PdfReader) -> None:
    text = "".join(page.extract_text() for page in english.pages)
    assert "Swivel tongue jack" in text
    assert "Cautions" in text


def test_the_same_content_gives_the_same_bytes() -> None:
    assert pdf.render(demo_content("de-DE")) == pdf.render(demo_content("de-DE"))


MARKUP = (
    '#read("sheet.json")',
    "$x$ <label> @ref *bold* _it_",
    "25. November",
    "- item",
    "= heading",
    "// comment",
    "\\u{41}",
)
STRANGE = (
    "日本語のトレーラー",
    "camper 😀👩‍🔧",
    "ไทย",
    "עברית عربى",
    "a\u0301\u200f\u202e\u0000\u0378",
    "\ud7ff\ufffd",
    "\u00ad\u00ad",
    "\u05ff",
)


@pytest.mark.parametrize("text", MARKUP)
def test_markup_in_a_text_stays_text(text: str) -> None:
    printed = read(one_paragraph(text)).pages[0].extract_text().replace("“", '"').replace("”", '"')
    assert text.replace(" ", "") in printed.replace(" ", "").replace("\n", "")


@pytest.mark.parametrize("text", STRANGE)
def test_letters_that_no_font_has_do_not_stop_the_sheet(text: str) -> None:
    assert read(one_paragraph(f"before {text} after")).pages[0].extract_text()


def test_a_square_says_what_it_stands_for() -> None:
    note = "stands for a character that the fonts of this document do not have"
    assert note in read(one_paragraph("camper 😀")).pages[0].extract_text()
    assert note not in read(one_paragraph("camper")).pages[0].extract_text()
    assert note not in read(one_paragraph("tick □ a\u200db")).pages[0].extract_text(), "nothing visible was replaced"


@settings(max_examples=25, deadline=None)
@given(st.text(alphabet=st.characters(exclude_categories=["Cs"]), min_size=1, max_size=60))
def test_any_text_can_be_printed(text: str) -> None:
    assert pdf.render(one_paragraph(text)).startswith(b"%PDF")


def test_every_letter_that_is_let_through_can_be_printed() -> None:
    """All of them at once: a glyph that is missing would be an error of PDF/UA."""
    let_through = [chr(code) for code in range(0x20, 0x3000) if pdf.replace_unprintable(chr(code)) == chr(code)]
    assert len(let_through) > 1500
    assert pdf.render(one_paragraph(" ".join(let_through))).startswith(b"%PDF")


MEMORY = """
from pathlib import Path
from msgspec.structs import replace
from hitchworth.operations.reports import create_report
from hitchworth.reports import pdf
from longest_build import as_build, longest_request
request = longest_request()
request = replace(request, build=as_build(request, 2000), policies=request.policies[:1], losses=(), answers=())
pdf.render(create_report(request, "inventory"))
status = Path("/proc/self/status").read_text()
print(next(line.split()[1] for line in status.splitlines() if line.startswith("VmHWM")))
"""


@pytest.mark.skipif(sys.platform != "linux", reason="the most memory used is read from /proc")
def test_an_inventory_of_two_thousand_parts_takes_a_bounded_amount_of_memory() -> None:
    """It takes about 300 MB, 70 of them before the first page is set; it once took 700."""
    environment = {**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)}
    run = subprocess.run([sys.executable, "-c", MEMORY], env=environment, capture_output=True, text=True, check=True)
    assert int(run.stdout) < 450_000, "kB"


def long_table(rows: int) -> Content:
    listed = Table("Parts", (Column("Part", width=1),), (("a part",),) * (rows - 1))
    grouped = GroupedTable("Groups", (Column("Part", width=1),), (Group("a group", (("a part",),)),))
    return replace(demo_content("en-US"), blocks=(listed, grouped))


def test_more_rows_than_fit_into_memory_are_refused_with_what_else_there_is() -> None:
    pdf.limit_rows(long_table(pdf.MAX_ROWS))
    with pytest.raises(InvalidInputError) as raised:
        pdf.render(long_table(pdf.MAX_ROWS + 1))
    (fault,) = raised.value.faults
    assert (fault.pointer, fault.found) == ("/build/components", "4,001 rows")
    assert fault.expected == "at most 4,000 rows in its tables; HTML, Markdown and DOCX have no limit"
