"""Share links: one build, read only, until a day, for the agent or the adjuster."""

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import msgspec
import pytest

from hitchworth.reports.catalog import ReportName
from kept_access import Access, access, bearer
from web_server import assert_problem, example

UNTIL = "2027-01-31T00:00:00Z"


@pytest.fixture
def server(tmp_path: Path) -> Iterator[Access]:
    with access(tmp_path) as opened:
        yield opened


def share(server: Access, build: str, key: str, **more: object) -> Any:
    body = {"name": "Adjuster", "expires_at": UNTIL, "for_policy": "agreed value"} | more
    return server.api.post(f"/v1/builds/{build}/shares", json=body, headers=bearer(key))


@pytest.fixture
def shared(server: Access) -> tuple[str, str, dict[str, Any]]:
    """A key, a build, and the answer that has the link."""
    key = server.key("write", "Anna")
    build = server.build(key)
    return key, build, share(server, build, key).json()


def test_a_link_shows_what_the_conversation_is_about(server: Access, shared: tuple[str, str, dict[str, Any]]) -> None:
    _, _, link = shared
    seen = server.api.get(link["path"])
    assert seen.status_code == 200
    assert seen.headers["referrer-policy"] == "no-referrer"
    assert seen.headers["cache-control"] == "no-store"
    assert {name: seen.json()[name] for name in ("name", "shared_by", "shared_with", "for_policy", "revision")} == {
        "name": "Small plywood camper",
        "shared_by": "Anna",
        "shared_with": "Adjuster",
        "for_policy": "agreed value",
        "revision": 1,
    }
    for path in seen.json()["paths"]:
        answer = server.api.get(f"{link['path']}/{path}")
        assert answer.status_code == 200
        assert answer.headers["referrer-policy"] == "no-referrer"
    sheet = server.api.get(f"{link['path']}/reports/conversation-sheet")
    assert sheet.headers["content-type"] == "text/html; charset=utf-8"
    assert "agreed value" in sheet.text
    assert server.api.get(f"{link['path']}/reports/inventory?format=pdf").content.startswith(b"%PDF-")
    assert server.api.get(f"{link['path']}/estimate?format=csv").text.startswith("id,")


def test_other_policies_and_what_is_the_builders_alone_stay_hidden(server: Access) -> None:
    key = server.key("write")
    document = msgspec.json.decode(example("kept-build"))
    document["policies"][0] |= {"name": "Hidden Mutual", "annual_premium": "777.77"}
    document["policies"][1] |= {"annual_premium": "888.88"}
    document["answers"] = [
        {
            "policy": "Hidden Mutual",
            "term": "limit",
            "value": "12345.00",
            "said_by": "Hidden agent",
            "said_on": "2026-05-01",
        }
    ]
    made = server.api.post("/v1/builds", json=document, headers=bearer(key))
    assert made.status_code == 201, made.text
    path = share(server, made.json()["id"], key).json()["path"]
    for report in server.api.get(path).json()["paths"]:
        told = server.api.get(f"{path}/{report}").text
        for hidden in ("Hidden", "777.77", "888.88", "12,345", "12345"):
            assert hidden not in told, (report, hidden)
    for name in {*ReportName.__args__} - {"inventory", "class-report"}:  # type: ignore[attr-defined]
        assert_problem(server.api.get(f"{path}/reports/{name}"), 400, "invalid-parameter")
    for elsewhere in ("/revisions", "/shares", "/comparison", "/gap-statement", "/estimate/x"):
        assert server.api.get(path + elsewhere).status_code == 404
    for method in ("POST", "PUT", "PATCH", "DELETE"):
        assert server.api.request(method, path).status_code == 405


def test_what_a_shared_report_prints_verifies(server: Access) -> None:
    """The digest of the data, though a part of it is shown, and that of the revision: both belong to the build."""
    key = server.key("write")
    build = server.build(key)
    for for_policy in ("agreed value", None):
        path = share(server, build, key, for_policy=for_policy).json()["path"]
        reports = [each for each in server.api.get(path).json()["paths"] if each.startswith("reports/")]
        assert len(reports) == (2 if for_policy is None else 3)
        for report in reports:
            told = server.api.get(f"{path}/{report}?as_of=2026-06-01").text
            of_data = re.findall(r"Digest of the data: ([0-9a-f]{12})", told)
            of_revision = re.findall(r"Its digest begins with ([0-9a-f]{32})", told)
            assert (len(of_data), len(of_revision)) == (1, 1), report
            for digest in of_data + of_revision:
                verify = f"/v1/builds/{build}/verify?digest={digest}&as_of=2026-06-01"
                assert server.api.get(verify, headers=bearer(key)).json()["belongs_to"] == [1], (report, digest)


def test_a_link_without_a_policy_has_no_conversation_sheet(server: Access) -> None:
    key = server.key("write")
    path = share(server, server.build(key), key, for_policy=None).json()["path"]
    assert server.api.get(path).json()["paths"] == ["estimate", "reports/inventory", "reports/class-report"]
    response = server.api.get(f"{path}/reports/conversation-sheet")
    assert_problem(response, 404, "not-found")
    assert "names no policy" in response.json()["detail"]
    told = server.api.get(f"{path}/reports/inventory").text
    assert "agreed value" not in told
    assert "auto extension" not in told


