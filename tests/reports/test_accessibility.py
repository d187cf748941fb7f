"""The page in a real browser: no violation of WCAG 2.1 AA found by axe-core, and nothing loaded from outside."""

from collections.abc import Iterator
from pathlib import Path
from typing import Literal, get_args

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page

from demo_sheet import demo_content
from headless_browser import headless_browser
from hitchworth.localization.locales import available
from hitchworth.reports import html
from hitchworth.reports.catalog import CONVERSATION_SHEET
from hitchworth.reports.quote_catalog import QuoteReportName
from quote_reports import made, with_logo

LEVEL_AA = {"runOnly": {"type": "tag", "values": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa"]}}
"""The rules of axe-core for WCAG 2.1 (W3C Recommendation of 2018-06-05), levels A and AA."""

DESK, PHONE = {"width": 1280, "height": 900}, {"width": 390, "height": 844}


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    with headless_browser() as opened:
        yield opened


@pytest.fixture
def page(browser: Browser) -> Iterator[Page]:
    opened = browser.new_page()
    yield opened
    opened.close()


def written(folder: Path, text: str) -> str:
    """Return the address of a page with this text."""
    file = folder / "sheet.html"
    file.write_text(text, "utf-8")
    return file.as_uri()


def faults(page: Page) -> list[str]:
    """Return what axe-core finds wrong: rule and element."""
    found = Axe().run(page, options=LEVEL_AA).response["violations"]
    return [f"{fault['id']}: {node['html'][:200]}" for fault in found for node in fault["nodes"]]


@pytest.mark.parametrize("locale", available())
@pytest.mark.parametrize("size", [DESK, PHONE], ids=["desk", "phone"])
def test_the_page_meets_wcag_aa(page: Page, tmp_path: Path, locale: str, size: dict[str, int]) -> None:
    page.set_viewport_size({"width": size["width"], "height": size["height"]})
    page.goto(written(tmp_path, html.render(demo_content(locale))))
    assert faults(page) == []


@pytest.mark.parametrize("name", get_args(QuoteReportName))
def test_the_page_of_a_quote_meets_wcag_aa(page: Page, tmp_path: Path, name: QuoteReportName) -> None:
    page.set_viewport_size({"width": PHONE["width"], "height": PHONE["height"]})
    page.goto(written(tmp_path, html.render(made(with_logo(), name))))
    assert faults(page) == []


def test_a_page_with_faults_is_found(page: Page, tmp_path: Path) -> None:
    page.goto(written(tmp_path, '<!doctype html><html><title>x</title><img src="data:,"><p style="color:#bbb">pale'))
    assert {fault.partition(":")[0] for fault in faults(page)} == {"html-has-lang", "image-alt", "color-contrast"}


def test_opening_the_page_requests_only_the_page(page: Page, tmp_path: Path) -> None:
    requested: list[str] = []
    page.on("request", lambda request: requested.append(request.url))
    address = written(tmp_path, html.render(demo_content("en-US")))
    page.goto(address, wait_until="networkidle")
    assert requested == [address]


@pytest.mark.parametrize("selector", ["h1", "h2", "p", "dt", "dd", "caption", "td", ".tick", ".blank", "svg text"])
def test_the_page_is_set_in_the_fonts_that_come_with_it(page: Page, tmp_path: Path, selector: str) -> None:
    """So that every machine shows the same page, whatever fonts it has."""
    page.goto(written(tmp_path, html.render(demo_content("en-US"))))
    client = page.context.new_cdp_session(page)
    client.send("DOM.enable")
    client.send("CSS.enable")
    root = client.send("DOM.getDocument")["root"]["nodeId"]
    node = client.send("DOM.querySelector", {"nodeId": root, "selector": selector})["nodeId"]
    fonts = client.send("CSS.getPlatformFontsForNode", {"nodeId": node})["fonts"]
    assert {(font["familyName"], font["isCustomFont"]) for font in fonts} == {("Libertinus Serif", True)}


@pytest.mark.parametrize("locale", available())
def test_nothing_is_wider_than_the_window(page: Page, tmp_path: Path, locale: str) -> None:
    page.goto(written(tmp_path, html.render(demo_content(locale))))
    for width in (1280, 390):
        page.set_viewport_size({"width": width, "height": 900})
        assert page.evaluate("document.documentElement.scrollWidth") <= width


@pytest.mark.parametrize("locale", available())
@pytest.mark.parametrize(("medium", "width"), [("screen", 816), ("print", 680)])
def test_no_column_is_too_thin_for_a_word_and_no_table_too_wide(
    page: Page, tmp_path: Path, locale: str, medium: Literal["screen", "print"], width: int
) -> None:
    """On Letter, 816 points of CSS wide; in print within its margins, which A4 has no wider."""
    page.set_viewport_size({"width": width, "height": 1056})
    page.emulate_media(media=medium)
    page.goto(written(tmp_path, html.render(demo_content(locale))))
    cells = "[...document.querySelectorAll('th, td')].filter(cell => cell.innerText.trim().length > 3)"
    assert page.evaluate(f"Math.min(...{cells}.map(cell => cell.getBoundingClientRect().width))") > 24
    tables = "[...document.querySelectorAll('table')]"
    assert page.evaluate(f"Math.max(...{tables}.map(table => table.getBoundingClientRect().right))") <= width


@pytest.mark.parametrize("locale", available())
def test_the_labels_of_the_picture_are_whole(page: Page, tmp_path: Path, locale: str) -> None:
    page.goto(written(tmp_path, html.render(demo_content(locale))))
    left = "[...document.querySelectorAll('svg text')].map(text => text.getBBox().x)"
    assert page.evaluate(f"Math.min(...{left})") >= 0


def test_what_is_typed_into_the_sheet_is_kept_when_the_page_is_saved(page: Page, tmp_path: Path) -> None:
    """The browser saves the page as it stands, as for a complete web page, in one file (MHTML, RFC 2557)."""
    page.goto(written(tmp_path, html.render(demo_content("en-US", None, CONVERSATION_SHEET))))
    page.locator(".lines").first.fill("Yes, by letter of 12 March")
    page.locator(".entry").first.fill("Northmark Mutual")
    saved = page.context.new_cdp_session(page).send("Page.captureSnapshot", {"format": "mhtml"})["data"]
    file = tmp_path / "saved.mhtml"
    file.write_text(saved, encoding="utf-8")
    page.goto(file.as_uri())
    assert page.locator(".lines").first.inner_text() == "Yes, by letter of 12 March"
    assert page.locator(".entry").first.inner_text() == "Northmark Mutual"
    assert page.get_by_text("save it as a complete web page").is_visible()


def test_the_hint_on_saving_is_not_printed_and_stands_only_where_there_is_room_to_type(
    page: Page, tmp_path: Path
) -> None:
    page.goto(written(tmp_path, html.render(demo_content("en-US", None, CONVERSATION_SHEET))))
    page.emulate_media(media="print")
    assert page.get_by_text("save it as a complete web page").is_hidden()
    assert "complete web page" not in html.render(demo_content("en-US", None, "workings"))
