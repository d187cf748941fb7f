"""Two workspaces: no operation shows or changes in one what belongs to the other.

The tests walk every operation that touches what is kept, as the API lists them; one that is added is walked, too.
"""

import json
import re
from collections.abc import Iterator
from datetime import timedelta
from importlib.resources import files
from itertools import count
from pathlib import Path
from typing import Any, NamedTuple

import msgspec
import pytest
from litestar import Litestar
from litestar.testing import TestClient
from sqlalchemy import select

from databases import new_database
from hitchworth.model.access import KeyRequest
from hitchworth.operations.keys import new_key
from hitchworth.operations.settings import Settings
from hitchworth.store import Store, open_store, tables
from hitchworth.web.api import OPERATIONS
from hitchworth.web.app import create_app
from hitchworth.web.examples import example_body
from hitchworth.web.operation import HEADERS, Operation
from kept_access import access
from web_server import example

KEPT = [operation for operation in OPERATIONS if operation.is_kept and not operation.is_shared]
MARK = "Only of the first workspace"

_numbers = count(1)


class Workspace(NamedTuple):
    """What is known of a workspace from outside: its key, and the ids of what is in it."""

    key: str
    ids: dict[str, str]
    digest: str


@pytest.fixture(scope="module", params=["sqlite", "postgresql"])
def store(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Store]:
    """One store for all tests: each has workspaces of its own in it."""
    if request.param == "sqlite":
        opened = open_store(str(tmp_path_factory.mktemp("isolation") / "builds.db"))
    else:
        where = new_database(request.getfixturevalue("postgresql_server"))
        opened = open_store(where, evidence="memory:///")
    yield opened
    opened.close()


@pytest.fixture(scope="module")
def api(store: Store) -> Iterator[TestClient[Litestar]]:
    with TestClient(create_app(store, Settings(require_keys=True, rate_limit=0))) as client:
        yield client


@pytest.fixture
def names() -> tuple[str, str]:
    """The names of two workspaces that are not there yet."""
    number = next(_numbers)
    return f"first-{number}", f"second-{number}"


def bearer(key: str) -> dict[str, str]:
    return {"authorization": f"Bearer {key}"}


def workspace(store: Store, api: TestClient[Litestar], name: str, mark: str) -> Workspace:
    """A new workspace with a build, a key, a link and a webhook with a message; their texts have the mark."""
    store.workspaces.create(name)
    key = new_key(store, name, "local", KeyRequest(name=f"{mark} key", scope="admin")).key
    hook = {"url": "https://shop.invalid/hook", "events": ["build.changed"], "description": f"{mark} webhook"}
    webhook = api.post("/v1/webhooks", json=hook, headers=bearer(key)).json()["id"]
    document = msgspec.json.decode(example("kept-build"))
    document["build"]["name"] = f"{mark} build"
    kept = api.post("/v1/builds", json=document, headers=bearer(key))
    assert kept.status_code == 201, kept.text
    build = kept.json()["id"]
    link = {"name": f"{mark} link", "expires_at": "2027-01-31T00:00:00Z", "for_policy": "agreed value"}
    share = api.post(f"/v1/builds/{build}/shares", json=link, headers=bearer(key)).json()["id"]
    (message,) = api.get(f"/v1/webhooks/{webhook}/messages", headers=bearer(key)).json()["items"]
    (taken,) = store.webhooks.claim(1, timedelta(days=1), only=message["id"])
    store.webhooks.finish(taken, "dead", status=500, error=mark, wait=None)
    photo = files("hitchworth.web.examples").joinpath("stove.jpg").read_bytes()
    added = api.post(f"/v1/builds/{build}/evidence", content=photo, headers=bearer(key), params={"caption": mark})
    assert added.status_code == 201, added.text
    ids = {"build": build, "key": key.split("_")[1], "share": share, "quote": quote(api, key, mark)}
    ids |= {"webhook": webhook, "message": message["id"], "evidence": added.json()["id"]}
    return Workspace(key=key, ids=ids, digest=added.json()["digest"])


def quote(api: TestClient[Litestar], key: str, mark: str) -> str:
    """Keep a quote, whose texts have the mark, and return its id."""
    document = msgspec.json.decode(example("kept-quote"))
    document["build"]["name"] = f"{mark} quote"
    kept = api.post("/v1/kept-quotes", json=document, headers=bearer(key))
    assert kept.status_code == 201, kept.text
    return str(kept.json()["id"])


