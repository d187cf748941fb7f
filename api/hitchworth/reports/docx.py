"""A report as a Word document (DOCX), for you to fill in, shorten, or put on your own letterhead.

The same content gives the same bytes: all dates in the file are the valuation date.
"""

import re
from datetime import UTC, datetime, time
from io import BytesIO
from zipfile import ZIP_DEFLATED, ZipFile, ZipInfo

import msgspec
from docx import Document
from docx.document import Document as WordDocument
from docx.enum.section import WD_ORIENT
from docx.oxml import OxmlElement
from docx.oxml.ns import qn
from docx.shared import Emu, Length, Mm, Pt, RGBColor
from docx.styles.style import ParagraphStyle
from docx.text.paragraph import Paragraph as WordParagraph

from hitchworth.reports.content import (
    AnyBlock,
    Blanks,
    Caution,
    Content,
    Facts,
    Figure,
    Heading,
    Listing,
    Logo,
    Paper,
    Paragraph,
    QuestionBox,
)
from hitchworth.reports.docx_tables import (
    add_answer_box,
    add_blanks,
    add_box,
    add_facts,
    add_logo,
    add_styled,
    add_table,
    text_width,
)
from hitchworth.reports.typesetting import svg_to_png

_PAPERS: dict[Paper, tuple[Length, Length]] = {"letter": (Mm(215.9), Mm(279.4)), "a4": (Mm(210), Mm(297))}
"""Width and height: Letter of ANSI/ASME Y14.1 (8.5 x 11 in), A4 of ISO 216."""

