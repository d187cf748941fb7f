"""The chapters: each is in the menu once, its headings have anchors, its HTML holds nothing but what Markdown made."""

import re
from pathlib import Path

import pytest

from hitchworth.guide import chapters
from hitchworth.guide.chapters import HOME, chapter, chapter_names, contents, title_of
from hitchworth.guide.pages import chapter_page

FOLDER = Path(chapters.__file__).parent


def test_every_file_is_a_chapter_and_in_the_menu_once() -> None:
    assert sorted(chapter_names()) == sorted(path.stem for path in FOLDER.glob("*.md"))
    assert chapter_names()[0] == HOME
    assert len({group.heading for group in contents()}) == len(contents())


@pytest.mark.parametrize("name", chapter_names())
def test_a_chapter_begins_with_its_title_and_has_no_other(name: str) -> None:
    made = chapter(name)
    assert made.title == title_of(name)
    assert made.html.startswith(f"<h1>{made.title}</h1>")
    assert made.html.count("<h1") == 1
    assert [section.level for section in made.sections].count(1) == 1


@pytest.mark.parametrize("name", chapter_names())
def test_every_section_has_an_anchor_of_its_own_in_the_html(name: str) -> None:
    made = chapter(name)
    anchors = [section.anchor for section in made.sections[1:]]
    assert len(set(anchors)) == len(anchors)
    assert anchors == re.findall(r'<h[2-6] id="([^"]+)"', made.html)


def test_the_same_heading_twice_has_two_anchors() -> None:
    """As repositories on the web number them."""
    taken: set[str] = set()
    made = [chapters._anchor(title, taken) for title in ("What's in it?", "What's in it?", "What's in it?", "GET /v1")]
    assert made == ["whats-in-it", "whats-in-it-1", "whats-in-it-2", "get-v1"]


@pytest.mark.parametrize(
    ("target", "from_home", "from_chapter"),
    [
        ("running.md", "docs/running", "running"),
        ("running.md#keys", "docs/running#keys", "running#keys"),
        ("index.md", "docs", "../docs"),
        ("pictures/a.webp", "docs/pictures/a.webp", "pictures/a.webp"),
        ("../web/examples/receipts.csv", "docs/examples/receipts.csv", "examples/receipts.csv"),
        ("/openapi.json", "openapi.json", "../openapi.json"),
        ("/", "", "../"),
        ("#keys", "#keys", "#keys"),
        ("https://example.com/x.md", "https://example.com/x.md", "https://example.com/x.md"),
    ],
)
def test_links_are_relative_so_that_a_proxy_may_add_a_prefix(target: str, from_home: str, from_chapter: str) -> None:
    assert (chapters._address(target, HOME), chapters._address(target, "api")) == (from_home or "./", from_chapter)


def test_code_is_colored_and_escaped_and_html_is_not_taken_over() -> None:
    html = chapter("api").html
    assert '<span class="s1">' in html
    made = chapters._markdown().render("<script>x</script>\n\n```sh\necho '<b>'\n```\n", {"chapter": "api"})
    assert "<script>" not in made
    assert "<b>" not in made
    assert "&lt;b&gt;" in made


def test_a_table_can_be_moved_sideways_with_the_keyboard() -> None:
    html = chapter("running").html
    assert html.count("<table ") == html.count('tabindex="0" role="group" aria-label="Table"') > 2


def test_a_cell_has_the_name_of_its_column_and_a_table_of_numbers_is_one() -> None:
    words, numbers = "| Word | What |\n|---|---|\n| a | b |\n", "| What | Size |\n|---|---:|\n| a | 1 |\n"
    tokens = chapters._markdown().parse(f"{words}\n{numbers}")
    chapters._name_cells(tokens)
    html = chapters._markdown().renderer.render(tokens, chapters._markdown().options, {"chapter": "api"})
    assert '<table role="table" class="listed">' in html
    assert '<td role="cell" data-column="What">b</td>' in html
    assert '<table role="table" class="numbers">' in html
    assert '<td role="cell" data-column="Size" class="number">1</td>' in html
    assert html.count('scope="col"') == 4
    assert " style=" not in html


def test_a_long_name_may_be_broken_after_its_signs() -> None:
    made = chapters._markdown().render("`a_b/c.d=<e> x`", {"chapter": "api"})
    assert made == "<p><code>a_<wbr>b/<wbr>c.<wbr>d=&lt;e&gt; x</code></p>\n"


def test_an_option_is_not_broken_and_what_is_printed_keeps_its_lines() -> None:
    source = "`x --as-of a`\n\n```sh\nx --as-of a\n```\n\n```text\nA  B\n```\n"
    made = chapters._markdown().render(source, {"chapter": "api"})
    assert made.count('<span class="word">--as-of</span>') == 2
    assert made.count("tabindex") == 1
    assert 'class="wide code printed" tabindex="0" role="group"' in made


def test_a_picture_leads_to_itself_in_its_full_size() -> None:
    assert (
        '<a class="picture" href="pictures/sheet.webp"><img src="pictures/sheet.webp" alt="'
        in chapter("conversation").html
    )


def test_code_is_in_the_text_of_its_section_and_a_line_break_is_a_space() -> None:
    source = "# Title\n\nOne *two*\nthree.\n\n## Part\n\n```sh\nrun it\n```\n"
    told = chapters._with_anchors("api", chapters._markdown().parse(source))
    assert [(each.level, each.anchor, each.text) for each in told] == [
        (1, "", "One two three."),
        (2, "part", "run it\n"),
    ]


def test_a_chapter_leads_to_those_before_and_after_it() -> None:
    names = chapter_names()
    for place, (before, after) in {0: (None, names[1]), 2: (names[1], names[3]), -1: (names[-2], None)}.items():
        links = dict(re.findall(r'<a rel="(prev|next)" href="(?:docs/)?([^"]+)"', chapter_page(names[place]).decode()))
        assert (links.get("prev"), links.get("next")) == (before, after)
    assert '<a rel="prev" href="../docs">' in chapter_page(names[1]).decode()
