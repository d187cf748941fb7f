"""A workspace as a whole: the log of who did what, its export, its deletion."""

import io
import json
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from hashlib import sha256
from pathlib import Path
from time import monotonic
from typing import Any
from zipfile import ZipFile

import msgspec
import pytest

from camera_photos import photo
from hitchworth.model.caller import LOCAL_CALLER
from hitchworth.model.kept import Revision
from hitchworth.operations.settings import Settings
from hitchworth.operations.workspaces import export_workspace
from hitchworth.store.chain import KeptDocument, fitting
from hitchworth.store.errors import ReadOnlyError
from kept_access import Access, access, bearer
from web_server import JSON, assert_problem, example

UNTIL = "2027-01-31T00:00:00Z"


@pytest.fixture
def server(tmp_path: Path) -> Iterator[Access]:
    with access(tmp_path) as opened:
        yield opened


def log(server: Access, key: str, query: str = "") -> list[dict[str, Any]]:
    response = server.api.get(f"/v1/access-log{query}", headers=bearer(key))
    assert response.status_code == 200
    items: list[dict[str, Any]] = response.json()["items"]
    return items


def test_the_log_says_who_read_and_changed_what_and_nothing_of_the_contents(server: Access) -> None:
    admin, writer = server.key("admin"), server.key("write", "Anna")
    build = server.build(writer)
    server.clock.advance(minutes=1)
    request = {"x-request-id": "mine-1", **bearer(writer)}
    server.api.get(f"/v1/builds/{build}", headers=request)
    server.clock.advance(minutes=1)
    server.api.get("/v1/builds/0000000000000000", headers=bearer(writer))
    server.clock.advance(minutes=1)
    server.api.get("/v1/keys", headers=bearer(writer))
    server.api.get("/v1/builds", headers=bearer("hw_x"))  # nobody knows who this is
    server.clock.advance(minutes=1)
    link = server.api.post(
        f"/v1/builds/{build}/shares", json={"name": "Adjuster", "expires_at": UNTIL}, headers=bearer(writer)
    ).json()
    server.clock.advance(minutes=1)
    server.api.get(f"{link['path']}/reports/inventory")
    told = [
        (each["at"][11:16], each["actor"], each["operation"], each["build"], each["status"])
        for each in reversed(log(server, admin))
    ]
    assert told == [
        ("12:00", "Anna", "create_build", None, 201),
        ("12:01", "Anna", "get_build", build, 200),
        ("12:02", "Anna", "get_build", "0000000000000000", 404),
        ("12:03", "Anna", "list_keys", None, 403),
        ("12:04", "Anna", "create_share", build, 201),
        ("12:05", "link: Adjuster", "get_shared_report", build, 200),
    ]
    entries = log(server, admin)
    assert entries[-1]["key"] == writer.split("_")[1]
    by_link = [each["key"] for each in entries if each["actor"].startswith("link")]
    assert by_link == [link["id"]]
    assert "mine-1" in {each["request_id"] for each in entries if each["operation"] == "get_build"}
    text = json.dumps(entries)
    for secret in (writer, writer.split("_", 2)[2], link["path"].split("_", 2)[2], "Small plywood camper"):
        assert secret not in text


def test_the_log_comes_in_pages_and_by_build(server: Access) -> None:
    admin = server.key("admin")
    builds = [server.build(admin) for _ in range(2)]
    for number in range(5):
        server.clock.advance(seconds=1)
        server.api.get(f"/v1/builds/{builds[number % 2]}", headers={"x-request-id": f"n{number}", **bearer(admin)})
    assert [each["request_id"] for each in log(server, admin, f"?build={builds[0]}")] == ["n4", "n2", "n0"]
    seen, path = [], f"/v1/access-log?build={builds[0]}&limit=2"
    while path:
        page = server.api.get(path, headers=bearer(admin))
        seen += [each["request_id"] for each in page.json()["items"]]
        path = page.json()["next"]
        assert page.headers.get("link") == (f'<{path}>; rel="next"' if path else None)
    assert seen == ["n4", "n2", "n0"]
    response = server.api.get("/v1/access-log?cursor=x", headers=bearer(admin))
    assert_problem(response, 400, "invalid-parameter")


