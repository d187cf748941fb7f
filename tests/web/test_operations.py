"""The operations over HTTP: what a client sends, and what it gets back."""

from datetime import date
from decimal import Decimal
from typing import Any

import msgspec
import pytest
from litestar import Litestar
from litestar.testing import TestClient

from hitchworth.demo import demo_body
from hitchworth.model.assessment import Assessment
from hitchworth.model.estimate import Estimate
from hitchworth.model.estimate_comparison import EstimateComparison
from hitchworth.model.gap import GapStatement
from hitchworth.model.sales_comparison import SalesComparison
from hitchworth.model.settlement import Settlements
from hitchworth.model.value_curve import ValueCurve
from hitchworth.operations import appraisals
from hitchworth.operations.renderings import DOCX
from web_server import JSON, client, example

Api = TestClient[Litestar]


@pytest.fixture(scope="module")
def api() -> Any:
    with client() as api:
        yield api


@pytest.mark.parametrize(
    ("path", "body", "kind"),
    [
        ("/v1/estimates", "estimate", Estimate),
        ("/v1/classifications", "classification", Assessment),
        ("/v1/settlements", "settlement", Settlements),
        ("/v1/gap-statements", "gap-statement", GapStatement),
        ("/v1/estimate-comparisons", "estimate-comparison", EstimateComparison),
        ("/v1/value-curves", "value-curve", ValueCurve),
        ("/v1/sales-comparisons", "sales-comparison", SalesComparison),
    ],
)
def test_an_appraisal_returns_its_record(api: Api, path: str, body: str, kind: Any) -> None:
    response = api.post(path, content=example(body), headers=JSON)
    assert response.status_code == 200
    assert response.headers["content-type"] == "application/json"
    assert response.headers["cache-control"] == "no-store"
    assert msgspec.json.decode(response.content, type=kind)


def test_the_same_request_has_the_same_response_to_the_byte(api: Api) -> None:
    first, second = (api.post("/v1/gap-statements", content=demo_body(), headers=JSON) for _ in range(2))
    assert first.content == second.content


