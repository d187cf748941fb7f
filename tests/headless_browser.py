"""A real browser without a window: Debian's Chromium."""

from collections.abc import Iterator
from contextlib import contextmanager

from playwright.sync_api import Browser, sync_playwright

from installed import installed

QUIET = (
    "--no-sandbox",  # else it refuses to run as root, as in a container
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)


@contextmanager
def headless_browser() -> Iterator[Browser]:
    """The browser, closed at the end."""
    program = installed("chromium", "chromium-browser", package="chromium")
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=program, args=QUIET)
        yield browser
        browser.close()
