"""The guide in a real browser: accessible, narrow, light and dark; the reference behind a prefix; the pictures."""

import re
from urllib.request import urlopen

import pytest
from PIL import Image
from playwright.sync_api import Browser, Page, Route, expect

from guide_pictures import LARGEST, PICTURES, difference, drawn_pictures
from hitchworth.guide.chapters import HOME, chapter_names
from page_driving import accessibility_faults, opened

PATHS = ["docs", *(f"docs/{name}" for name in chapter_names() if name != HOME), "docs/search?q=deductible"]
PHONE, DESK = {"width": 390, "height": 844}, {"width": 1280, "height": 900}


def width(page: Page) -> int:
    return int(page.evaluate("document.documentElement.scrollWidth"))


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_every_page_meets_wcag_aa_and_is_no_wider_than_the_window(browser: Browser, address: str, scheme: str) -> None:
    with opened(browser, f"{address}/docs", color_scheme=scheme) as page:
        for path in PATHS:
            page.goto(f"{address}/{path}")
            for size in (PHONE, DESK):
                page.set_viewport_size({"width": size["width"], "height": size["height"]})
                assert width(page) <= size["width"], path
            assert accessibility_faults(page) == [], path


def test_the_dark_is_dark(browser: Browser, address: str) -> None:
    script = "getComputedStyle(document.documentElement).backgroundColor"
    seen = {}
    for scheme in ("light", "dark"):
        with opened(browser, f"{address}/docs/policies", color_scheme=scheme) as page:
            seen[scheme] = sum(map(int, re.findall(r"\d+", page.evaluate(script))[:3]))
    assert seen["dark"] < 150
    assert seen["light"] > 600


def test_a_reader_searches_and_turns_the_pages(browser: Browser, address: str) -> None:
    with opened(browser, f"{address}/docs", viewport=PHONE) as page:
        page.get_by_label("Search the guide").fill("salvage that you keep")
        page.keyboard.press("Enter")
        expect(page.get_by_role("heading", name="Search", exact=True)).to_be_visible()
        page.locator(".found a").first.click()
        expect(page.locator("h1")).to_have_text("Policies and what their words mean")
        page.get_by_role("link", name="Class and law →").click()
        expect(page.locator("h1")).to_have_text("Class and law")
        page.get_by_role("link", name="Chapters").click()
        page.get_by_role("navigation", name="Chapters").get_by_role("link", name="After a loss").click()
        expect(page.locator("h1")).to_have_text("After a loss")


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_an_opened_operation_fits_a_telephone_also_behind_a_prefix(browser: Browser, address: str, scheme: str) -> None:
    def proxy(route: Route) -> None:
        """Show the server under a prefix, as a proxy does that takes it off."""
        path = route.request.url.removeprefix("http://values.example/trailers/")
        assert path != route.request.url, f"{path} is out of the prefix"
        with urlopen(f"{address}/{path}") as answer:
            route.fulfill(body=answer.read(), headers=dict(answer.headers))

    with urlopen(f"{address}/openapi.json") as made:  # the first time it is made, which takes longer than a page waits
        made.read()
    context = browser.new_context(viewport={"width": 390, "height": 844}, color_scheme=scheme)  # type: ignore[arg-type]
    context.route("**/*", proxy)
    page = context.new_page()
    page.goto("http://values.example/trailers/docs/reference")
    page.locator(".opblock-summary-control").first.wait_for(timeout=60_000)
    page.locator(".opblock-post .opblock-summary-control").first.click()
    expect(page.locator(".opblock.is-open .opblock-body")).to_be_visible()
    page.locator(".opblock.is-open .microlight").first.wait_for()
    assert width(page) <= 390
    assert page.locator(".servers option").first.get_attribute("value") == "http://values.example/trailers"
    filtered = "getComputedStyle(document.getElementById('page')).filter"
    assert page.evaluate(filtered).startswith("invert" if scheme == "dark" else "none")
    context.close()


def test_the_pictures_show_what_is_printed_and_shown_today(browser: Browser, address: str) -> None:
    again = "keep them anew: PYTHONPATH=tests .venv/bin/python tests/guide_pictures.py"
    drawn = drawn_pictures(browser, address)
    for name, picture in drawn.items():
        kept = Image.open(PICTURES / f"{name}.webp")
        assert kept.size == picture.size, again
        assert difference(kept, picture) < 0.02, again
    assert difference(drawn["sheet"], drawn["page"]) > 0.05  # two pictures that differ are told apart


def test_every_picture_is_small() -> None:
    assert {path.name for path in PICTURES.iterdir() if path.stat().st_size >= LARGEST} == set()
