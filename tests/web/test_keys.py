"""Keys: shown once, kept as a digest, valid until they expire, are rotated or revoked."""

import sqlite3
from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path
from threading import current_thread
from typing import Any

import pytest

from hitchworth.model.caller import Caller
from hitchworth.operations.authentication import caller_of_key
from hitchworth.operations.settings import Settings
from hitchworth.store import Store
from hitchworth.store.credentials import Credential, new_credential, read_credential
from kept_access import NOW, Access, access, bearer
from web_server import JSON, assert_problem, example


@pytest.fixture
def server(tmp_path: Path) -> Iterator[Access]:
    with access(tmp_path) as opened:
        yield opened


def test_a_key_is_shown_once_and_its_secret_is_nowhere_in_the_database(server: Access, tmp_path: Path) -> None:
    made = server.api.post("/v1/keys", json={"name": "Phone", "scope": "read"}, headers=bearer(server.key("admin")))
    assert made.status_code == 201
    key = made.json()["key"]
    prefix, public, secret = key.split("_", 2)
    assert (prefix, public, len(secret)) == ("hw", made.json()["id"], 43)  # 43 characters of base64: 256 bits
    assert made.headers["location"] == f"/v1/keys/{public}"
    assert made.headers["cache-control"] == "no-store"
    listed = server.api.get("/v1/keys", headers=bearer(server.key("admin", "other")))
    assert public in listed.text
    assert secret not in listed.text
    with sqlite3.connect(tmp_path / "builds.db") as database:
        dump = "\n".join(database.iterdump())
    assert public in dump
    assert secret not in dump


def test_no_two_keys_are_alike_and_a_key_does_not_show_itself() -> None:
    made = [new_credential("hw") for _ in range(200)]
    assert len({each.public for each in made}) == len({each.secret for each in made}) == 200
    assert all(read_credential(each.text, "hw") == each for each in made)
    assert all(each.secret not in repr(each) and each.secret not in f"{each}" for each in made)
    assert read_credential(made[0].text, "hs") is None


def test_a_secret_fits_its_own_digest_only() -> None:
    first, second = new_credential("hw"), new_credential("hw")
    assert first.fits(first.digest)
    assert not first.fits(second.digest)
    # SHA-256 of "abc": FIPS 180-2, appendix B.1
    known = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
    assert Credential(prefix="hw", public="00000000", secret="abc").digest == known


def refused(server: Access, authorization: str | list[tuple[str, str]]) -> Any:
    headers = [("authorization", authorization)] if isinstance(authorization, str) else authorization
    return server.api.get("/v1/builds", headers=headers)


@pytest.mark.parametrize(
    "authorization",
    ["Bearer", "Bearer ", "Basic dXNlcjpwYXNz", "hw_abc", "Bearer " + "x" * 100_000, "Token hw_1"],
    ids=["nothing", "space", "basic", "no scheme", "oversized", "other scheme"],
)
def test_a_malformed_header_is_told(server: Access, authorization: str) -> None:
    response = refused(server, authorization)
    assert_problem(response, 401, "invalid-key")
    assert 'error="invalid_request"' in response.headers["www-authenticate"]


def test_an_unknown_key_is_told_and_never_repeated(server: Access) -> None:
    real = server.key("read")
    wrong = [
        real[:-1] + ("A" if real[-1] != "A" else "B"),
        new_credential("hw").text,
        "nonsense",
        real + "x",
        real.upper(),
    ]
    for key in wrong:
        response = refused(server, f"Bearer {key}")
        assert_problem(response, 401, "invalid-key")
        assert response.json()["detail"] == "There is no such key."
        assert 'error="invalid_token"' in response.headers["www-authenticate"]
        assert key not in response.text
    assert refused(server, f"bearer {real}").status_code == 200


def test_a_key_opens_what_its_scope_allows_and_names_the_scope_that_is_missing(server: Access) -> None:
    assert server.api.get("/v1/keys", headers=bearer(server.key("admin"))).status_code == 200
    response = server.api.get("/v1/keys", headers=bearer(server.key("write")))
    assert_problem(response, 403, "insufficient-scope")
    challenge = 'Bearer realm="hitchworth", error="insufficient_scope", scope="admin"'  # RFC 6750, 3 and 3.1
    assert response.headers["www-authenticate"] == challenge


