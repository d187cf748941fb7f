"""Kept builds over HTTP: created, read, changed as they were seen, listed, moved to the trash and back."""

import json
from base64 import urlsafe_b64encode
from datetime import date
from typing import Any

import msgspec
import pytest

from hitchworth.store import open_store
from hitchworth.store.database import IN_MEMORY
from hitchworth.web.api import OPERATIONS
from kept_client import BARE, PATCH, KeptBuilds
from web_server import JSON, assert_problem, client, example


@pytest.fixture
def kept() -> Any:
    with client(open_store(IN_MEMORY)) as api:
        yield KeptBuilds(api)


KEPT = [operation for operation in OPERATIONS if operation.is_kept and operation.path.startswith("/v1/builds")]


@pytest.mark.parametrize("operation", KEPT, ids=lambda operation: operation.operation_id)
def test_without_a_database_nothing_is_kept(operation: Any) -> None:
    path = operation.path.replace("{revision}", "1").replace("{number}", "0").replace("{report}", "all")
    path = path.replace("{letter}", "change-class")
    headers = {"if-match": '"x"', "content-type": operation.media_type}
    with client() as api:
        response = api.request(operation.method, path, content=b"{}", headers=headers)
    assert_problem(response, 501, "no-database")
    assert "--database" in response.json()["detail"]


def test_a_build_is_created_and_read(kept: KeptBuilds) -> None:
    response = kept.api.post("/v1/builds", content=example("kept-build"), headers=JSON)
    assert (response.status_code, response.headers["cache-control"]) == (201, "no-store")
    told = response.json()
    assert response.headers["location"] == f"/v1/builds/{told['id']}"
    assert response.headers["etag"] == f'"{told["digest"]}"'
    assert (told["revision"], told["format"], told["trashed_at"]) == (1, 1, None)
    assert told["created_at"] == told["updated_at"]
    sent = msgspec.json.decode(example("kept-build"))
    assert [component["id"] for component in told["build"]["components"]] == ["trailer", "plywood", "panel", "stove"]
    assert [policy["basis"] for policy in told["policies"]] == [policy["basis"] for policy in sent["policies"]]
    read = kept.api.get(response.headers["location"])
    assert read.content == response.content
    assert read.headers["etag"] == response.headers["etag"]
    assert read.headers["cache-control"] == "private, no-cache"


def test_a_build_alone_is_the_shortest_document(kept: KeptBuilds) -> None:
    told = kept.get(kept.create(BARE))
    assert told["build"] == {"name": "Camper", "currency": "USD"}
    assert "policies" not in told


def test_what_is_known_already_is_not_sent_again(kept: KeptBuilds) -> None:
    build = kept.example()
    for path in ("", "/revisions", "/revisions/1", "/estimate?as_of=2026-06-01", "/reports/inventory?as_of=2026-06-01"):
        first = kept.api.get(build + path)
        again = kept.api.get(build + path, headers={"if-none-match": f'"other", {first.headers["etag"]}'})
        assert (again.status_code, again.content) == (304, b"")
        kept.change("PATCH", build, body={"build": {"name": f"Changed {path}"}})
        changed = kept.api.get(build + path, headers={"if-none-match": first.headers["etag"]})
        assert changed.status_code == (304 if path == "/revisions/1" or "estimate" in path else 200)


def test_a_replacement_is_the_next_revision(kept: KeptBuilds) -> None:
    build = kept.create()
    response = kept.change("PUT", build, body=example("kept-build"), params={"message": "Größe geändert ✓"})
    assert (response.status_code, response.json()["revision"]) == (200, 2)
    assert response.json()["build"]["name"] == "Small plywood camper"
    newest, first = kept.get(f"{build}/revisions")["items"]
    assert (newest["message"], newest["action"], newest["actor"]) == ("Größe geändert ✓", "changed", "local")
    assert (newest["previous"], first["previous"]) == (first["digest"], "")


def test_the_same_document_again_makes_no_revision(kept: KeptBuilds) -> None:
    build = kept.create()
    assert kept.change("PUT", build, body=b'{"build": {"currency": "USD", "name": "Camper"}}').json()["revision"] == 1