_INK = RGBColor(0x1B, 0x1B, 0x1B)
_SIZES = {"Title": 20, "Subtitle": 10.5, "Heading 1": 13, "Heading 2": 11, "Caption": 9.5, "Normal": 10}
_NOT_IN_XML = re.compile("[^\t\n\u0020-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
_EARLIEST = (1980, 1, 1, 0, 0, 0)
"""The first date that the ZIP format can hold."""


def render(content: Content) -> bytes:
    """Return the file. Characters that XML cannot hold, such as NUL, are left out."""
    report = msgspec.convert(_without_control_characters(msgspec.to_builtins(content)), Content)
    document = Document()
    _set_layout(document, report)
    if report.shows_title:
        add_styled(document, report.title, "Title")
        add_styled(document, report.subtitle, "Subtitle")
    for block in report.blocks:
        _add(document, block)
    _set_properties(document, report)
    saved = BytesIO()
    document.save(saved)
    return _without_timestamps(saved.getvalue())


def _without_control_characters(value: object) -> object:
    if isinstance(value, str):
        return _NOT_IN_XML.sub("", value)
    if isinstance(value, dict):
        return {key: _without_control_characters(part) for key, part in value.items()}
    if isinstance(value, (list, tuple)):
        return [_without_control_characters(part) for part in value]
    return value


def _without_timestamps(archive: bytes) -> bytes:
    """Return the ZIP archive with every entry dated to the earliest date, so that its bytes depend on content alone."""
    stamped = BytesIO()
    with ZipFile(BytesIO(archive)) as source, ZipFile(stamped, "w", ZIP_DEFLATED) as target:
        for name in source.namelist():
            target.writestr(ZipInfo(name, _EARLIEST), source.read(name), ZIP_DEFLATED)
    return stamped.getvalue()


def _set_properties(document: WordDocument, report: Content) -> None:
    """Set the metadata of the file. Its dates come from the report, not from a clock."""
    properties = document.core_properties
    dated = datetime.combine(report.dated, time(), UTC)
    properties.title, properties.subject, properties.language = report.title, report.subtitle, report.language
    properties.author = properties.last_modified_by = properties.comments = ""
    properties.created = properties.modified = dated


def _set_layout(document: WordDocument, report: Content) -> None:
    """Set paper, language and footer, and styles that print in black and white."""
    section = document.sections[0]
    section.orientation = WD_ORIENT.PORTRAIT
    section.page_width, section.page_height = _PAPERS[report.paper]
    section.left_margin = section.right_margin = Mm(17)
    section.top_margin, section.bottom_margin = Mm(16), Mm(18)
    for name, size in _SIZES.items():
        _set_style(document, name, size)
    _set_language(document, report.language)
    _add_footer(document, report.footer)


def _set_style(document: WordDocument, name: str, size: float) -> None:
    style = document.styles[name]
    assert isinstance(style, ParagraphStyle)
    style.font.size, style.font.color.rgb, style.font.italic = Pt(size), _INK, False
    style.font.name = "Arial"
    fonts = style.element.get_or_add_rPr().get_or_add_rFonts()
    for theme in [name for name in fonts.attrib if name.endswith("Theme")]:
        del fonts.attrib[theme]
    for ornament in ("w:pBdr", "w:spacing"):
        for element in style.element.findall(f".//{qn(ornament)}"):
            element.getparent().remove(element)
    if name in {"Heading 1", "Heading 2"}:
        style.paragraph_format.space_before, style.paragraph_format.space_after = Pt(14), Pt(4)
    if name == "Caption":
        style.font.bold = True
        style.paragraph_format.keep_with_next = True
    if name in {"Caption", "Normal"}:
        style.paragraph_format.space_after = Pt(4)


def _set_language(document: WordDocument, language: str) -> None:
    """Set the language of all text, for spell checkers and screen readers."""
    defaults = document.styles.element.find(qn("w:docDefaults"))
    defaults.find(f".//{qn('w:lang')}").set(qn("w:val"), language)


def _add_footer(document: WordDocument, footer: str) -> None:
    """Add the footer, then the page number and the number of pages."""
    paragraph = document.sections[0].footer.paragraphs[0]
    if footer:
        paragraph.add_run(f"{footer} · ").font.size = Pt(8)
    for field, after in (("PAGE", " / "), ("NUMPAGES", "")):
        number = OxmlElement("w:fldSimple")
        number.set(qn("w:instr"), field)
        paragraph._p.append(number)
        paragraph.add_run(after).font.size = Pt(8)


def _add(document: WordDocument, block: AnyBlock) -> None:
    match block:
        case Heading(text, level, new_page):
            add_styled(document, text, f"Heading{level}").paragraph_format.page_break_before = new_page
        case Paragraph(text):
            document.add_paragraph(text)
        case Logo(photo):
            add_logo(document, photo)
        case Facts():
            add_facts(document, block)
        case Figure():
            _add_figure(document, block)
        case Listing(items):
            _add_list(document, items)
        case Caution(title, items):
            add_styled(document, title, "Heading1")
            add_box(document, items)
        case Blanks(labels):
            add_blanks(document, labels)
        case QuestionBox():
            _add_question(document, block)
        case _:
            add_table(document, block)


def _add_list(document: WordDocument, items: tuple[str, ...]) -> None:
    for item in items:
        add_styled(document, item, "ListBullet")


def _add_figure(document: WordDocument, figure: Figure) -> None:
    """Add the chart as a picture with its alternative text, and its caption below."""
    picture = document.add_picture(BytesIO(svg_to_png(figure.svg)), width=Emu(text_width(document)))
    properties = picture._inline.docPr
    properties.set("descr", figure.description)
    properties.set("title", figure.caption)
    document.paragraphs[-1].paragraph_format.keep_with_next = True
    add_styled(document, figure.caption, "Caption").paragraph_format.keep_with_next = False


def _add_question(document: WordDocument, question: QuestionBox) -> None:
    """Add the question as a heading, the money at stake, the remarks, and space for the answer."""
    add_styled(
        document, f"{question.number}. {question.text}", "Heading2"
    ).paragraph_format.page_break_before = question.new_page
    if question.money:
        _keep_with_next(document.add_paragraph()).add_run(question.money).bold = True
    for remark in question.remarks:
        _keep_with_next(document.add_paragraph(remark))
    add_answer_box(document, question.answer, question.signed)


def _keep_with_next(paragraph: WordParagraph) -> WordParagraph:
    paragraph.paragraph_format.keep_with_next = True
    return paragraph
