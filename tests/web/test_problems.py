"""Every bad request ends in a clear problem document."""

from collections.abc import Iterator
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from litestar import Litestar
from litestar.testing import TestClient

from hitchworth.operations import appraisals
from hitchworth.operations.settings import Settings
from hitchworth.web.problems import PROBLEM_TYPES
from web_server import JSON, assert_problem, client, example

Api = TestClient[Litestar]
POSTS = ["/v1/estimates", "/v1/classifications", "/v1/settlements", "/v1/gap-statements", "/v1/conversation-sheets"]


@pytest.fixture(scope="module")
def api() -> Any:
    with client() as api:
        yield api


def one_part(**more: object) -> dict[str, Any]:
    part = {
        "id": "a",
        "description": "a",
        "category": "solar",
        "quantity": 1,
        "unit_cost": 1,
        "acquired_on": "2025-01-01",
    }
    return {"build": {"name": "a", "currency": "USD", "components": [part | more]}}


@pytest.mark.parametrize(
    "body",
    [b"", b"nonsense", b'{"build":NaN}', b'"\xff"', b'"\\ud800"', b"[" * 100_000, b'{"x":' * 30_000],
    ids=["empty", "no JSON", "NaN", "no UTF-8", "lone surrogate", "nested arrays", "nested objects"],
)
@pytest.mark.parametrize("path", POSTS)
def test_a_body_that_cannot_be_read(api: Api, path: str, body: bytes) -> None:
    assert_problem(api.post(path, content=body, headers=JSON), 400, "malformed-body")


@pytest.mark.parametrize(
    ("more", "pointer"),
    [
        ({"quantity": -1}, "quantity"),
        ({"quantity": "1E999999"}, "quantity"),
        ({"unit_cost": "NaN"}, "unit_cost"),
        ({"unit_cost": "Infinity"}, "unit_cost"),
        ({"unit_cost": 1e300}, "unit_cost"),
        ({"currency": "ZZZ", "exchange_rate": 1}, "currency"),
        ({"acquired_on": "2025-02-30"}, "acquired_on"),
        ({"removed_on": "2024-01-01"}, "removed_on"),
        ({"schedule": "of_no_such_name"}, "schedule"),
        ({"description": "a\u0000b"}, "description"),
    ],
)
def test_an_input_with_a_fault(api: Api, more: dict[str, Any], pointer: str) -> None:
    response = api.post("/v1/estimates", json=one_part(**more))
    assert_problem(response, 422, "invalid-input")
    (fault,) = response.json()["errors"]
    assert fault["pointer"] == f"/build/components/0/{pointer}"
    assert fault["detail"]
    assert fault["expected"]
    assert fault["found"]


def test_dates_at_the_ends_of_the_calendar_are_dates(api: Api) -> None:
    for first, last in (("0001-01-01", "9999-12-31"), ("9999-12-31", "0001-01-01")):
        body = one_part(acquired_on=first) | {"as_of": last}
        assert api.post("/v1/estimates", json=body).status_code == 200


def test_a_body_has_at_most_ten_million_bytes(api: Api) -> None:
    assert Settings().max_body_bytes == 10_000_000
    body = example("estimate").ljust(10_000_000)
    assert api.post("/v1/estimates", content=body, headers=JSON).status_code == 200
    response = api.post("/v1/estimates", content=body + b" ", headers=JSON)
    assert_problem(response, 413, "body-too-large")
    assert response.json()["detail"] == "The limit is 10,000,000 bytes."


def test_a_body_without_a_length_has_the_same_limit(api: Api) -> None:
    def parts(count: int) -> Iterator[bytes]:
        yield from (b" " * 1_000_000 for _ in range(count))
        yield example("estimate")

    assert api.post("/v1/estimates", content=parts(2), headers=JSON).status_code == 200
    assert_problem(api.post("/v1/estimates", content=parts(50), headers=JSON), 413, "body-too-large")


@pytest.mark.parametrize("kind", ["text/plain", "application/x-www-form-urlencoded", "multipart/form-data", "text/csv"])
@pytest.mark.parametrize("body", [b"a=1&b=2", b"--x\r\n", b"", b"<a/>", b'"text"'])
def test_a_body_that_is_no_json_and_does_not_say_so(api: Api, kind: str, body: bytes) -> None:
    response = api.post("/v1/estimates", content=body, headers={"content-type": kind})
    assert_problem(response, 415, "unsupported-media-type")
    assert response.headers["accept"] == "application/json"