def test_two_keys_in_one_request_are_refused(server: Access) -> None:
    key = server.key("read")
    assert_problem(refused(server, [("authorization", f"Bearer {key}")] * 2), 401, "invalid-key")


def test_without_a_key_the_answer_says_how(server: Access) -> None:
    response = server.api.get("/v1/builds")
    assert_problem(response, 401, "key-required")
    assert response.headers["www-authenticate"] == 'Bearer realm="hitchworth"'
    # to compute costs time, so it needs some key, too; reading what is published does not
    assert_problem(server.api.post("/v1/estimates", content=example("estimate"), headers=JSON), 401, "key-required")
    for path in ("/health", "/ready", "/v1/schedules", "/docs", "/openapi.json", "/problems/key-required"):
        assert server.api.get(path).status_code == 200
    assert server.api.get("/metrics").status_code == 401
    key = server.key("read")
    assert server.api.get("/metrics", headers=bearer(key)).status_code == 200
    computed = server.api.post("/v1/estimates", content=example("estimate"), headers={**JSON, **bearer(key)})
    assert computed.status_code == 200


def test_a_key_expires_to_the_second(server: Access) -> None:
    key = server.key("read", expires_at=NOW + timedelta(hours=1))
    server.clock.advance(seconds=3599)
    assert refused(server, f"Bearer {key}").status_code == 200
    server.clock.advance(seconds=1)
    response = refused(server, f"Bearer {key}")
    assert_problem(response, 401, "invalid-key")
    assert response.json()["detail"] == "The key expired on 2026-11-27."


def test_a_revoked_key_opens_nothing_from_then_on(server: Access) -> None:
    admin, key = server.key("admin"), server.key("read")
    public = key.split("_")[1]
    assert refused(server, f"Bearer {key}").status_code == 200
    ended = server.api.delete(f"/v1/keys/{public}", headers=bearer(admin))
    assert ended.json()["revoked_at"] == "2026-11-27T12:00:00Z"
    response = refused(server, f"Bearer {key}")
    assert_problem(response, 401, "invalid-key")
    assert response.json()["detail"] == "The key was revoked on 2026-11-27."
    server.clock.advance(days=1)
    again = server.api.delete(f"/v1/keys/{public}", headers=bearer(admin))
    assert again.json() == ended.json()
    assert_problem(server.api.delete("/v1/keys/00000000", headers=bearer(admin)), 404, "not-found")


def test_a_rotated_key_ends_at_once_or_after_its_grace(server: Access) -> None:
    admin = server.key("admin")
    old = server.key("write", "Script")
    path = f"/v1/keys/{old.split('_')[1]}/rotate"
    middle = server.api.post(path, json={"grace_seconds": 60}, headers=bearer(admin))
    assert middle.status_code == 201
    assert {name: middle.json()[name] for name in ("name", "scope", "expires_at")} == {
        "name": "Script",
        "scope": "write",
        "expires_at": None,
    }
    assert [refused(server, f"Bearer {key}").status_code for key in (old, middle.json()["key"])] == [200, 200]
    server.clock.advance(seconds=60)
    assert [refused(server, f"Bearer {key}").status_code for key in (old, middle.json()["key"])] == [401, 200]
    new = server.api.post(f"/v1/keys/{middle.json()['id']}/rotate", json={}, headers=bearer(admin)).json()["key"]
    keys = (old, middle.json()["key"], new)
    assert [refused(server, f"Bearer {key}").status_code for key in keys] == [401, 401, 200]
    ended = server.api.post(path, json={}, headers=bearer(admin))
    assert_problem(ended, 404, "not-found")
    assert "not valid any more" in ended.json()["detail"]


def test_grace_does_not_make_a_key_valid_for_longer(server: Access) -> None:
    admin = server.key("admin")
    old = server.key("read", expires_at=NOW + timedelta(seconds=10))
    rotated = server.api.post(
        f"/v1/keys/{old.split('_')[1]}/rotate", json={"grace_seconds": 600}, headers=bearer(admin)
    ).json()
    assert rotated["expires_at"] == "2026-11-27T12:00:10Z"
    server.clock.advance(seconds=10)
    assert [refused(server, f"Bearer {key}").status_code for key in (old, rotated["key"])] == [401, 401]