def test_an_estimate_without_a_date_is_of_today(api: Api, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(appraisals, "today", lambda: date(2031, 2, 3))
    body = {"build": msgspec.json.decode(example("estimate"))["build"]}
    assert api.post("/v1/estimates", json=body).json()["as_of"] == "2031-02-03"


def test_numbers_and_strings_are_read_alike_and_returned_as_strings(api: Api) -> None:
    def cost(quantity: object, price: object) -> object:
        line = {"id": "a", "description": "a", "category": "solar", "acquired_on": "2025-01-01"}
        part = line | {"quantity": quantity, "unit_cost": price}
        body = {"build": {"name": "a", "currency": "USD", "components": [part]}, "as_of": "2026-01-01"}
        return api.post("/v1/estimates", json=body).json()["lines"][0]["historical_cost"]

    assert cost(3, 19.99) == cost("3", "19.99") == "59.97"


def test_a_statement_is_in_the_locale_of_the_request(api: Api) -> None:
    body = msgspec.json.decode(example("gap-statement"))
    texts = [
        api.post("/v1/gap-statements", json=body | {"locale": tag}).json()["statement"] for tag in ("en-US", "de-DE")
    ]
    assert texts[0]
    assert texts[0] != texts[1]


@pytest.mark.parametrize(
    ("requested", "returned"), [("en-US", "en-US"), ("de-AT", "de-AT"), ("de", "de-DE"), ("it-IT", "en-US")]
)
def test_a_response_names_its_locale(api: Api, requested: str, returned: str) -> None:
    for path in ("estimate", "classification", "settlement", "gap-statement", "protection-check"):
        body = msgspec.json.decode(example(path)) | {"locale": requested}
        assert api.post(f"/v1/{path}s", json=body).headers["content-language"] == returned
    assert "content-language" not in api.get("/health").headers


def test_a_body_may_begin_with_a_byte_order_mark(api: Api) -> None:
    marked = b"\xef\xbb\xbf" + example("estimate")
    answers = [api.post("/v1/estimates", content=body, headers=JSON) for body in (example("estimate"), marked)]
    assert answers[0].content == answers[1].content


def test_a_recorded_answer_changes_the_figures(api: Api) -> None:
    body = msgspec.json.decode(example("gap-statement"))
    body["policies"][0]["deductible"] = None

    def payable(answers: list[object]) -> Decimal:
        answer = api.post("/v1/gap-statements", json=body | {"answers": answers}).json()
        return Decimal(answer["settlements"][0]["payable"])

    assert payable([]) < payable([{"policy": "auto extension", "term": "deductible", "value": "0"}])


def test_a_sheet_is_html_pdf_or_markdown(api: Api) -> None:
    def sheet(query: str = "", **headers: str) -> Any:
        return api.post(f"/v1/conversation-sheets{query}", content=example("gap-statement"), headers=JSON | headers)

    page = sheet(accept="text/html")
    assert page.headers["content-type"] == "text/html; charset=utf-8"
    assert "default-src 'none'" in page.headers["content-security-policy"]
    assert page.text.startswith("<!doctype html>")
    plain = sheet(accept="text/markdown")
    assert plain.headers["content-type"] == "text/markdown; charset=utf-8"
    assert "Small plywood camper" in plain.text
    for document in (
        sheet(accept="application/pdf"),
        sheet("?format=pdf"),
        sheet("?format=pdf&paper=a4", accept="text/html"),
    ):
        assert document.headers["content-type"] == "application/pdf"
        assert document.content.startswith(b"%PDF-")


def test_a_sheet_is_markdown_or_docx(api: Api) -> None:
    def sheet(query: str = "", **headers: str) -> Any:
        return api.post(f"/v1/conversation-sheets{query}", content=example("gap-statement"), headers=JSON | headers)

    for text in (sheet(accept="text/markdown"), sheet("?format=markdown")):
        assert text.headers["content-type"] == "text/markdown; charset=utf-8"
        assert text.text.startswith("# ")
    for document in (sheet(accept=DOCX), sheet("?format=docx")):
        assert document.headers["content-type"] == DOCX
        assert document.content.startswith(b"PK")
    assert sheet(accept=DOCX).content == sheet("?format=docx").content


@pytest.mark.parametrize(
    "path", ["/v1/schedules", "/v1/definitions", "/v1/facts", "/v1/price-indexes", "/v1/protections"]
)
def test_reference_data_may_be_cached_and_revalidated(api: Api, path: str) -> None:
    response = api.get(path)
    assert response.json()["items"]
    assert response.headers["cache-control"].startswith("public, max-age=")
    again = api.get(path, headers={"if-none-match": f'"other", W/{response.headers["etag"]}'})
    assert (again.status_code, again.content) == (304, b"")
    assert api.get(path, headers={"if-none-match": '"other"'}).status_code == 200
    assert api.get(path, headers={"if-none-match": "*"}).status_code == 304
    assert again.headers["etag"] == response.headers["etag"]


def test_definitions_of_a_jurisdiction_are_its_own_and_those_of_the_wider_ones(api: Api) -> None:
    items = api.get("/v1/definitions", params={"jurisdiction": "US-WA"}).json()["items"]
    assert {item["jurisdiction"] for item in items} >= {"US-WA", "US"}
    assert all(item["jurisdiction"] in {"US-WA", "US", "INS", "INT"} for item in items)
    assert all(item["citation"] for item in items)


def test_definitions_of_a_date_are_those_in_force(api: Api) -> None:
    for day, width in (("2017-08-31", "us-tx-travel-trailer-before-2017"), ("2017-09-01", "us-tx-travel-trailer")):
        items = api.get("/v1/definitions", params={"jurisdiction": "US-TX", "as_of": day}).json()["items"]
        assert [item["id"] for item in items if item["id"].startswith("us-tx-travel")] == [width]


@pytest.mark.parametrize(
    ("parameter", "value", "expected"),
    [
        ("jurisdiction", "XX", "GET /v1/jurisdictions"),
        ("jurisdiction", "us-wa", "similar: US-WA"),
        ("as_of", "soon", "YYYY-MM-DD"),
    ],
)
def test_an_invalid_parameter_says_what_was_expected(api: Api, parameter: str, value: str, expected: str) -> None:
    answer = api.get("/v1/definitions", params={parameter: value})
    (fault,) = answer.json()["errors"]
    assert (answer.status_code, fault["found"], fault["pointer"]) == (400, value, "")
    assert fault["detail"].startswith(f"{parameter}: ")
    assert answer.json()["detail"] == f"The parameter {parameter} is invalid."
    assert expected in fault["expected"]


def test_jurisdictions_say_how_far_they_are_covered(api: Api) -> None:
    places = {item["code"]: item for item in api.get("/v1/jurisdictions").json()["items"]}
    assert places["US-WA"]["chain"] == ["US-WA", "US"]
    assert places["CA"]["definitions"] > places["CA"]["verified"] > 0
    assert (places["CA-YT"]["chain"], places["CA-YT"]["definitions"]) == (["CA-YT", "CA"], 0)


@pytest.mark.parametrize("path", ["/", "/health", "/v1/facts", "/docs", "/openapi.json"])
def test_head_is_like_get_without_the_content(api: Api, path: str) -> None:
    got, head = api.get(path), api.head(path)
    assert (head.status_code, head.content) == (200, b"")
    assert head.headers["content-type"] == got.headers["content-type"]
    assert head.headers["content-length"] == got.headers["content-length"]


def test_the_root_has_the_addresses_of_the_service(api: Api) -> None:
    service = api.get("/").json()
    for place in ("documentation_path", "openapi_path", "health_path"):
        assert api.get(service[place]).status_code == 200


def test_a_request_keeps_its_id(api: Api) -> None:
    assert api.get("/health", headers={"x-request-id": "order-17.b_2"}).headers["x-request-id"] == "order-17.b_2"
    for unfit in ("", "a b", "a" * 65, "<script>"):
        made = api.get("/health", headers={"x-request-id": unfit}).headers["x-request-id"]
        assert made
        assert made != unfit


def test_a_policy_that_is_not_there_is_named_with_those_that_are(api: TestClient[Litestar]) -> None:
    answer = api.post("/v1/conversation-sheets?for_policy=none", content=example("gap-statement"), headers=JSON)
    (fault,) = answer.json()["errors"]
    assert (answer.status_code, fault["pointer"], fault["found"]) == (422, "/for_policy", "none")
    assert fault["expected"].startswith("one of ")


def test_an_unknown_report_or_letter_is_named_with_those_there_are(api: TestClient[Litestar]) -> None:
    for path, known in (("/v1/reports/summary", "after-loss"), ("/v1/letters/complaint", "confirm-answers")):
        answer = api.post(path, content=example("gap-statement"), headers=JSON)
        assert answer.status_code == 400
        assert known in answer.json()["errors"][0]["expected"]