@pytest.mark.parametrize(
    ("headers", "answer"),
    [
        ({"content-type": "application/json; charset=latin-1"}, ("accept", "application/json")),
        ({"content-type": "text/plain; charset=iso-8859-1"}, ("accept", "application/json")),
        ({"content-type": 'application/json; charset="utf-16"'}, ("accept", "application/json")),
        ({"content-type": "application/json", "content-encoding": "gzip"}, ("accept-encoding", "identity")),
        ({"content-type": "text/plain", "content-encoding": "gzip"}, ("accept-encoding", "identity")),
    ],
)
def test_a_body_of_another_format(api: Api, headers: dict[str, str], answer: tuple[str, str]) -> None:
    response = api.post("/v1/estimates", content=example("estimate"), headers=headers)
    assert_problem(response, 415, "unsupported-media-type")
    name, value = answer
    assert response.headers[name] == value


@pytest.mark.parametrize(
    "headers",
    [
        {},
        {"content-type": "application/x-www-form-urlencoded"},  # what curl --data and urllib say of every body
        {"content-type": "text/plain"},
        {"content-type": "text/plain; charset=us-ascii"},
        {"content-type": "application/octet-stream"},
    ],
)
def test_json_that_does_not_say_so_is_json(api: Api, headers: dict[str, str]) -> None:
    for before in (b"", b" \r\n", b"\xef\xbb\xbf"):
        answered = api.post("/v1/estimates", content=before + example("estimate"), headers=headers)
        assert answered.content == api.post("/v1/estimates", content=example("estimate"), headers=JSON).content
    assert_problem(api.post("/v1/estimates", content=b'{"build": ', headers=headers), 400, "malformed-body")


@pytest.mark.parametrize(
    "kind",
    [
        "application/json; charset=utf-8",
        'application/json;charset="UTF-8"',
        "APPLICATION/JSON",
        "application/problem+json",
    ],
)
def test_json_by_other_names(api: Api, kind: str) -> None:
    headers = {"content-type": kind}
    assert api.post("/v1/estimates", content=example("estimate"), headers=headers).status_code == 200


@pytest.mark.parametrize("accept", [b"text/csv", b"application/json;q=0", b";;,", b"\xff"])
def test_a_format_that_is_not_available(api: Api, accept: bytes) -> None:
    assert_problem(api.get("/health", headers=[(b"accept", accept)]), 406, "not-acceptable")


@pytest.mark.parametrize("accept", ["*/*", "application/*", "text/csv, */*;q=0.1", "application/json;q=inf", ""])
def test_a_format_that_is_available(api: Api, accept: str) -> None:
    assert api.get("/health", headers={"accept": accept}).status_code == 200


@pytest.mark.parametrize(
    "path", ["/nothing", "/v1", "/v1/estimates/1", "/problems/of-no-such-kind", "/docs/other.js", "/%00"]
)
def test_an_address_without_a_resource(api: Api, path: str) -> None:
    assert_problem(api.get(path), 404, "not-found")


@pytest.mark.parametrize(
    ("method", "path", "allow"),
    [
        ("GET", "/v1/estimates", "OPTIONS, POST"),
        ("PROPFIND", "/v1/estimates", "OPTIONS, POST"),
        ("DELETE", "/v1/facts", "GET, HEAD, OPTIONS"),
        ("POST", "/openapi.json", "GET, HEAD, OPTIONS"),
    ],
)
def test_a_method_that_is_not_allowed(api: Api, method: str, path: str, allow: str) -> None:
    response = api.request(method, path)
    assert_problem(response, 405, "method-not-allowed")
    assert response.headers["allow"] == allow


@pytest.mark.parametrize(("path", "allow"), [("/v1/estimates", "OPTIONS, POST"), ("/v1/facts", "GET, HEAD, OPTIONS")])
def test_options_names_the_methods(api: Api, path: str, allow: str) -> None:
    response = api.options(path)
    assert (response.status_code, response.headers["allow"]) == (204, allow)


def test_an_unknown_parameter_is_listed_with_the_known_ones(api: Api) -> None:
    response = api.get("/v1/definitions?jurisdictions=GB&limit=3&format=json")
    assert_problem(response, 400, "invalid-parameter")
    first, second = response.json()["errors"]
    assert (first["found"], second["found"]) == ("jurisdictions", "limit")
    assert first["expected"] == "one of jurisdiction, as_of, format, faults, table, table_locale, fields"
    (long,) = api.get(f"/health?{'x' * 61}").json()["errors"]
    assert long["found"] == "x" * 60