@pytest.mark.parametrize(
    ("body", "pointers"),
    [
        ({}, {"/name", "/scope"}),
        ({"name": "a\nb", "scope": "all", "expires_at": "tomorrow"}, {"/name", "/scope", "/expires_at"}),
        ({"name": "a", "scope": "read", "expires_at": "2026-11-27T12:00:00Z"}, {"/expires_at"}),
        ({"name": "a", "scope": "read", "expires_at": "2026-12-27T12:00:00"}, {"/expires_at"}),
        ({"name": "a", "scope": "read", "expires_at": "9999-12-31T23:59:59-14:00"}, {"/expires_at"}),
        ({"name": "a", "scope": "read", "expires_at": "0001-01-01T00:00:00+14:00"}, {"/expires_at"}),
        ({"name": "admin key", "scope": "read"}, {"/name"}),
        ({"name": "a", "scope": "read", "workspace": "other"}, {"/workspace"}),
    ],
)
def test_a_key_with_faults_is_not_made(server: Access, body: dict[str, Any], pointers: set[str]) -> None:
    admin = server.key("admin")
    response = server.api.post("/v1/keys", json=body, headers=bearer(admin))
    assert_problem(response, 422, "invalid-input")
    assert {fault["pointer"] for fault in response.json()["errors"]} == pointers
    assert len(server.store.keys.list("default")) == 1


def test_a_name_is_free_again_when_its_key_has_ended(server: Access) -> None:
    admin = server.key("admin")
    old = server.key("read", "Phone")
    server.api.delete(f"/v1/keys/{old.split('_')[1]}", headers=bearer(admin))
    assert server.api.post("/v1/keys", json={"name": "Phone", "scope": "read"}, headers=bearer(admin)).is_success


def test_a_change_is_recorded_under_the_name_of_the_key(server: Access) -> None:
    key = server.key("write", "Anna")
    build = server.build(key)
    (revision,) = server.api.get(f"/v1/builds/{build}/revisions", headers=bearer(key)).json()["items"]
    assert revision["actor"] == "Anna"


def test_on_loopback_no_key_is_needed_but_one_that_is_sent_counts(tmp_path: Path) -> None:
    with access(tmp_path, Settings()) as server:
        assert server.api.get("/v1/builds").status_code == 200
        server.store.workspaces.create("shop")
        key = server.key("read", workspace="shop")
        server.api.post("/v1/builds", content=example("kept-build"), headers=JSON)
        assert server.api.get("/v1/builds", headers=bearer(key)).json()["items"] == []
        assert len(server.api.get("/v1/builds").json()["items"]) == 1
        assert_problem(server.api.get("/v1/builds", headers=bearer("hw_x")), 401, "invalid-key")
        assert server.api.get("/health", headers=bearer("hw_x")).status_code == 200


def test_a_key_that_is_asked_for_twice_under_one_idempotency_key_is_made_once(server: Access) -> None:
    headers = {**bearer(server.key("admin", "Anna")), "idempotency-key": "key-1"}
    body = {"name": "Phone", "scope": "write"}
    made = server.api.post("/v1/keys", json=body, headers=headers)
    again = server.api.post("/v1/keys", json=body, headers=headers)
    assert made.status_code == 201
    assert_problem(again, 409, "made-before")
    assert made.json()["id"] in again.json()["detail"]
    assert made.json()["key"] not in again.text
    other = server.api.post("/v1/keys", json={**body, "scope": "read"}, headers=headers)
    assert_problem(other, 422, "idempotency-key-reused")
    names = sorted(key["name"] for key in server.api.get("/v1/keys", headers=headers).json()["items"])
    assert names == ["Anna", "Phone"]


def test_a_key_is_looked_up_beside_long_answers(server: Access, monkeypatch: pytest.MonkeyPatch) -> None:
    # The threads of long answers may all be taken; whose key it is must be said all the same.
    threads: list[str] = []

    def look_up(store: Store, text: str) -> Caller:
        threads.append(current_thread().name)
        return caller_of_key(store, text)

    monkeypatch.setattr("hitchworth.web.access.caller_of_key", look_up)
    assert server.api.get("/v1/builds", headers=bearer(server.key("read"))).status_code == 200
    assert [name.rpartition("_")[0] for name in threads] == ["hitchworth-look-up"]
