"""The documentation is served by the API alone: nothing is loaded from elsewhere."""

import re
from typing import Any

import pytest
from litestar import Litestar
from litestar.testing import TestClient

from web_server import client

Api = TestClient[Litestar]


@pytest.fixture(scope="module")
def api() -> Any:
    with client() as api:
        yield api


def test_the_page_loads_only_what_is_served_here(api: Api) -> None:
    page = api.get("/docs")
    assert page.headers["content-type"] == "text/html; charset=utf-8"
    assert not re.search(r"https?:|//[a-z]", page.text)
    loaded = re.findall(r'(?:src|href)="([^"]+)"', page.text)
    assert len(loaded) == 5
    for address in loaded:
        assert api.get(address).status_code == 200


def test_the_page_has_nobody_validate_the_description(api: Api) -> None:
    assert "validatorUrl: null" in api.get("/docs/start.js").text


def test_browsers_may_load_nothing_from_elsewhere(api: Api) -> None:
    policy = api.get("/docs").headers["content-security-policy"]
    assert policy.startswith("default-src 'self'")
    assert "http" not in policy


@pytest.mark.parametrize(
    ("path", "kind"),
    [
        ("/openapi.json", "application/json"),
        ("/docs/start.js", "text/javascript; charset=utf-8"),
        ("/docs/swagger-ui.css", "text/css"),
        ("/docs/swagger-ui-bundle.js", "text/javascript"),
        ("/docs/favicon-32x32.png", "image/png"),
    ],
)
def test_each_part_has_its_type(api: Api, path: str, kind: str) -> None:
    assert api.get(path).headers["content-type"] == kind
