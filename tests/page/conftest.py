"""One browser and one server without a database for all tests of the page in a process."""

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser

from headless_browser import headless_browser
from hitchworth.web.server import running


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    with headless_browser() as opened:
        yield opened


@pytest.fixture(scope="session")
def address() -> Iterator[str]:
    with running() as url:
        yield url