def test_what_is_read_can_be_put_back_with_changes_or_without(kept: KeptBuilds) -> None:
    build = kept.example()
    read = kept.get(build)
    assert kept.change("PUT", build, body=json.dumps(read).encode()).json() == read
    read["build"]["components"].pop()
    changed = kept.change("PUT", build, body=json.dumps(read).encode())
    assert (changed.status_code, changed.json()["revision"]) == (200, 2)
    assert changed.json()["build"] == read["build"]
    first = kept.get(f"{build}/revisions/1")
    assert kept.change("PUT", build, body=json.dumps(first).encode()).json()["build"] == first["build"]
    other = kept.example()
    refused = kept.change("PUT", other, body=json.dumps(first).encode())
    assert_problem(refused, 422, "invalid-input")
    (fault,) = refused.json()["errors"]
    assert (fault["pointer"], fault["expected"], fault["found"]) == ("/id", other.rpartition("/")[2], first["id"])
    assert kept.get(other)["revision"] == 1


def test_what_is_read_goes_to_every_computation_and_can_be_kept_as_another_build(kept: KeptBuilds) -> None:
    read = kept.get(kept.example())
    dated = json.dumps({**read, "as_of": "2026-06-01"}).encode()
    for path in ("estimates", "classifications", "settlements", "gap-statements", "reports/inventory"):
        assert kept.api.post(f"/v1/{path}", content=dated, headers=JSON).status_code == 200
    copy = kept.get(kept.create(json.dumps(read).encode()))
    assert copy["id"] != read["id"]
    assert copy["build"] == read["build"]


def test_a_patch_replaces_removes_and_keeps_numbers_as_they_are(kept: KeptBuilds) -> None:
    build = kept.example()
    patch = b'{"build": {"registered_class": null, "facts": {"sleeping_berths": 3, "width_m": 2.40}, "vin": "X1"}}'
    told = kept.change("PATCH", build, body=patch).json()
    assert told["build"]["facts"]["sleeping_berths"] == 3
    assert told["build"]["facts"]["width_m"] == 2.4
    assert told["build"]["facts"]["single_chassis"] is True
    assert (told["build"]["vin"], "registered_class" in told["build"]) == ("X1", False)
    assert len(told["build"]["components"]) == 4


CHANGES = [("PUT", "", BARE), ("PATCH", "", b"{}"), ("DELETE", "", None), ("PUT", "/facts/has_sink", b"true")]


@pytest.mark.parametrize(("method", "path", "body"), CHANGES)
def test_a_change_names_the_revision_that_it_is_meant_for(
    kept: KeptBuilds, method: str, path: str, body: bytes | None
) -> None:
    build = kept.example()
    headers = PATCH if method == "PATCH" else JSON
    assert_problem(kept.api.request(method, build + path, content=body, headers=headers), 428, "precondition-required")
    for stale in ('"x"', 'W/"x", "y"', f"W/{kept.tags[build]}"):
        response = kept.api.request(method, build + path, content=body, headers=headers | {"if-match": stale})
        assert_problem(response, 412, "precondition-failed")
        assert response.headers["etag"] == kept.tags[build]
        assert "at revision 1, made by local" in response.json()["detail"]
    for malformed in ("x", '"x', ""):
        response = kept.api.request(method, build + path, content=body, headers=headers | {"if-match": malformed})
        assert_problem(response, 400, "invalid-parameter")
    assert kept.get(build)["revision"] == 1


@pytest.mark.parametrize("if_match", ["*", '"x", {tag}', " {tag} "])
def test_forms_of_if_match_that_fit(kept: KeptBuilds, if_match: str) -> None:
    build = kept.create()
    headers = PATCH | {"if-match": if_match.format(tag=kept.tags[build])}
    response = kept.api.patch(build, content=b'{"build": {"vin": "X1"}}', headers=headers)
    assert response.json()["revision"] == 2


def test_a_creation_that_is_sent_again_is_answered_as_the_first_time(kept: KeptBuilds) -> None:
    headers = JSON | {"idempotency-key": "my-key"}
    first = kept.api.post("/v1/builds", content=BARE, headers=headers)
    kept.tags[first.headers["location"]] = first.headers["etag"]
    kept.change("PATCH", first.headers["location"], body={"build": {"name": "Changed"}})
    again = kept.api.post("/v1/builds", content=BARE, headers=headers)
    assert (again.status_code, again.content) == (201, first.content)
    assert (again.headers["etag"], again.headers["location"]) == (first.headers["etag"], first.headers["location"])
    assert len(kept.get("/v1/builds")["items"]) == 1
    other = kept.api.post("/v1/builds", content=BARE + b" ", headers=headers)
    assert_problem(other, 422, "idempotency-key-reused")
    other = kept.api.post("/v1/builds", content=BARE, headers=headers, params={"message": "other"})
    assert_problem(other, 422, "idempotency-key-reused")
    malformed = kept.api.post("/v1/builds", content=BARE, headers=JSON | {"idempotency-key": "a b"})
    assert_problem(malformed, 400, "invalid-parameter")


