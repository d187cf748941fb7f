"""Paper, language, styles and footer of a sheet as a document for a word processor."""

from docx.document import Document as Word
from docx.enum.section import WD_ORIENT
from docx.oxml import OxmlElement
from docx.oxml.ns import qn
from docx.shared import Length, Mm, Pt, RGBColor
from docx.styles.style import ParagraphStyle

from hitchworth.reports.content import Content, Paper

_PAPERS: dict[Paper, tuple[Length, Length]] = {"letter": (Mm(215.9), Mm(279.4)), "a4": (Mm(210), Mm(297))}
"""Width and height: Letter of ANSI/ASME Y14.1 (8.5 x 11 in), A4 of ISO 216."""

_INK = RGBColor(0x1B, 0x1B, 0x1B)
_SIZES = {"Title": 20, "Subtitle": 10.5, "Heading 1": 13, "Heading 2": 11, "Caption": 9.5, "Normal": 10}


def prepared(word: Word, sheet: Content) -> Word:
    """The empty document with the sheet's paper, language and footer, and with styles that print in black and white."""
    section = word.sections[0]
    section.orientation = WD_ORIENT.PORTRAIT
    section.page_width, section.page_height = _PAPERS[sheet.paper]
    section.left_margin = section.right_margin = Mm(17)
    section.top_margin, section.bottom_margin = Mm(16), Mm(18)
    for name, size in _SIZES.items():
        _style(word, name, size)
    _speak(word, sheet.language)
    _foot(word, sheet.footer)
    return word


def width_of(word: Word) -> int:
    """The width of the text, in EMU."""
    section = word.sections[0]
    return int(section.page_width or 0) - int(section.left_margin or 0) - int(section.right_margin or 0)


def _style(word: Word, name: str, size: float) -> None:
    style = word.styles[name]
    assert isinstance(style, ParagraphStyle)
    style.font.size, style.font.color.rgb, style.font.italic = Pt(size), _INK, False
    style.font.name = "Arial"
    fonts = style.element.get_or_add_rPr().get_or_add_rFonts()
    for theme in [name for name in fonts.attrib if name.endswith("Theme")]:
        del fonts.attrib[theme]
    for ornament in ("w:pBdr", "w:spacing"):
        for drawn in style.element.findall(f".//{qn(ornament)}"):
            drawn.getparent().remove(drawn)
    if name in {"Heading 1", "Heading 2"}:
        style.paragraph_format.space_before, style.paragraph_format.space_after = Pt(14), Pt(4)
    if name == "Caption":
        style.font.bold = True
        style.paragraph_format.keep_with_next = True
    if name in {"Caption", "Normal"}:
        style.paragraph_format.space_after = Pt(4)


def _speak(word: Word, language: str) -> None:
    """The language of all text, by which a word processor checks and a screen reader speaks it."""
    defaults = word.styles.element.find(qn("w:docDefaults"))
    answered_locale = defaults.find(f".//{qn('w:lang')}")
    answered_locale.set(qn("w:val"), language)


def _foot(word: Word, footer: str) -> None:
    """The footer, then the page and the number of pages."""
    lines = word.sections[0].footer.paragraphs[0]
    lines.add_run(f"{footer} · ").font.size = Pt(8)
    for field, after in (("PAGE", " / "), ("NUMPAGES", "")):
        number = OxmlElement("w:fldSimple")
        number.set(qn("w:instr"), field)
        lines._p.append(number)
        lines.add_run(after).font.size = Pt(8)
