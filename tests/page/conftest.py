"""A browser for each module of tests of the page, and one server without a database for all in a process."""

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser

from headless_browser import headless_browser
from hitchworth.web.server import running


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    """Closed with the module: while one is open, no other test of the process could open one, or run an event loop."""
    with headless_browser() as opened:
        yield opened


@pytest.fixture(scope="session")
def address() -> Iterator[str]:
    with running() as url:
        yield url
