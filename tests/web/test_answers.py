"""How answers are sent: compressed, in part, from behind a proxy, marked as deprecated; the pages of problem types."""

from datetime import date
from gzip import decompress
from typing import Any
from urllib.parse import urljoin

import pytest
from hypothesis import given
from hypothesis import strategies as st
from litestar import Litestar
from litestar.testing import TestClient
from msgspec import Struct

from hitchworth.operations.renderings import JSON as APPLICATION_JSON
from hitchworth.validation.errors import InvalidInputError
from hitchworth.web.app import create_app
from hitchworth.web.content_coding import MIN_BYTES, coded, plain_tag, reads_gzip
from hitchworth.web.deprecation import Deprecation
from hitchworth.web.examples.kept import example_store
from hitchworth.web.field_selection import field_tree, picked
from hitchworth.web.openapi import described_operation
from hitchworth.web.operation import Operation
from hitchworth.web.pipeline import route
from hitchworth.web.problems import PROBLEM_TYPES
from web_server import JSON, assert_problem, client, example

Api = TestClient[Litestar]
PLAIN = {"accept-encoding": "identity"}
GZIP = {"accept-encoding": "gzip"}


@pytest.fixture(scope="module")
def api() -> Any:
    with client() as api:
        yield api


@pytest.mark.parametrize(
    ("accepted", "reads"),
    [  # RFC 9110, 12.5.3
        ("", False),
        ("gzip", True),
        ("compress, GZIP", True),
        ("gzip;q=1.0, identity; q=0.5, *;q=0", True),
        ("gzip;q=0", False),
        ("gzip;q=0.000, *", False),
        ("*", True),
        ("*;q=0", False),
        ("br, deflate", False),
        ("x-gzip", True),  # RFC 9110, 8.4.1.3: the same as gzip
        ("gzip;q=nonsense", False),
    ],
)
def test_who_reads_gzip(accepted: str, reads: bool) -> None:
    assert reads_gzip(accepted) is reads


@given(st.text())
def test_any_accept_encoding_is_read_and_what_it_says_of_gzip_last_counts(accepted: str) -> None:
    assert reads_gzip(f"{accepted},gzip;q=0,x-gzip;q=0") is False
    assert reads_gzip(f"{accepted},gzip") is True


def test_a_short_answer_and_a_picture_stay_as_they_are() -> None:
    short, long = b"a" * (MIN_BYTES - 1), b"a" * MIN_BYTES
    assert coded(short, APPLICATION_JSON, {}, "gzip") == (short, {})
    assert coded(long, "image/png", {}, "gzip") == (long, {})
    assert coded(long, APPLICATION_JSON, {"Content-Encoding": "gzip"}, "gzip") == (long, {"content-encoding": "gzip"})
    content, headers = coded(long, APPLICATION_JSON, {"ETag": '"x"', "vary": "accept"}, "gzip")
    assert decompress(content) == long
    assert content[4:8] == bytes(4)  # no time (RFC 1952, 2.3.1): equal contents have equal bytes
    assert headers == {"etag": '"x-gzip"', "vary": "accept, accept-encoding", "content-encoding": "gzip"}
    assert plain_tag('"x-gzip"') == plain_tag('"x"') == '"x"'