def accepted(api: TestClient[Litestar], own: Workspace, operation: Operation) -> None:
    """Bring the quote of a workspace to the stage that the example of an operation needs."""
    if operation.operation_id not in AFTER_ACCEPTANCE:
        return
    path, headers = f"/v1/kept-quotes/{own.ids['quote']}", bearer(own.key)
    sent = api.post(f"{path}/accept", content=example("quote-acceptance"), headers=headers)
    assert sent.status_code == 201, sent.text
    if "{number}" in operation.path:
        sent = api.post(f"{path}/change-orders", content=example("change-order-2"), headers=headers)
        assert sent.status_code == 201, sent.text


def ask(api: TestClient[Litestar], operation: Operation, key: str, ids: dict[str, str], digest: str) -> Any:
    """Ask for an operation as its example does, but for what has these ids."""
    path, query, headers = operation.path, {}, bearer(key)
    for parameter in operation.parameters:
        value = ids.get(parameter.name, parameter.example)
        if parameter.place == "path":
            path = path.replace(f"{{{parameter.name}}}", str(value))
        elif parameter.name == HEADERS["if_match"]:
            headers[parameter.name] = "*" if "{quote}" in operation.path else f'"{digest}"'
        elif parameter.place == "query" and (parameter.name in ("build", "loss", "policy") or parameter.required):
            query[parameter.name] = str(value)
    content = None
    if operation.request_type is not None:
        content, headers["content-type"] = example_body(operation), operation.media_type
    return api.request(operation.method, path, params=query, content=content, headers=headers)


def contents(store: Store, workspace: str) -> str:
    """Everything of a workspace that is in the database, but the log."""
    told = {}
    with store._database.reading() as connection:
        for table in tables.metadata.sorted_tables:
            if table is tables.access_log:
                continue
            owned = select(tables.builds.c.id).where(tables.builds.c.workspace == workspace)
            name = "workspace" if "workspace" in table.c else "id" if table is tables.workspaces else None
            mine = table.c[name] == workspace if name else table.c.build.in_(owned)
            told[table.name] = [list(map(str, row)) for row in connection.execute(select(table).where(mine))]
    return json.dumps(told, sort_keys=True)


@pytest.mark.parametrize("operation", KEPT, ids=lambda operation: operation.operation_id)
def test_what_belongs_to_another_workspace_is_neither_shown_nor_changed(
    operation: Operation, store: Store, api: TestClient[Litestar], names: tuple[str, str]
) -> None:
    first, second = (workspace(store, api, name, mark) for name, mark in zip(names, (MARK, "Other"), strict=True))
    before = contents(store, names[0])
    response = ask(api, operation, second.key, first.ids, first.digest)
    assert response.status_code < 500
    assert MARK not in response.text
    assert contents(store, names[0]) == before
    in_path = [parameter.name for parameter in operation.parameters if parameter.place == "path"]
    if in_path:
        assert in_path[0] in first.ids, f"the workspaces of this test have no {in_path[0]}"
        # The same answer as for what does not exist anywhere: nobody learns that it does.
        missing = {name: "0" * len(value) for name, value in first.ids.items()} | {"message": "msg_0"}
        nothing = ask(api, operation, second.key, missing, first.digest)
        assert (response.status_code, nothing.status_code) == (404, 404)
        told = [{**each.json(), "instance": ""} for each in (response, nothing)]
        assert told[0] == told[1]


@pytest.mark.parametrize("operation", KEPT, ids=lambda operation: operation.operation_id)
def test_in_its_own_workspace_the_same_request_is_answered(
    operation: Operation, store: Store, api: TestClient[Litestar], names: tuple[str, str]
) -> None:
    """So that the refusals above come from the workspace and not from the request."""
    own = workspace(store, api, names[0], MARK)
    accepted(api, own, operation)
    response = ask(api, operation, own.key, own.ids, own.digest)
    assert response.status_code not in (401, 403, 404) or "no such" not in response.text
    if operation.operation_id not in SPECIAL:
        assert response.is_success, response.text


AFTER_ACCEPTANCE = {
    "add_change_order",
    "replace_change_order",
    "withdraw_change_order",
    "accept_change_order",
    "get_kept_quote_variance",
}
"""What is asked of an accepted quote."""
SPECIAL = {
    "delete_workspace",  # its example names another workspace
}