def test_entries_are_dropped_after_400_days(server: Access) -> None:
    admin = server.key("admin")
    server.api.get("/v1/builds", headers=bearer(admin))
    server.clock.advance(days=400)
    server.api.get("/v1/workspace", headers=bearer(admin))
    assert [each["operation"] for each in log(server, admin)] == ["get_workspace", "list_builds"]
    server.clock.advance(seconds=1)
    server.api.get("/v1/keys", headers=bearer(admin))
    # Entries of one moment are in no order.
    assert {each["operation"] for each in log(server, admin)} == {"list_keys", "list_access", "get_workspace"}


def test_an_answer_is_given_though_the_log_cannot_be_written(
    server: Access, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    admin = server.key("admin")

    def fail() -> None:
        raise ReadOnlyError("the disk is read-only")

    monkeypatch.setattr(server.store._database, "writing", fail)
    assert server.api.get("/v1/builds", headers=bearer(admin)).status_code == 200
    assert server.store.access_log.flush()
    assert "1 are lost: ReadOnlyError" in caplog.text


def test_an_answer_does_not_wait_for_another_process_that_holds_the_database(server: Access, tmp_path: Path) -> None:
    # A writer waits up to 10 seconds for another; the answer to a reader must not.
    admin = server.key("admin")
    with closing(sqlite3.connect(tmp_path / "builds.db", isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        started = monotonic()
        for _ in range(3):
            assert server.api.get("/v1/builds", headers=bearer(admin)).status_code == 200
        assert monotonic() - started < 5
        other.execute("ROLLBACK")
    assert [each["operation"] for each in log(server, admin)] == ["list_builds"] * 3


def test_entries_that_wait_are_written_when_the_store_is_closed(tmp_path: Path) -> None:
    with access(tmp_path) as server:
        admin = server.key("admin")
        for _ in range(20):
            server.api.get("/v1/builds", headers=bearer(admin))
    with closing(sqlite3.connect(tmp_path / "builds.db")) as database:
        assert database.execute("SELECT count(*) FROM access_log").fetchone() == (20,)


def archive_of(content: bytes) -> dict[str, bytes]:
    with ZipFile(io.BytesIO(content)) as archive:
        assert archive.testzip() is None
        return {name: archive.read(name) for name in archive.namelist()}


def test_the_export_has_everything_and_its_digests_can_be_checked(server: Access) -> None:
    admin = server.key("admin", "Boss")
    first, second = server.build(admin), server.build(admin)
    tag = server.api.get(f"/v1/builds/{first}", headers=bearer(admin)).headers["etag"]
    patch = {"content-type": "application/merge-patch+json", "if-match": tag, **bearer(admin)}
    changed = server.api.patch(
        f"/v1/builds/{first}?message=New+plate", content=b'{"build": {"vin": null}}', headers=patch
    )
    assert changed.is_success, changed.text
    tag = server.api.get(f"/v1/builds/{second}", headers=bearer(admin)).headers["etag"]
    assert server.api.delete(f"/v1/builds/{second}", headers={"if-match": tag, **bearer(admin)}).is_success
    server.api.post(f"/v1/builds/{first}/shares", json={"name": "Agent", "expires_at": UNTIL}, headers=bearer(admin))
    response = server.api.get("/v1/workspace/export", headers=bearer(admin))
    assert response.headers["content-type"] == "application/zip"
    files = archive_of(response.content)
    assert {name.split("/")[1] for name in files if name.startswith("builds/")} == {first, second}
    assert json.loads(files["workspace.json"])["builds"] == 2
    for build in (first, second):
        revisions = msgspec.json.decode(files[f"builds/{build}/revisions.json"], type=list[Revision])
        documents = [KeptDocument("build", each, files[f"builds/{build}/{each.revision}.json"]) for each in revisions]
        assert documents
        assert len(list(fitting(documents))) == len(documents)
    (key,) = json.loads(files["keys.json"])
    assert (key["name"], key["scope"]) == ("Boss", "admin")
    assert [each["name"] for each in json.loads(files["shares.json"])] == ["Agent"]
    operations = [json.loads(line)["operation"] for line in files["access-log.ndjson"].splitlines()]
    assert operations.count("create_build") == 2
    everything = b"".join(files.values())
    for digest in (admin.encode(), admin.split("_", 2)[2].encode(), sha256(admin.encode()).hexdigest().encode()):
        assert digest not in everything


def test_the_same_contents_are_exported_as_the_same_bytes(server: Access) -> None:
    admin = server.key("admin")
    server.build(admin)
    first, second = (export_workspace(server.store, LOCAL_CALLER) for _ in range(2))
    with first.file, second.file:
        assert (first.file.read(), first.tag) == (second.file.read(), second.tag)


def test_the_export_has_the_files_of_evidence_and_names_those_that_are_lost(server: Access) -> None:
    admin = server.key("admin")
    build = server.build(admin)
    added = [
        server.api.post(f"/v1/builds/{build}/evidence", content=photo(number=number), headers=bearer(admin)).json()
        for number in (0, 99)
    ]
    hashes = [each["sha256"] for each in added]
    assert server.store.evidence._kept_in is not None
    server.store.evidence._kept_in.delete(f"files/default/{hashes[1][:2]}/{hashes[1]}")
    files = archive_of(server.api.get("/v1/workspace/export", headers=bearer(admin)).content)
    assert files[f"evidence/{hashes[0]}"] == photo(number=0)
    found = {each["sha256"]: each["file"] for each in json.loads(files["evidence.json"])}
    assert found == {hashes[0]: f"evidence/{hashes[0]}", hashes[1]: None}


def test_deleting_takes_everything_of_one_workspace_and_nothing_of_another(server: Access) -> None:
    server.store.workspaces.create("shop")
    admin, other = server.key("admin", workspace="shop"), server.key("admin")
    kept = server.build(other)
    build = server.build(admin)
    headers = {**JSON, "idempotency-key": "once", **bearer(admin)}
    server.api.post("/v1/builds", content=example("kept-build"), headers=headers)
    server.api.post(f"/v1/builds/{build}/shares", json={"name": "Agent", "expires_at": UNTIL}, headers=bearer(admin))
    for query in ("", "?confirm=default", "?confirm=Shop"):
        refused = server.api.delete(f"/v1/workspace{query}", headers=bearer(admin))
        assert_problem(refused, 409, "unconfirmed")
        assert refused.json()["detail"].endswith(": shop")
    gone = server.api.delete("/v1/workspace?confirm=shop", headers=bearer(admin))
    assert gone.status_code == 200
    held = {name: gone.json()[name] for name in ("id", "builds", "revisions", "keys", "shares")}
    assert held == {"id": "shop", "builds": 2, "revisions": 2, "keys": 1, "shares": 1}
    assert_problem(server.api.get("/v1/builds", headers=bearer(admin)), 401, "invalid-key")
    assert [each.id for each in server.store.workspaces.list()] == ["default"]
    assert server.api.get(f"/v1/builds/{kept}", headers=bearer(other)).status_code == 200
    with server.store._database.reading() as connection:
        for table in ("builds", "keys", "shares", "idempotency_keys", "access_log"):
            query = f"SELECT count(*) FROM {table} WHERE workspace = 'shop'"
            assert connection.exec_driver_sql(query).scalar() == 0


def test_the_default_workspace_is_there_again_when_it_was_deleted(tmp_path: Path) -> None:
    with access(tmp_path, Settings()) as server:
        server.build(server.key("admin"))
        assert server.api.delete("/v1/workspace?confirm=default").status_code == 200
        record = server.api.get("/v1/workspace").json()
        assert (record["builds"], record["revisions"], record["keys"]) == (0, 0, 0)
        assert server.api.post("/v1/builds", content=example("kept-build"), headers=JSON).status_code == 201
