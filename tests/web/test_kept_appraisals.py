"""What is computed from a kept build is what is computed from its document sent as a body, to the byte."""

import re
from typing import Any
from urllib.parse import quote

import msgspec
import pytest

from hitchworth.demo import demo_body
from hitchworth.operations.renderings import DOCX
from hitchworth.store import open_store
from hitchworth.store.database import IN_MEMORY
from hitchworth.web.kept_appraisals import OPERATIONS
from kept_client import KeptBuilds
from web_server import JSON, assert_problem, client, example

DAY = "2026-06-01"


def demo() -> bytes:
    """The demo as a document: it has refunds, answers, several policies, and measures against loss."""
    document = msgspec.json.decode(demo_body())
    document.pop("as_of", None)
    return msgspec.json.encode(document)


DOCUMENTS = {"example": example("kept-build"), "demo": demo()}
KINDS = {
    "estimate": "/v1/estimates",
    "classification": "/v1/classifications",
    "settlements": "/v1/settlements",
    "gap-statement": "/v1/gap-statements",
    "protection-check": "/v1/protection-checks",
    "documentation-score": "/v1/documentation-scores",
}
"""The resource, and the address of the computation."""


@pytest.fixture(scope="module")
def kept() -> Any:
    with client(open_store(IN_MEMORY)) as api:
        yield KeptBuilds(api)


def sent(document: bytes, **more: Any) -> bytes:
    """The body of a computation, made of the document as a caller would."""
    return msgspec.json.encode(msgspec.json.decode(document) | more)


@pytest.mark.parametrize("name", DOCUMENTS)
@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("accept", ["application/json", "text/csv"])
def test_an_answer_is_the_stateless_one_to_the_byte(kept: KeptBuilds, name: str, kind: str, accept: str) -> None:
    build = kept.create(DOCUMENTS[name])
    expected = kept.api.post(KINDS[kind], content=sent(DOCUMENTS[name], as_of=DAY), headers=JSON | {"accept": accept})
    answered = kept.api.get(f"{build}/{kind}?as_of={DAY}", headers={"accept": accept})
    assert (answered.status_code, answered.headers["content-type"]) == (
        expected.status_code,
        expected.headers["content-type"],
    )
    if expected.status_code == 200:
        assert answered.content == expected.content
    else:
        assert_problem(answered, 406, "not-acceptable")


@pytest.mark.parametrize("accept", ["application/json", "text/csv", "image/svg+xml"])
def test_a_value_curve_is_the_stateless_one_to_the_byte(kept: KeptBuilds, accept: str) -> None:
    build = kept.example()
    more = {"dates": ["2026-01-31", "2026-04-30", "2026-07-31"], "limit": "9000", "basis": "replacement_cost"}
    document = msgspec.json.decode(DOCUMENTS["example"])
    body = msgspec.json.encode(
        {name: document[name] for name in ("build", "options", "locale") if name in document} | more
    )
    expected = kept.api.post("/v1/value-curves", content=body, headers=JSON | {"accept": accept})
    query = "first=2026-01-31&last=2026-08-01&months=3&limit=9000&basis=replacement_cost"
    answered = kept.api.get(f"{build}/value-curve?{query}", headers={"accept": accept})
    assert expected.status_code == 200
    assert answered.content == expected.content


def test_a_value_curve_may_end_with_the_calendar(kept: KeptBuilds) -> None:
    """There is no day after the last, so the curve has that day alone."""
    build = kept.example()
    for query in ("first=9999-12-31&last=9999-12-31", "first=9999-12-31", "first=9999-12-31&months=120"):
        answered = kept.api.get(f"{build}/value-curve?{query}")
        assert answered.status_code == 200, answered.text
        assert [point["as_of"] for point in answered.json()["points"]] == ["9999-12-31"]


def test_a_value_curve_goes_ten_years_ahead_unless_told_otherwise(kept: KeptBuilds) -> None:
    points = kept.get(f"{kept.example()}/value-curve", first="2024-02-29")["points"]
    assert [point["as_of"] for point in points][:2] == ["2024-02-29", "2025-02-28"]
    assert (len(points), points[-1]["as_of"]) == (11, "2034-02-28")


@pytest.mark.parametrize(
    "query",
    [
        "first=2000-01-01&last=2100-01-01&months=1",
        "first=2026-01-02&last=2026-01-01",
        "months=0",
    ],
)
def test_the_days_of_a_value_curve_that_cannot_be(kept: KeptBuilds, query: str) -> None:
    assert_problem(kept.api.get(f"{kept.create()}/value-curve?{query}"), 400, "invalid-parameter")


@pytest.mark.parametrize(
    ("query", "before", "after"),
    [
        (f"from=1&to=2&as_of={DAY}", (1, DAY), (2, DAY)),
        (f"as_of={DAY}", (1, DAY), (2, DAY)),
        (f"from=2025-05-01&to={DAY}", (2, "2025-05-01"), (2, DAY)),
        (f"from=1&to=2026-05-01&as_of={DAY}", (1, DAY), (2, "2026-05-01")),
    ],
)
def test_a_comparison_is_the_stateless_one_to_the_byte(
    kept: KeptBuilds, query: str, before: tuple[int, str], after: tuple[int, str]
) -> None:
    build = kept.example()
    assert kept.change("DELETE", build, "/components/stove").status_code == 200
    documents = {1: msgspec.json.decode(DOCUMENTS["example"]), 2: msgspec.json.decode(DOCUMENTS["example"])}
    del documents[2]["build"]["components"][3]
    sides = {"before": before, "after": after}
    body = {side: documents[revision] | {"as_of": day} for side, (revision, day) in sides.items()}
    expected = kept.api.post("/v1/document-comparisons", json=body)
    answered = kept.api.get(f"{build}/comparison?{query}")
    assert (expected.status_code, answered.status_code) == (200, 200)
    assert answered.content == expected.content


