"""The HTML page: its structure, that it loads nothing, that texts stay texts."""

import re
from collections import Counter
from html.parser import HTMLParser
from itertools import pairwise

import pytest
from msgspec.structs import replace

from demo_sheet import demo_content
from hitchworth.demo import demo_request
from hitchworth.localization.locales import available
from hitchworth.operations.reports import create_report
from hitchworth.reports import html

VOID = {"meta", "col", "br", "line", "rect", "circle"}
HOSTILE = '"><script>alert(1)</script></style>{{ 7*7 }}<img src=https://x.invalid onerror=a>'


class Page(HTMLParser):
    """The tags of a page in their order, their attributes, and whether they are closed as they were opened."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.open: list[str] = []
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))

    def handle_endtag(self, tag: str) -> None:
        if tag not in VOID:
            assert self.open.pop() == tag

    def count(self, tag: str) -> int:
        return sum(name == tag for name, _ in self.tags)


@pytest.fixture(params=available())
def page(request: pytest.FixtureRequest) -> Page:
    return Page(html.render(demo_content(request.param)))


def test_every_tag_is_closed(page: Page) -> None:
    assert page.open == []


def test_headings_go_down_one_level_at_a_time(page: Page) -> None:
    levels = [int(tag[1]) for tag, _ in page.tags if re.fullmatch("h[1-6]", tag)]
    assert levels[0] == 1
    assert Counter(levels)[1] == 1
    assert all(after - before <= 1 for before, after in pairwise(levels))


def test_tables_have_captions_and_scoped_heads(page: Page) -> None:
    assert page.count("table") == page.count("caption") > 5
    scopes = [attributes.get("scope") for tag, attributes in page.tags if tag == "th"]
    assert set(scopes) == {"col", "row", "rowgroup"}


def test_the_page_says_its_language_and_the_drawing_its_meaning(page: Page) -> None:
    assert page.tags[0][1]["lang"] in available()
    drawings = [attributes for tag, attributes in page.tags if tag == "svg"]
    assert drawings
    assert all(drawing["role"] == "img" and drawing["aria-labelledby"] for drawing in drawings)


def test_ids_are_unique(page: Page) -> None:
    ids = Counter(attributes["id"] for _, attributes in page.tags if "id" in attributes)
    assert [name for name, times in ids.items() if times > 1] == []


def test_nothing_is_loaded_and_nothing_runs(page: Page) -> None:
    assert {tag for tag, _ in page.tags} & {"script", "link", "img", "iframe", "object", "base", "form"} == set()
    names = {name for _, attributes in page.tags for name in attributes}
    assert names & {"src", "href", "srcset", "action", "data"} == set()
    assert not [name for name in names if name.startswith("on")]


def test_no_address_of_the_outside_but_the_name_of_the_drawing_language() -> None:
    text = html.render(demo_content("en-US"))
    addresses = set(re.findall(r"https?://[^\s\"'<)]+", text))
    assert addresses == {"http://www.w3.org/2000/svg"}
    assert "url(http" not in text
    assert "@import" not in text


@pytest.mark.parametrize(("paper", "size"), [("letter", "letter"), ("a4", "A4")])
def test_the_page_has_the_size_of_the_paper(paper: str, size: str) -> None:
    sheet = replace(demo_content("en-US"), paper=paper)
    assert f"size: {size};" in html.render(sheet)


def test_hostile_texts_are_shown_as_they_are_and_do_nothing() -> None:
    request = demo_request()
    component = replace(request.build.components[0], serial_number=HOSTILE)
    build = replace(request.build, name=HOSTILE, components=(component, *request.build.components[1:]), vin=HOSTILE)
    text = html.render(create_report(replace(request, build=build), "all"))
    page = Page(text)
    assert page.open == []
    assert {tag for tag, _ in page.tags} & {"script", "img"} == set()
    assert "&lt;script&gt;alert(1)&lt;/script&gt;" in text
    assert "{{ 7*7 }}" in text
    assert text.count("</style>") == 1