def test_the_trash(kept: KeptBuilds) -> None:
    build = kept.example()
    trashed = kept.change("DELETE", build, params={"message": "Sold"})
    assert (trashed.status_code, trashed.json()["action"], trashed.json()["message"]) == (200, "trashed", "Sold")
    assert kept.get("/v1/builds")["items"] == []
    (entry,) = kept.get("/v1/builds", trashed="true")["items"]
    assert entry["trashed_at"] == kept.get(build)["trashed_at"] == trashed.json()["at"]
    assert kept.get(f"{build}/revisions/1")["trashed_at"] is None
    for method, path, body in CHANGES:
        assert_problem(kept.change(method, build, path, body), 409, "in-trash")
    component = {"id": "x", "description": "x", "category": "body", "quantity": 1, "unit_cost": 1}
    assert_problem(kept.add(build, "/components", component | {"acquired_on": "2026-01-01"}), 409, "in-trash")
    assert kept.get(f"{build}/estimate")["lines"]
    recovered = kept.change("POST", build, "/recover")
    assert (recovered.json()["action"], recovered.json()["revision"]) == ("recovered", 3)
    assert kept.change("POST", build, "/recover").json()["revision"] == 3
    assert kept.get(build)["trashed_at"] is None
    assert len(kept.get("/v1/builds")["items"]) == 1


def test_a_list_has_filters_orders_and_pages(kept: KeptBuilds) -> None:
    for name, place in (("Äpfel", "US-WA"), ("b", "DE"), ("a", "US-WA"), ("C", "US-WA")):
        kept.create(msgspec.json.encode({"name": name, "currency": "USD", "jurisdiction": place}))
    assert names(kept.get("/v1/builds")) == ["C", "a", "b", "Äpfel"]
    assert names(kept.get("/v1/builds", sort="name")) == ["a", "b", "C", "Äpfel"]
    assert names(kept.get("/v1/builds", name="äPF")) == ["Äpfel"]
    assert names(kept.get("/v1/builds", jurisdiction="DE")) == ["b"]
    assert names(kept.get("/v1/builds", updated_since="2999-01-01T00:00:00Z")) == []
    page = kept.api.get("/v1/builds", params={"sort": "name", "jurisdiction": "US-WA", "limit": 2})
    assert names(page.json()) == ["a", "C"]
    assert page.headers["link"] == f'<{page.json()["next"]}>; rel="next"'
    last = kept.api.get(page.json()["next"])
    assert (names(last.json()), last.json()["next"], "link" in last.headers) == (["Äpfel"], None, False)


def names(page: Any) -> list[str]:
    return [entry["name"] for entry in page["items"]]


@pytest.mark.parametrize(
    "query",
    [
        "limit=0",
        "limit=201",
        "cursor=x",
        "cursor=WyJuYW1lIiwiYSIsImEiXQ",
        "sort=size",
        "updated_since=2026-01-01",
        "updated_since=-5",
        "x=1",
    ],
)
def test_a_wrong_query_of_a_list(kept: KeptBuilds, query: str) -> None:
    """The second cursor is of a list in the order of the names; this one is by the last change."""
    assert_problem(kept.api.get(f"/v1/builds?{query}"), 400, "invalid-parameter")


def test_what_was_kept_where_the_day_had_begun_is_read_where_it_has_not(
    kept: KeptBuilds, monkeypatch: pytest.MonkeyPatch
) -> None:
    answer = {"policy": "RV", "term": "limit", "value": 1000, "said_on": "2999-01-02"}
    document = {"build": {"name": "Camper", "currency": "USD"}, "policies": [{"name": "RV"}], "answers": [answer]}
    body = msgspec.json.encode(document)
    assert_problem(kept.api.post("/v1/builds", content=body, headers=JSON), 422, "invalid-input")
    with monkeypatch.context() as patched:
        patched.setattr("hitchworth.operations.documents.today", lambda: date(2999, 1, 2))
        build = kept.create(body)
    for path in ("", "/estimate", "/gap-statement", "/classification", "/comparison", "/verify"):
        kept.get(f"{build}{path}")
    assert kept.get("/v1/attention")["items"] == []
    assert_problem(kept.change("PUT", build, body=body), 422, "invalid-input")


