"""A headless browser: Chromium as Debian packages it. Without it a test is skipped; with CI=true the test fails."""

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
    """Yield the browser, and close it at the end."""
    program = shutil.which("chromium") or shutil.which("chromium-browser")
    if program is None:
        reason = "Chromium is not installed: apt-get install chromium"
        pytest.fail(reason) if os.environ.get("CI") == "true" else pytest.skip(reason)
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=program, args=QUIET)
        yield browser
        browser.close()
