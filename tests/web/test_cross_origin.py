"""Pages of other sites: those that are named may call, in a browser too; others are refused."""

from collections.abc import Iterator
from contextlib import contextmanager
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from threading import Thread
from typing import Any

import httpx2
import pytest
from playwright.sync_api import Browser

from documents import ROOT
from headless_browser import headless_browser
from hitchworth.operations.settings import Settings, read_settings
from hitchworth.validation import InvalidInputError
from hitchworth.web.server import running
from web_server import JSON, assert_problem, example

FORM = ROOT / "sdk" / "examples" / "quote_form.html"
SITE = "https://workshop.example"
ASKED = {"access-control-request-method": "POST", "access-control-request-headers": "content-type"}


@pytest.fixture(scope="module")
def address() -> Iterator[str]:
    with running(Settings(port=0, access_log=False, cors_origins=f"{SITE}, https://other.example:8443")) as served:
        yield served


def test_a_page_that_is_named_may_call(address: str) -> None:
    for origin in (SITE, "https://other.example:8443"):
        preflight = httpx2.request("OPTIONS", f"{address}/v1/quotes", headers={"origin": origin, **ASKED})
        assert preflight.status_code == 204
        assert preflight.headers["access-control-allow-origin"] == origin
        assert "POST" in preflight.headers["access-control-allow-methods"]
        assert "content-type" in preflight.headers["access-control-allow-headers"]
        assert preflight.headers["vary"] == "origin"
        answer = httpx2.post(f"{address}/v1/quotes", content=example("quote"), headers={"origin": origin, **JSON})
        assert answer.status_code == 200
        assert answer.headers["access-control-allow-origin"] == origin
        assert "X-Request-Id" in answer.headers["access-control-expose-headers"]
        for each in (preflight, answer):
            assert "access-control-allow-credentials" not in each.headers


def test_a_problem_can_be_read_by_the_page_too(address: str) -> None:
    answer = httpx2.post(f"{address}/v1/quotes", content=b"{}", headers={"origin": SITE, **JSON})
    assert_problem(answer, 422, "invalid-input")
    assert answer.headers["access-control-allow-origin"] == SITE


@pytest.mark.parametrize(
    "origin",
    ["https://workshop.example:8443", "http://workshop.example", "https://workshop.example.evil.example", "null"],
)
def test_any_other_page_is_refused(address: str, origin: str) -> None:
    preflight = httpx2.request("OPTIONS", f"{address}/v1/quotes", headers={"origin": origin, **ASKED})
    assert not [name for name in preflight.headers if name.startswith("access-control")]
    answer = httpx2.post(f"{address}/v1/quotes", content=example("quote"), headers={"origin": origin, **JSON})
    assert_problem(answer, 403, "foreign-page")
    assert "access-control-allow-origin" not in answer.headers
    assert "HITCHWORTH_CORS_ORIGINS" in answer.json()["detail"]


def test_what_is_kept_in_a_cache_is_kept_for_each_page_and_format(address: str) -> None:
    answer = httpx2.get(f"{address}/v1/schedules")
    told = {name.strip() for name in answer.headers["vary"].split(",")}
    assert told == {"accept", "accept-encoding", "origin"}
    assert "access-control-allow-origin" not in answer.headers


def test_its_own_pages_still_call(address: str) -> None:
    answer = httpx2.post(f"{address}/v1/quotes", content=example("quote"), headers={"origin": address, **JSON})
    assert answer.status_code == 200


def test_without_the_setting_no_page_is_told_anything() -> None:
    with running() as address:
        answer = httpx2.post(f"{address}/v1/quotes", content=example("quote"), headers={"origin": SITE, **JSON})
        own = httpx2.get(f"{address}/v1/schedules", headers={"origin": address})
    assert_problem(answer, 403, "foreign-page")
    assert not [name for name in own.headers if name.startswith("access-control")]


@pytest.mark.parametrize(
    "text", ["*", "null", "workshop.example", "https://a.example/", "https://*.a.example", "https://A"]
)
def test_an_origin_is_written_as_a_browser_sends_it(text: str) -> None:
    with pytest.raises(InvalidInputError) as error:
        read_settings({"HITCHWORTH_CORS_ORIGINS": text})
    assert error.value.faults[0].pointer == "HITCHWORTH_CORS_ORIGINS"
    read = read_settings({"HITCHWORTH_CORS_ORIGINS": "https://a.example , http://b.example:8080"})
    assert read.cors_origins == "https://a.example , http://b.example:8080"


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    with headless_browser() as opened:
        yield opened


@contextmanager
def site(host: str) -> Iterator[tuple[str, dict[str, bytes]]]:
    """A web site of somebody else with one page, which can be set; its origin, and the page."""
    page = {"content": b""}

    class Page(BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            self.send_response(200)
            self.send_header("content-type", "text/html; charset=utf-8")
            self.end_headers()
            self.wfile.write(page["content"])

        def log_message(self, *_: Any) -> None: ...

    server = ThreadingHTTPServer((host, 0), Page)
    Thread(target=server.serve_forever, daemon=True).start()
    try:
        yield f"http://{host}:{server.server_address[1]}", page
    finally:
        server.shutdown()
        server.server_close()


def quoted(browser: Browser, origin: str, **fields: str) -> str:
    """Fill in the form of a site and return what it shows."""
    page = browser.new_page()
    page.goto(origin)
    for name, value in fields.items():
        page.fill(f"input[name={name}]", value)
    page.check("input[name=heater]")
    page.click("button")
    page.wait_for_function("document.querySelector('output').textContent")
    shown = page.inner_text("output")
    page.close()
    return shown


def test_the_form_quotes_on_a_site_that_is_allowed_and_on_no_other(browser: Browser) -> None:
    with (
        site("127.0.0.2") as (allowed, its_page),
        site("127.0.0.3") as (foreign, other_page),
        running(Settings(port=0, access_log=False, cors_origins=allowed)) as address,
    ):
        for page in (its_page, other_page):
            page["content"] = FORM.read_bytes().replace(b"http://127.0.0.1:8000", address.encode())
        # 2,450.00 for the bought base; (819.50 + 378.00) x 1.1 / 0.85 = 1,549.71; 62 h at 82.00 = 5,084.00; the heater
        # 1,250.00
        assert "$10,333.71" in quoted(browser, allowed)
        assert "/build/components/1/quantity" in quoted(browser, allowed, sheets="eleven")
        assert quoted(browser, foreign) == "No answer: Failed to fetch"
