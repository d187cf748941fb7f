"""What a person does on the page, for its tests."""

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, expect

DEMO = "Open the demo"
RECEIPTS = b"Date,Item,Price\n03/04/2025,Two-burner stove,120.00\n05/04/2025,Mattress,234.50\n"
"""Receipts whose days can be read in two ways."""


LEVEL_AA = {"runOnly": {"type": "tag", "values": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]}}
"""The rules of axe-core for WCAG 2.2 (W3C Recommendation of 2023-10-05), levels A and AA."""


@contextmanager
def opened(browser: Browser, address: str, **context: Any) -> Iterator[Page]:
    """A new page of the server, as a browser in American English has it; any error of its script fails the test."""
    own = browser.new_context(**{"locale": "en-US", "viewport": {"width": 360, "height": 740}, **context})
    page = own.new_page()
    errors: list[str] = []
    page.on("pageerror", lambda error: errors.append(str(error)))
    page.on("console", lambda message: errors.append(message.text) if "Content Security" in message.text else None)
    page.goto(address)
    expect(page.locator("h1")).to_be_visible()
    yield page
    own.close()
    assert not errors, errors  # this file is no test: pytest does not show its values


def accessibility_faults(page: Page) -> list[str]:
    """What axe-core finds wrong: rule and element."""
    found = Axe().run(page, options=LEVEL_AA).response["violations"]
    return [f"{fault['id']}: {node['html'][:200]}" for fault in found for node in fault["nodes"]]


def open_demo(page: Page) -> None:
    """Open the demo, and wait until it is computed."""
    page.get_by_role("button", name=DEMO).click()
    computed(page)


def computed(page: Page) -> None:
    """Wait until the newest change is computed, or refused."""
    expect(page.locator(".short .row").first).to_be_visible()
    expect(page.locator("#content")).to_have_attribute("aria-busy", "false")


def bring(page: Page, name: str, content: bytes) -> None:
    """Bring a file to the first view."""
    kind = "application/octet-stream"
    page.get_by_label("Your file").set_input_files({"name": name, "mimeType": kind, "buffer": content})


def paid(page: Page) -> str:
    """What the policy pays that is shown step by step."""
    return page.locator(".waterfall .paid .amount").inner_text()


def change(page: Page, label: str, value: str) -> None:
    """Write into a field of a term and leave it."""
    field = page.get_by_label(label, exact=True)
    field.fill(value)
    field.blur()
