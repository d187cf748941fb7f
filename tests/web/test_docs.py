"""The documentation is served by the API alone: nothing is loaded from elsewhere, and a proxy may add a prefix."""

import gzip
import re
from html import unescape
from typing import Any
from urllib.parse import urldefrag, urljoin

import pytest
from litestar import Litestar
from litestar.testing import TestClient

from hitchworth.guide.chapters import HOME, chapter_names
from hitchworth.web.docs import EXAMPLES
from web_server import client

Api = TestClient[Litestar]
PAGES = ["/docs", *(f"/docs/{name}" for name in chapter_names() if name != HOME), "/docs/search?q=policy"]
PREFIX = "https://values.example/trailers"
"""Where a proxy shows the server. It takes the prefix off before it passes a request on."""


@pytest.fixture(scope="module")
def api() -> Any:
    with client() as api:
        yield api


ANSWERED: dict[str, tuple[int, str]] = {}
"""What was asked for already: every page has the links of the menu."""


def answered(api: Api, path: str) -> tuple[int, str]:
    """Return the status and, of a page, the text."""
    if path not in ANSWERED:
        answer = api.get(path)
        ANSWERED[path] = (answer.status_code, answer.text if "html" in answer.headers["content-type"] else "")
    return ANSWERED[path]


def links(page: str) -> set[str]:
    return {unescape(link) for link in re.findall(r'(?:src|href|action)="([^"]*)"', page)}


@pytest.mark.parametrize("path", [*PAGES, "/docs/reference"])
def test_every_link_of_a_page_leads_somewhere_also_behind_a_prefix(api: Api, path: str) -> None:
    page = api.get(path)
    assert (page.status_code, page.headers["content-type"]) == (200, "text/html; charset=utf-8")
    for link in links(page.text):
        address, anchor = urldefrag(urljoin(PREFIX + path, link))
        if not address.startswith("https://values.example"):
            assert re.match(r"http://127\.0\.0\.1:8000", address), f"{link} leads elsewhere"
            continue
        assert address.startswith(f"{PREFIX}/"), f"{link} leads out of the prefix"
        status, text = answered(api, address.removeprefix(PREFIX))
        assert status == 200, link
        assert not anchor or f'id="{anchor}"' in text, link


@pytest.mark.parametrize("path", PAGES)
def test_the_guide_runs_no_script_and_loads_only_what_is_served_here(api: Api, path: str) -> None:
    page = api.get(path)
    assert "<script" not in page.text
    assert " style=" not in page.text
    assert not re.search(r'src="(?:https?:)?//', page.text)
    policy = page.headers["content-security-policy"]
    assert policy.startswith("default-src 'none'; style-src 'self'; img-src 'self'; ")
    assert "script" not in policy


def test_the_reference_loads_only_what_is_served_here(api: Api) -> None:
    page = api.get("/docs/reference")
    assert not re.search(r"https?:|//[a-z]", page.text)
    policy = page.headers["content-security-policy"]
    assert policy.startswith("default-src 'self'")
    assert "http" not in policy
    assert "validatorUrl: null" in api.get("/docs/reference.js").text


@pytest.mark.parametrize(
    ("path", "kind"),
    [
        ("/openapi.json", "application/json"),
        ("/docs/guide.css", "text/css; charset=utf-8"),
        ("/docs/reference.js", "text/javascript; charset=utf-8"),
        ("/docs/swagger-ui.css", "text/css; charset=utf-8"),
        ("/docs/swagger-ui-bundle.js", "text/javascript; charset=utf-8"),
        ("/docs/pictures/sheet.webp", "image/webp"),
        ("/docs/pictures/steps.svg", "image/svg+xml"),
        ("/docs/examples/receipts.csv", "text/csv; charset=utf-8"),
        ("/docs/examples/gap_request.json", "application/json"),
        ("/docs/examples/estimate-batch.ndjson", "application/x-ndjson"),
    ],
)
def test_each_part_has_its_type(api: Api, path: str, kind: str) -> None:
    assert api.get(path).headers["content-type"] == kind


