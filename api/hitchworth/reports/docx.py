"""A sheet as a document for a word processor (DOCX), to be filled in, shortened or put on one's own letterhead.

The same content gives the same bytes: its dates are the valuation date.
"""

import re
from datetime import UTC, datetime, time
from io import BytesIO

import msgspec
from docx import Document
from docx.document import Document as Word
from docx.shared import Emu
from docx.text.paragraph import Paragraph as Lines

from hitchworth.reports.content import (
    AnyBlock,
    Blanks,
    Caution,
    Content,
    Facts,
    Figure,
    Heading,
    Listing,
    Paragraph,
    QuestionBox,
)
from hitchworth.reports.docx_layout import prepared, width_of
from hitchworth.reports.docx_tables import answer_box, blanks, boxed, facts, ruled
from hitchworth.reports.picture import png
from hitchworth.reports.reproducible_archive import reproducible

_NOT_IN_XML = re.compile("[^\t\n\u0020-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")


def render(content: Content) -> bytes:
    """The file. A character that the format cannot hold, such as a NUL, is left out."""
    sheet = _legal(content)
    word = prepared(Document(), sheet)
    word.add_paragraph(sheet.title, "Title")
    word.add_paragraph(sheet.subtitle, "Subtitle")
    for block in sheet.blocks:
        _add(word, block)
    _describe(word, sheet)
    saved = BytesIO()
    word.save(saved)
    return reproducible(saved.getvalue())


def _legal(content: Content) -> Content:
    return msgspec.convert(_without_controls(msgspec.to_builtins(content)), Content)


def _without_controls(value: object) -> object:
    if isinstance(value, str):
        return _NOT_IN_XML.sub("", value)
    if isinstance(value, dict):
        return {key: _without_controls(part) for key, part in value.items()}
    if isinstance(value, (list, tuple)):
        return [_without_controls(part) for part in value]
    return value


def _describe(word: Word, sheet: Content) -> None:
    """What the file says of itself. Its dates come from the sheet, not from a clock."""
    properties = word.core_properties
    dated = datetime.combine(sheet.dated, time(), UTC)
    properties.title, properties.context, properties.language = sheet.title, sheet.subtitle, sheet.language
    properties.author = properties.last_modified_by = properties.comments = ""
    properties.created = properties.modified = dated


def _add(word: Word, block: AnyBlock) -> None:
    match block:
        case Heading(text, level, new_page):
            word.add_heading(text, level).paragraph_format.page_break_before = new_page
        case Paragraph(text):
            word.add_paragraph(text)
        case Facts():
            facts(word, block)
        case Figure():
            _figure(word, block)
        case Listing(items):
            _points(word, items)
        case Caution(title, items):
            word.add_heading(title, 1)
            boxed(word, items)
        case Blanks(labels):
            blanks(word, labels)
        case QuestionBox():
            _question(word, block)
        case _:
            ruled(word, block)


def _points(word: Word, items: tuple[str, ...]) -> None:
    for item in items:
        word.add_paragraph(item, "List Bullet")


def _figure(word: Word, figure: Figure) -> None:
    """The drawing as a picture, with what it shows in words, and its caption below."""
    picture = word.add_picture(BytesIO(png(figure.svg)), width=Emu(width_of(word)))
    about = picture._inline.docPr
    about.set("descr", figure.described)
    about.set("title", figure.caption)
    word.paragraphs[-1].paragraph_format.keep_with_next = True
    word.add_paragraph(figure.caption, "Caption").paragraph_format.keep_with_next = False


def _question(word: Word, question: QuestionBox) -> None:
    """The question as a heading, what hangs on it, and room for the answer."""
    word.add_heading(f"{question.number}. {question.text}", 2)
    if question.money:
        _kept(word.add_paragraph()).add_run(question.money).bold = True
    for remark in question.remarks:
        _kept(word.add_paragraph(remark))
    answer_box(word, question.answer, question.signed)


def _kept(lines: Lines) -> Lines:
    lines.paragraph_format.keep_with_next = True
    return lines