@pytest.mark.parametrize(
    ("path", "name", "found"),
    [
        ("/v1/definitions?as_of=2026-01-01&as_of=x", "as_of", "2026-01-01, x"),
        ("/v1/definitions?as_of=2026-01-01&as_of=2026-01-01", "as_of", "2026-01-01, 2026-01-01"),
        ("/v1/definitions?format=json&format=csv", "format", "json, csv"),
    ],
)
def test_a_parameter_that_takes_one_value_is_given_once(api: Api, path: str, name: str, found: str) -> None:
    response = api.get(path)
    assert_problem(response, 400, "invalid-parameter")
    (fault,) = response.json()["errors"]
    assert (fault["detail"], fault["found"]) == (f"{name}: Given more than once", found)


@pytest.mark.parametrize("query", ["format=pdf", "faults=quietly", "format="])
def test_an_invalid_parameter(api: Api, query: str) -> None:
    response = api.get(f"/health?{query}")
    assert_problem(response, 400, "invalid-parameter")
    assert response.headers["cache-control"] == "no-store"
    (fault,) = response.json()["errors"]
    assert fault["detail"].startswith(query.partition("=")[0])


@pytest.mark.parametrize(
    ("method", "path", "status"),
    [("POST", "/v1/estimates", 422), ("GET", "/nothing", 404), ("GET", "/v1/estimates", 405)],
)
def test_a_problem_has_status_200_on_request(api: Api, method: str, path: str, status: int) -> None:
    response = api.request(method, f"{path}?faults=in-body", content=b"{}" if method == "POST" else None, headers=JSON)
    assert (response.status_code, response.headers["content-type"]) == (200, "application/problem+json")
    assert response.json()["status"] == status


def test_without_a_problem_faults_in_body_changes_nothing(api: Api) -> None:
    response = api.post("/v1/estimates?faults=in-body&format=json", content=example("estimate"), headers=JSON)
    assert (response.status_code, response.headers["content-type"]) == (200, "application/json")


def test_an_error_of_the_server_is_a_problem_without_its_details(api: Api, monkeypatch: pytest.MonkeyPatch) -> None:
    def fail() -> None:
        raise ZeroDivisionError("secret")

    monkeypatch.setattr(appraisals, "today", fail)
    response = api.post("/v1/estimates", json=one_part())
    assert_problem(response, 500, "internal-error")
    assert "secret" not in response.text


def test_every_problem_type_has_a_resource(api: Api) -> None:
    for kind in PROBLEM_TYPES:
        assert api.get(kind.type).json() == {
            "type": kind.type,
            "title": kind.title,
            "status": kind.status,
            "description": kind.description,
        }


JSON_VALUES = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False, allow_infinity=False) | st.text(max_size=8),
    lambda inner: (
        st.lists(inner, max_size=3)
        | st.dictionaries(st.sampled_from(["build", "facts", "policies", "losses", "as_of", "x"]), inner, max_size=4)
    ),
)


@given(path=st.sampled_from(POSTS), body=JSON_VALUES)
@settings(max_examples=100, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_no_json_makes_the_server_fail(api: Api, path: str, body: object) -> None:
    assert api.post(path, json=body).status_code in {200, 400, 422}


def test_costs_that_no_trailer_has_are_faults(api: Api) -> None:
    months = [{"month": "2025-01", "value": "1E-12"}, {"month": "2025-02", "value": "1000000"}]
    body = one_part(quantity=1_000_000, unit_cost=1_000_000_000, currency="EUR", exchange_rate=1_000_000)
    body["build"]["price_indexes"] = {"mine": months}
    response = api.post("/v1/estimates", json=body)
    assert_problem(response, 422, "invalid-input")
    assert [fault["pointer"] for fault in response.json()["errors"]] == [
        "/build/components/0/unit_cost",
        "/build/price_indexes/mine/0/value",
    ]


def test_the_largest_costs_that_are_admitted_are_plain_numbers(api: Api) -> None:
    months = [{"month": "2025-01", "value": "0.001"}, {"month": "2025-02", "value": "1000000"}]
    body = one_part(quantity=1000, unit_cost=1_000_000_000, price_index="mine") | {"as_of": "2025-02-28"}
    body["build"] |= {
        "components": [body["build"]["components"][0] | {"id": f"part {number}"} for number in range(50)],
        "price_indexes": {"mine": months},
        "indirect_costs": {"overhead_rate": 100, "profit_rate": 100, "compounded": True},
    }
    response = api.post("/v1/estimates", json=body)
    assert response.json()["totals"]["direct_cost"] == f"{50 * 10**21}.00"
    assert "E+" not in response.text