@pytest.mark.parametrize("operation", KEPT, ids=lambda operation: operation.operation_id)
def test_without_a_key_or_with_too_small_a_scope_nothing_is_answered(
    operation: Operation, store: Store, api: TestClient[Litestar], names: tuple[str, str]
) -> None:
    own = workspace(store, api, names[0], MARK)
    before = contents(store, names[0])
    anybody = ask(api, operation, "", own.ids, own.digest)
    assert anybody.status_code == 401
    assert anybody.headers["www-authenticate"].startswith("Bearer")
    assert operation.scope is not None
    if operation.scope != "read":
        smaller = "read" if operation.scope == "write" else "write"
        key = new_key(store, names[0], "local", KeyRequest(name=smaller, scope=smaller)).key  # type: ignore[arg-type]
        before = contents(store, names[0])
        refused = ask(api, operation, key, own.ids, own.digest)
        assert refused.status_code == 403
        assert f'scope="{operation.scope}"' in refused.headers["www-authenticate"]
        assert operation.scope in refused.json()["detail"]
    assert contents(store, names[0]) == before


SHARED = [operation for operation in OPERATIONS if operation.is_shared]


@pytest.mark.parametrize("operation", SHARED, ids=lambda operation: operation.operation_id)
def test_a_link_opens_its_build_and_no_other(
    operation: Operation, store: Store, api: TestClient[Litestar], names: tuple[str, str]
) -> None:
    first, second = (workspace(store, api, name, mark) for name, mark in zip(names, (MARK, "Other"), strict=True))
    link = {"name": "Adjuster", "expires_at": "2027-01-31T00:00:00Z", "for_policy": "agreed value"}
    made = api.post(f"/v1/builds/{second.ids['build']}/shares", json=link, headers=bearer(second.key)).json()
    token = made["path"].rpartition("/")[2]
    path = (
        operation.path.replace("{link}", token)
        .replace("{report}", "inventory")
        .replace("{evidence}", second.ids["evidence"])
    )
    opened = api.get(path)
    assert opened.status_code == 200
    assert MARK not in opened.text
    assert api.get(path.replace(made["id"], first.ids["share"])).status_code == 404
    assert api.get(f"/v1/builds/{second.ids['build']}", headers=bearer(token)).status_code == 401


NOT_IN_THE_DESCRIPTION = {"/metrics", "/openapi.json"}
FILES_OF_PAGES = ("/docs", "/page/")
"""The same for everybody: their routes are made without the store."""


def test_the_tests_walk_everything_that_the_application_answers_from_what_is_kept(store: Store) -> None:
    others = [operation for operation in OPERATIONS if operation not in (*KEPT, *SHARED)]
    assert not [operation for operation in others if operation.takes_caller or operation.scope is not None]
    of_the_server = [operation.operation_id for operation in others if operation.needs_server]
    assert of_the_server == ["get_service", "get_readiness"]  # whether it keeps builds, and whether it can
    served = {re.sub(":[a-z]+}", "}", route.path) for route in create_app(store).routes}
    assert not {path for path in served - NOT_IN_THE_DESCRIPTION if not path.startswith(FILES_OF_PAGES)} - {
        operation.path for operation in OPERATIONS
    }


def test_every_operation_of_what_is_kept_takes_who_asks() -> None:
    """The workspace comes from the key alone: no operation that touches the store is without a caller or a link."""
    assert KEPT
    assert all(operation.scope is not None and operation.takes_caller for operation in KEPT)
    assert not [operation for operation in OPERATIONS for each in operation.parameters if each.name == "workspace"]


@pytest.mark.parametrize(
    ("path", "status"),
    [
        ("/v1/builds/%00", 400),
        ("/v1/builds/%00/verify", 400),
        ("/v1/builds/x/shares", 404),
        ("/v1/access-log?build=%00", 400),
        ("/v1/builds?cursor=WyItdXBkYXRlZF9hdCIsIjIwMjYtMTEtMjdUMDA6MDA6MDBaIiwiXHUwMDAwIl0", 400),
    ],
)
def test_a_null_character_is_refused_and_not_kept(tmp_path: Path, path: str, status: int) -> None:
    """The cursor is that of a list by the last change, after a build whose id is U+0000."""
    with access(tmp_path) as server:
        key = server.key("admin")
        assert server.api.get(path, headers=bearer(key)).status_code == status
        assert server.store.access_log.flush()
        with server.store._database.reading() as connection:
            kept = connection.execute(select(tables.access_log.c.operation, tables.access_log.c.build)).all()
    assert kept
    assert all("\0" not in (build or "") for _, build in kept)