@pytest.mark.parametrize("path", ["/v1/schedules", "/v1/schedules?format=csv", "/v1/definitions"])
def test_a_compressed_answer_is_the_same_answer(api: Api, path: str) -> None:
    plain, compressed = api.get(path, headers=PLAIN), api.get(path, headers=GZIP)
    assert compressed.headers["content-encoding"] == "gzip"
    assert "content-encoding" not in plain.headers
    assert compressed.content == plain.content  # the client has decompressed it
    assert int(compressed.headers["content-length"]) < len(plain.content) / 2
    # RFC 9110, 12.5.5: a cache keeps both apart
    assert plain.headers["vary"] == compressed.headers["vary"] == "accept, accept-encoding"
    # RFC 9110, 8.8.3.3: the tags of two codings differ, and either is known again
    assert plain.headers["etag"] != compressed.headers["etag"]
    for tag in (plain.headers["etag"], compressed.headers["etag"]):
        assert api.get(path, headers={**GZIP, "if-none-match": tag}).status_code == 304
    # RFC 9110, 15.4.5: the tag that a 200 would have had
    unchanged = api.get(path, headers={**GZIP, "if-none-match": "*"})
    assert unchanged.headers["etag"] == compressed.headers["etag"]
    # RFC 9110, 9.3.2: HEAD as GET, without content
    head = api.head(path, headers=GZIP)
    assert (head.headers["content-length"], head.content) == (compressed.headers["content-length"], b"")


def test_the_answer_to_a_post_is_compressed_too(api: Api) -> None:
    body = example("gap-statement")
    plain = api.post("/v1/gap-statements", content=body, headers=JSON | PLAIN)
    compressed = api.post("/v1/gap-statements", content=body, headers=JSON | GZIP)
    assert compressed.headers["content-encoding"] == "gzip"
    assert compressed.content == plain.content


def test_a_revision_has_one_tag() -> None:
    with client(example_store()) as api:
        kept = api.get("/v1/builds").json()["items"][0]["id"]
        answer = api.get(f"/v1/builds/{kept}", headers=GZIP)
        assert len(answer.content) >= MIN_BYTES
        assert answer.headers["etag"] == f'"{answer.json()["digest"]}"'
        assert "content-encoding" not in answer.headers


@pytest.mark.parametrize("kind", PROBLEM_TYPES, ids=lambda kind: kind.type)
def test_a_problem_type_has_a_page(api: Api, kind: Any) -> None:
    """RFC 9457, 3.1.1: who dereferences the type gets documentation for people."""
    page = api.get(kind.type, headers={"accept": "text/html,*/*;q=0.8"})
    assert page.headers["content-type"] == "text/html; charset=utf-8"
    assert page.headers["content-security-policy"].startswith("default-src 'none'")
    assert f"<h1>{kind.title}</h1>" in page.text
    assert f"HTTP status {kind.status} " in page.text
    assert "`" not in page.text
    text = api.get(kind.type, headers={"accept": "text/markdown"})
    assert text.text.startswith(f"# {kind.title}\n\n{kind.description}\n")
    assert api.get(kind.type).json()["type"] == kind.type


@pytest.mark.parametrize("path", ["/nothing", "/v1/nothing", "/v1/builds/a/b/c", "/v1/a%2Fb"])
def test_a_problem_leads_to_its_page_behind_a_prefix(api: Api, path: str) -> None:
    """RFC 3986, 5.2: the proxy adds /tools/trailer, and the server does not know."""
    link = api.get(path).headers["link"]
    address, _, relation = link.partition("; ")
    assert relation == 'rel="help"'
    seen = urljoin(f"https://workshop.example/tools/trailer{path}", address.strip("<>"))
    assert seen == "https://workshop.example/tools/trailer/problems/not-found"
    assert urljoin(f"http://localhost{path}", address.strip("<>")) == "http://localhost/problems/not-found"


class Side(Struct):
    sort: str
    depth: int = 0


class Answer(Struct):
    total: str
    left: Side
    others: tuple[Side, ...]
    by_name: dict[str, Side]
    nothing: Side | None = None


ANSWER = {
    "total": "1",
    "left": {"sort": "a", "depth": 1},
    "others": [{"sort": "b", "depth": 2}, {"sort": "c", "depth": 3}],
    "by_name": {"x": {"sort": "d", "depth": 4}, "y": {"sort": "e", "depth": 5}},
    "nothing": None,
}