@pytest.mark.parametrize("path", ["", "/revisions", "/verify", "/estimate", "/components/x", "/reports/all"])
def test_a_build_that_is_not_there(kept: KeptBuilds, path: str) -> None:
    assert_problem(kept.api.get(f"/v1/builds/0000000000000000{path}"), 404, "not-found")


def test_faults_are_told_all_at_once_and_nothing_is_kept(kept: KeptBuilds) -> None:
    build = kept.example()
    wrong = b'{"build": {"currency": "dollars", "components": [{"id": "a", "quantity": "x"}]}, "locale": "german"}'
    for response in (
        kept.api.post("/v1/builds", content=wrong, headers=JSON),
        kept.change("PUT", build, body=wrong),
        kept.change("PATCH", build, body=wrong),
    ):
        assert_problem(response, 422, "invalid-input")
        assert {"/build/currency", "/build/components/0/quantity", "/locale"} <= {
            fault["pointer"] for fault in response.json()["errors"]
        }
    assert kept.get(build)["revision"] == 1
    assert len(kept.get("/v1/builds")["items"]) == 1


def test_a_document_of_a_newer_release(kept: KeptBuilds) -> None:
    body = b'{"format": 99, "build": {"name": "Camper", "currency": "USD"}}'
    response = kept.api.post("/v1/builds", content=body, headers=JSON)
    assert_problem(response, 422, "invalid-input")
    assert [fault["pointer"] for fault in response.json()["errors"]] == ["/format"]


@pytest.mark.parametrize(
    ("patch", "pointer"),
    [
        (b"[]", ""),
        (b"null", ""),
        (b'{"build": null}', "/build"),
        (b'{"build": {"components": null, "labor": [{"id": "x"}]}}', "/build/labor/0/task"),
        (b'{"policies": [{"name": "a", "kind": "bicycle"}]}', "/policies/0/kind"),
        (b'{"unknown": 1}', "/unknown"),
        (b'{"build": {"components": []}}', "/build/labor/0/component_id"),
    ],
)
def test_a_patch_that_breaks_a_rule(kept: KeptBuilds, patch: bytes, pointer: str) -> None:
    build = kept.example()
    response = kept.change("PATCH", build, body=patch)
    assert_problem(response, 422, "invalid-input")
    assert pointer in {fault["pointer"] for fault in response.json()["errors"]}
    assert kept.get(build)["revision"] == 1


def test_a_body_that_is_no_json_or_too_deep(kept: KeptBuilds) -> None:
    build = kept.create()
    deep = b'{"build":' * 900 + b"1" + b"}" * 900
    for method, body in (("PATCH", b"{"), ("PATCH", deep), ("PATCH", b'{"a":' * 99_999), ("PUT", deep)):
        assert kept.change(method, build, body=body).status_code in {400, 422}
    for body in (b"{", b'{"a":' * 99_999, b"\xff"):
        assert_problem(kept.add(build, "/components", body), 400, "malformed-body")


def test_a_patch_is_a_patch_only_if_it_says_so(kept: KeptBuilds) -> None:
    build = kept.create()
    for method, media_type in (("PATCH", "application/json"), ("PUT", "application/merge-patch+json")):
        response = kept.change(method, build, body=BARE, headers={"content-type": media_type})
        assert_problem(response, 415, "unsupported-media-type")
    assert response.headers["accept"] == "application/json"


@pytest.mark.parametrize("time", ["0001-01-01T00:00:00+14:00", "9999-12-31T23:59:59-14:00"])
def test_a_time_that_has_no_date_in_utc_is_refused(kept: KeptBuilds, time: str) -> None:
    for name, value in (("updated_since", time), ("cursor", cursor("-updated_at", time))):
        response = kept.api.get("/v1/builds", params={name: value})
        assert_problem(response, 400, "invalid-parameter")
        assert response.json()["errors"][0]["detail"].startswith(f"{name}: ")
    assert_problem(
        kept.api.get("/v1/builds", params={"cursor": cursor("-updated_at", time[:19])}), 400, "invalid-parameter"
    )


def cursor(sort: str, place: str) -> str:
    return urlsafe_b64encode(json.dumps([sort, place, "5f0c9f2e4a1d4e7b"]).encode()).decode().rstrip("=")