@pytest.mark.parametrize(
    "path",
    ["/openapi.json", "/docs", "/docs/policies", "/docs/guide.css", "/page/main.js"],
)
def test_what_stays_the_same_is_compressed_where_the_caller_reads_it(api: Api, path: str) -> None:
    """RFC 9110, 12.5.3: a coding that is not named, or has the weight 0, is not sent. 12.5.5: Vary says what counts."""
    plain, packed = (api.get(path, headers={"accept-encoding": each}) for each in ("identity", "br;q=1, GZIP; q=0.5"))
    refused = api.get(path, headers={"accept-encoding": "gzip;q=0"})
    assert "content-encoding" not in plain.headers
    assert "content-encoding" not in refused.headers
    assert packed.headers["content-encoding"] == "gzip"
    assert {answer.headers["vary"] for answer in (plain, packed, refused)} == {"Accept-Encoding"}
    assert packed.content == plain.content == refused.content  # the client has unpacked it
    assert int(packed.headers["content-length"]) < int(plain.headers["content-length"]) * 0.6
    assert len(gzip.compress(plain.content, mtime=0)) == int(packed.headers["content-length"])


@pytest.mark.parametrize("encoding", ["gzip", "identity"])
@pytest.mark.parametrize("path", ["/openapi.json", "/docs", "/docs/reference", "/docs/pictures/sheet.webp"])
def test_what_the_caller_has_is_not_sent_again(api: Api, path: str, encoding: str) -> None:
    """RFC 9110, 13.1.2 and 15.4.5; the two codings are two representations, each with its tag (8.8.3.3)."""
    headers = {"accept-encoding": encoding}
    first = api.get(path, headers=headers)
    again = api.get(path, headers={**headers, "if-none-match": first.headers["etag"]})
    assert (again.status_code, again.content) == (304, b"")
    assert again.headers["etag"] == first.headers["etag"]
    assert api.get(path, headers={**headers, "if-none-match": '"other"'}).status_code == 200
    assert api.head(path, headers=headers).headers["content-length"] == first.headers["content-length"]


def test_the_two_codings_have_two_tags(api: Api) -> None:
    tags = {api.get("/docs", headers={"accept-encoding": each}).headers["etag"] for each in ("gzip", "identity")}
    assert len(tags) == 2


def test_a_picture_is_not_compressed_twice(api: Api) -> None:
    picture = api.get("/docs/pictures/sheet.webp", headers={"accept-encoding": "gzip"})
    assert "content-encoding" not in picture.headers
    assert "vary" not in picture.headers


@pytest.mark.parametrize(("path", "location"), [("/docs/", "../docs"), ("/docs/policies/", "../policies")])
def test_an_address_with_a_slash_at_its_end_leads_to_the_one_without(api: Api, path: str, location: str) -> None:
    answer = api.get(path, follow_redirects=False)
    assert (answer.status_code, answer.headers["location"]) == (308, location)
    assert api.get(path).status_code == 200


def test_the_examples_are_those_of_the_description(api: Api) -> None:
    assert len({name for _, name in EXAMPLES}) == len(EXAMPLES)
    assert b"Two-burner" in api.get("/docs/examples/gap_request.json").content


@pytest.mark.parametrize("query", ["salvage", "<script>alert(1)</script>", '"', "x" * 5000, "", "%00"])
def test_any_query_is_answered_and_shown_as_text(api: Api, query: str) -> None:
    answer = api.get("/docs/search", params={"q": query})
    assert answer.status_code == 200
    assert answer.headers["cache-control"] == "no-store"
    assert "<script" not in answer.text


def test_a_search_without_a_word_says_what_to_do(api: Api) -> None:
    assert "Type one or more words." in api.get("/docs/search").text
    assert "Nothing was found for “zzzqqq”." in api.get("/docs/search?q=zzzqqq").text
    assert "places for “trailer”, the best first." in api.get("/docs/search?q=trailer").text
