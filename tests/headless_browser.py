"""A real browser without a window: Debian's Chromium. Without one a test is skipped, in CI it fails."""

import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager

import pytest
from playwright.sync_api import Browser, sync_playwright

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
    program = shutil.which("chromium") or shutil.which("chromium-browser")
    if program is None:
        reason = "There is no chromium: apt-get install chromium"
        pytest.fail(reason) if os.environ.get("CI") == "true" else pytest.skip(reason)
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=program, args=QUIET)
        yield browser
        browser.close()
