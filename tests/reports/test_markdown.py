"""The Markdown text: headings, tables, space to write, and no value read as markup."""

import pytest
from markdown_it import MarkdownIt
from msgspec.structs import replace

from demo_sheet import demo_content
from hitchworth.localization.locales import available
from hitchworth.reports import markdown
from hitchworth.reports.content import Content, Paragraph
from hitchworth.reports.questions import MAX_BOXES

PARSER = MarkdownIt("commonmark").enable("table")


def one_paragraph(text: str) -> Content:
    return replace(demo_content("en-US"), blocks=(Paragraph(text),))


@pytest.mark.parametrize("locale", available())
def test_tables_and_questions_are_read_back(locale: str) -> None:
    tokens = PARSER.parse(markdown.render(demo_content(locale)))
    kinds = [token.type for token in tokens]
    assert kinds.count("table_open") > 10
    questions = [token for token in tokens if token.type == "heading_open" and token.tag == "h3"]
    assert len(questions) >= MAX_BOXES


def test_there_is_room_for_each_answer() -> None:
    text = markdown.render(demo_content("en-US"))
    assert text.count("Answer: \\_") == MAX_BOXES


MARKUP = (
    "*a* _b_ `c`",
    "# h",
    "- a",
    "1. a",
    "1.",
    "2) a",
    "3.5 h",
    "> q",
    "[x](y)",
    "<script>x</script>",
    "a | b",
    "&amp;",
    "=== ===",
    "+ a",
)


@pytest.mark.parametrize("text", MARKUP)
def test_markup_in_a_text_stays_text(text: str) -> None:
    tokens = PARSER.parse(markdown.render(one_paragraph(text)))
    shown = [child.content for token in tokens if token.type == "inline" for child in token.children or ()]
    assert "".join(shown).count(text) == 1
    assert {token.type for token in tokens} == {
        "heading_open",
        "heading_close",
        "inline",
        "paragraph_open",
        "paragraph_close",
    }