def test_a_link_to_a_policy_that_is_gone_says_so(server: Access, shared: tuple[str, str, dict[str, Any]]) -> None:
    key, build, link = shared
    tag = server.api.get(f"/v1/builds/{build}", headers=bearer(key)).headers["etag"]
    patch = {"content-type": "application/merge-patch+json", "if-match": tag, **bearer(key)}
    changed = server.api.patch(f"/v1/builds/{build}", content=b'{"policies": [], "answers": []}', headers=patch)
    assert changed.status_code == 200, changed.text
    assert_problem(server.api.get(f"{link['path']}/reports/conversation-sheet"), 404, "not-found")
    assert server.api.get(link["path"]).json()["revision"] == 2


def test_a_link_ends_when_it_expires_or_is_revoked(server: Access, shared: tuple[str, str, dict[str, Any]]) -> None:
    key, build, link = shared
    server.clock.advance(seconds=1)
    second = share(server, build, key, name="Agent").json()
    gone = server.api.delete(f"/v1/builds/{build}/shares/{second['id']}", headers=bearer(key))
    assert gone.json()["revoked_at"] == "2026-11-27T12:00:01Z"
    response = server.api.get(second["path"])
    assert_problem(response, 410, "link-ended")
    assert "was revoked on 2026-11-27" in response.json()["detail"]
    assert server.api.get(link["path"]).status_code == 200
    server.clock.advance(days=65)  # 2027-01-31, 12:00
    response = server.api.get(link["path"])
    assert_problem(response, 410, "link-ended")
    assert "expired on 2027-01-31" in response.json()["detail"]
    listed = server.api.get(f"/v1/builds/{build}/shares", headers=bearer(key)).json()["items"]
    assert [each["name"] for each in listed] == ["Adjuster", "Agent"]
    assert link["path"].split("_", 2)[2] not in str(listed)


def test_the_trash_closes_the_links_of_a_build(server: Access, shared: tuple[str, str, dict[str, Any]]) -> None:
    key, build, link = shared
    tag = server.api.get(f"/v1/builds/{build}", headers=bearer(key)).headers["etag"]
    trashed = server.api.delete(f"/v1/builds/{build}", headers=bearer(key) | {"if-match": tag})
    for more in ("", "/estimate", "/reports/inventory"):
        assert_problem(server.api.get(f"{link['path']}{more}"), 410, "link-ended")
    assert_problem(share(server, build, key), 409, "in-trash")
    tag = trashed.headers["etag"]
    server.api.post(f"/v1/builds/{build}/recover", headers=bearer(key) | {"if-match": tag})
    assert server.api.get(link["path"]).status_code == 200


@pytest.mark.parametrize("token", ["x", "hs_00000000_" + "A" * 43, "hw_00000000_" + "A" * 43, "%00", "a" * 5_000])
def test_what_is_no_link_is_not_found(server: Access, token: str) -> None:
    for more in ("", "/estimate", "/reports/inventory"):
        assert_problem(server.api.get(f"/v1/shared/{token}{more}"), 404, "not-found")


def test_a_key_is_no_link_and_a_link_no_key(server: Access, shared: tuple[str, str, dict[str, Any]]) -> None:
    key, build, link = shared
    token = link["path"].rpartition("/")[2]
    assert_problem(server.api.get(f"/v1/shared/{key}"), 404, "not-found")
    assert_problem(server.api.get(f"/v1/builds/{build}", headers=bearer(token)), 401, "invalid-key")
    assert_problem(server.api.get(f"/v1/shared/{key.replace('hw_', 'hs_')}"), 404, "not-found")
    # whoever opens a link may have a key of another server at hand
    assert server.api.get(link["path"], headers=bearer("hw_x")).status_code == 200


@pytest.mark.parametrize(
    ("body", "pointers"),
    [
        ({"expires_at": None}, {"/expires_at"}),
        ({"name": "", "expires_at": "2026-11-27"}, {"/name", "/expires_at"}),
        ({"expires_at": "2026-11-27T11:59:59Z"}, {"/expires_at"}),
        ({"for_policy": "auto extention"}, {"/for_policy"}),
    ],
)
def test_a_link_with_faults_is_not_made(server: Access, body: dict[str, Any], pointers: set[str]) -> None:
    key = server.key("write")
    build = server.build(key)
    response = share(server, build, key, **body)
    assert_problem(response, 422, "invalid-input")
    assert {fault["pointer"] for fault in response.json()["errors"]} == pointers
    assert server.store.shares.list("default", build) == ()


def test_a_link_that_is_asked_for_twice_under_one_idempotency_key_is_made_once(
    server: Access, shared: tuple[str, str, dict[str, Any]]
) -> None:
    key, build, _ = shared
    body, headers = {"name": "Adjuster", "expires_at": UNTIL}, {**bearer(key), "idempotency-key": "link-1"}
    made = server.api.post(f"/v1/builds/{build}/shares", json=body, headers=headers)
    again = server.api.post(f"/v1/builds/{build}/shares", json=body, headers=headers)
    assert made.status_code == 201
    assert_problem(again, 409, "made-before")
    assert made.json()["id"] in again.json()["detail"]
    other = server.api.post(f"/v1/builds/{build}/shares", json={**body, "name": "Agent"}, headers=headers)
    assert_problem(other, 422, "idempotency-key-reused")
    listed = server.api.get(f"/v1/builds/{build}/shares", headers=bearer(key)).json()["items"]
    assert len(listed) == 2  # this one and the one of the fixture