@pytest.mark.parametrize(
    ("fields", "kept"),
    [
        (["total"], {"total": "1"}),
        (["others.sort,total"], {"total": "1", "others": [{"sort": "b"}, {"sort": "c"}]}),
        (["left.depth", " left.sort "], {"left": {"sort": "a", "depth": 1}}),
        (["left,left.depth"], {"left": ANSWER["left"]}),
        (["left.depth,left"], {"left": ANSWER["left"]}),
        (["by_name.y.depth"], {"by_name": {"y": {"depth": 5}}}),
        (["nothing.sort"], {"nothing": None}),
    ],
)
def test_parts_of_an_answer(fields: list[str], kept: Any) -> None:
    assert picked(ANSWER, field_tree(fields, Answer)) == kept


def test_a_long_name_that_an_answer_does_not_have_is_cut_short() -> None:
    with pytest.raises(InvalidInputError) as caught:
        field_tree(["total", "x" * 61], Answer)
    (fault,) = caught.value.faults
    assert (fault.found, fault.expected) == ("x" * 60, "one of by_name, left, nothing, others, total")


def test_parts_of_an_estimate(api: Api) -> None:
    whole = api.post("/v1/estimates", content=example("estimate"), headers=JSON).json()
    part = api.post("/v1/estimates?fields=currency,lines.id", content=example("estimate"), headers=JSON)
    assert part.json() == {"currency": whole["currency"], "lines": [{"id": line["id"]} for line in whole["lines"]]}
    names = api.get("/v1/schedules?fields=items.name").json()
    assert set(names) == {"items"}
    assert {tuple(item) for item in names["items"]} == {("name",)}


def test_every_name_that_an_answer_does_not_have_is_told(api: Api) -> None:
    path = "/v1/estimates?fields=linse,lines.id,lines.ID&fields=currency.code,"
    response = api.post(path, content=example("estimate"), headers=JSON)
    assert_problem(response, 400, "invalid-parameter")
    faults = {fault["found"]: fault for fault in response.json()["errors"]}
    assert set(faults) == {"linse", "lines.ID", "currency.code", ""}
    assert faults["linse"]["detail"] == "fields: Unknown field; did you mean lines?"
    assert "lines" in faults["linse"]["expected"].removeprefix("one of ").split(", ")
    assert faults["currency.code"]["expected"].startswith("nothing further")
    table = api.post("/v1/estimates?fields=lines&format=csv", content=example("estimate"), headers=JSON)
    assert_problem(table, 400, "invalid-parameter")
    assert_problem(api.get("/health?fields=status"), 400, "invalid-parameter")


def get_sample() -> Answer:
    """Get a sample."""
    return Answer(total="1", left=Side(sort="a"), others=(), by_name={})


OLD = Operation(
    method="GET",
    path="/v1/sample",
    tag="Service",
    function=get_sample,
    probe=True,
    deprecation=Deprecation(since=date(2027, 1, 1), sunset=date(2028, 1, 1), instead="Call GET /v1/estimates."),
)


def test_a_deprecated_operation_says_so() -> None:
    application = create_app()
    application.register(route("/v1/sample", [OLD]))
    with TestClient(application) as api:
        for response in (api.get("/v1/sample"), api.get("/v1/sample?wrong=1")):
            # 2027-01-01T00:00:00Z = (57 x 365 + 14 leap days) x 86,400 s; RFC 9745, 2.1; RFC 9651, 3.3.7
            assert response.headers["deprecation"] == "@1798761600"
            assert response.headers["sunset"] == "Sat, 01 Jan 2028 00:00:00 GMT"  # RFC 8594, 3; RFC 9110, 5.6.7
    assert described_operation(OLD)["deprecated"] is True
    said = "Deprecated since 2027-01-01; gone from 2028-01-01 on. Call GET /v1/estimates."
    assert described_operation(OLD)["description"].startswith(said)


def test_an_operation_may_be_deprecated_before_its_end_is_known() -> None:
    undecided = Deprecation(since=date(1970, 1, 2), instead="Call the other.")
    assert undecided.headers == {"deprecation": "@86400"}
    assert undecided.sentence == "Deprecated since 1970-01-02. Call the other."