@pytest.mark.parametrize("query", ["from=0", "from=x", "to=2026-13-01", "to=1x", "from=2026-02-30"])
def test_a_wrong_side_of_a_comparison(kept: KeptBuilds, query: str) -> None:
    assert_problem(kept.api.get(f"{kept.example()}/comparison?{query}"), 400, "invalid-parameter")


def test_a_side_that_is_not_there(kept: KeptBuilds) -> None:
    assert_problem(kept.api.get(f"{kept.example()}/comparison?to=7"), 404, "not-found")


@pytest.mark.parametrize(
    ("path", "address"),
    [("/conversation-sheet", "/v1/conversation-sheets")]
    + [
        (f"/reports/{name}", f"/v1/reports/{name}")
        for name in ("comparison", "inventory", "class-report", "after-loss", "workings")
    ],
)
def test_a_report_is_the_stateless_one_but_for_the_line_of_its_revision(
    kept: KeptBuilds, path: str, address: str
) -> None:
    """The stateless one knows no revision; take the line out, and the pages are the same to the byte."""
    build = kept.create(DOCUMENTS["demo"])
    body = sent(DOCUMENTS["demo"], as_of=DAY)
    for media_type in ("text/html", "text/markdown"):
        expected = kept.api.post(address, content=body, headers=JSON | {"accept": media_type})
        answered = kept.api.get(f"{build}{path}?as_of={DAY}", headers={"accept": media_type})
        assert (expected.status_code, answered.status_code) == (200, 200)
        assert without_revision(answered.text, with_digest="reports" in path) == expected.text
        assert kept.tags[build][1:33] in answered.text
        assert re.search(r"From revision 1, made on .*, of the kept build", answered.text)


def without_revision(text: str, *, with_digest: bool) -> str:
    """The text without the line of its revision, which in other reports than the sheet the digest introduces."""
    line = r"<p>From revision 1, made on [^<]*</p>\n?|From revision 1, made on [^\n]*\n\n"
    if not with_digest:
        return re.sub(line, "", text)
    heading = r"<h\d[^>]*>[^<]*</h\d>\n?<p>Digest of the data: [^<]*</p>\n?|#+ [^\n]*\n\nDigest of the data: [^\n]*\n\n"
    return re.sub(f"(?:{heading})(?:{line})", "", text)


def test_files_of_reports_are_made_too(kept: KeptBuilds) -> None:
    build = kept.example()
    for path in ("conversation-sheet", "reports/after-loss", "reports/all"):
        for media_type, start in (("application/pdf", b"%PDF"), (DOCX, b"PK")):
            answered = kept.api.get(f"{build}/{path}?as_of={DAY}", headers={"accept": media_type})
            again = kept.api.get(f"{build}/{path}?as_of={DAY}", headers={"accept": media_type})
            assert answered.content[:4].startswith(start)
            assert answered.content == again.content


@pytest.mark.parametrize("accept", ["text/plain", DOCX])
def test_a_letter_is_the_stateless_one_to_the_byte(kept: KeptBuilds, accept: str) -> None:
    build = kept.example()
    for query in ("", "&paper=a4", f"&for_policy={quote('agreed value')}"):
        body = sent(DOCUMENTS["example"], as_of=DAY)
        address = f"/v1/letters/correct-class?{query[1:]}"
        expected = kept.api.post(address, content=body, headers=JSON | {"accept": accept})
        answered = kept.api.get(f"{build}/letters/correct-class?as_of={DAY}{query}", headers={"accept": accept})
        assert answered.content == expected.content


def test_an_earlier_revision_can_be_appraised(kept: KeptBuilds) -> None:
    build = kept.example()
    before = kept.api.get(f"{build}/estimate?as_of={DAY}").content
    kept.change("DELETE", build, "/components/stove")
    assert kept.api.get(f"{build}/estimate?as_of={DAY}").content != before
    assert kept.api.get(f"{build}/estimate?as_of={DAY}&revision=1").content == before
    assert_problem(kept.api.get(f"{build}/estimate?revision=3"), 404, "not-found")


def test_a_document_without_policies_says_what_it_lacks(kept: KeptBuilds) -> None:
    build = kept.create()
    for operation in OPERATIONS:
        path = operation.path.replace("/v1/builds/{build}", build).replace("{report}", "all")
        answered = kept.api.get(path.replace("{letter}", "change-class"))
        assert answered.status_code in {200, 422}, answered.text


def test_every_answer_is_compared() -> None:
    """What is computed from a kept build has a test above; a new resource needs one too."""
    compared = {*KINDS, "value-curve", "comparison", "conversation-sheet", "reports", "letters"}
    assert {operation.path.split("/")[4] for operation in OPERATIONS} == compared
