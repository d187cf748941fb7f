"""The client's methods for keys, share links and the workspace, against a real server that asks for keys."""

import inspect
import io
import logging
from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from zipfile import ZipFile

import httpx2
import pytest

from hitchworth.model.access import KeyRequest
from hitchworth.operations.keys import new_key
from hitchworth.operations.settings import Settings
from hitchworth.store import Store, open_store
from hitchworth.web.server import running
from hitchworth.web.workspace_access import OPERATIONS
from hitchworth_sdk import (
    Build,
    Client,
    ConfigurationError,
    Document,
    Forbidden,
    InvalidInput,
    KeyRefused,
    KeyRotated,
    LinkEnded,
    MadeBefore,
    NotFound,
    Policy,
    TooManyRequests,
    TransportError,
    Unconfirmed,
    WrongHost,
)
from hitchworth_sdk._workspace_access import WorkspaceAccess
from sdk_exchanges import PlayedServer, problem

UNTIL = datetime(2036, 1, 31, tzinfo=UTC)
DOCUMENT = Document(build=Build(name="Camper", currency="USD"), policies=(Policy(name="RV"),))


@pytest.fixture(scope="module")
def store(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Store]:
    opened = open_store(str(tmp_path_factory.mktemp("access") / "builds.db"))
    yield opened
    opened.close()


@pytest.fixture(scope="module")
def url(store: Store) -> Iterator[str]:
    with running(Settings(port=0, require_keys=True, rate_limit=0, access_log=False), store) as address:
        yield address


@pytest.fixture
def admin(url: str, store: Store, request: pytest.FixtureRequest) -> Iterator[Client]:
    """A client with a key for a workspace of the test's own."""
    store.workspaces.create(request.node.name)
    key = new_key(store, request.node.name, "local", KeyRequest(name="Boss", scope="admin")).key
    with Client(url, api_key=key, retries=0) as client:
        yield client


def test_a_key_is_made_rotated_and_revoked(admin: Client, url: str) -> None:
    made = admin.create_key("Phone", "read", expires_at=UNTIL)
    assert (made.name, made.scope, made.expires_at) == ("Phone", "read", UNTIL)
    with Client(url, api_key=made.key, retries=0) as phone:
        assert list(phone.list_builds()) == []
        with pytest.raises(Forbidden, match="write"):
            phone.create_build(DOCUMENT)
        rotated = admin.rotate_key(made.id)
        with pytest.raises(KeyRefused, match="revoked"):
            list(phone.list_builds())
    assert admin.rotate_key(rotated.id, grace_seconds=60).name == "Phone"
    ended = admin.revoke_key(rotated.id)
    assert ended.revoked_at is not None
    assert [(key.id, key.revoked_at is None) for key in admin.list_keys()][1:3] == [
        (made.id, False),
        (rotated.id, False),
    ]
    with pytest.raises(InvalidInput):
        admin.create_key("Boss", "read")
    with pytest.raises(NotFound):
        admin.revoke_key("00000000")


def test_a_build_is_shared(admin: Client, url: str) -> None:
    build = admin.create_build(DOCUMENT)
    share = admin.create_share(build, "Adjuster", UNTIL, for_policy="RV")
    token = share.path.rpartition("/")[2]
    with Client(url, retries=0) as anybody:
        assert anybody.get_shared_build(token).name == "Camper"
        assert anybody.get_shared_estimate(token).currency == "USD"
        assert "<html" in anybody.get_shared_report(token, "inventory")
        assert anybody.get_shared_report(token, "conversation-sheet", "application/pdf", paper="a4").startswith(
            b"%PDF-"
        )
        assert [each.id for each in admin.list_shares(build)] == [share.id]
        assert admin.revoke_share(build, share.id).revoked_at is not None
        with pytest.raises(LinkEnded, match="revoked"):
            anybody.get_shared_build(token)
        with pytest.raises(KeyRefused):
            anybody.get_workspace()
    assert admin.list_shares(build.id) == admin.list_shares(build)
    told = [(entry.actor, entry.operation) for entry in admin.list_access(build=build, limit=2)]
    assert told[-1] == ("Boss", "create_share")
    assert ("link: Adjuster", "get_shared_report") in told
    assert len(told) == 9


def test_a_workspace_is_exported_and_deleted(admin: Client) -> None:
    build = admin.create_build(DOCUMENT)
    held = admin.get_workspace()
    assert (held.builds, held.keys) == (1, 1)
    with ZipFile(io.BytesIO(admin.export_workspace())) as archive:
        assert f"builds/{build.id}/1.json" in archive.namelist()
    with pytest.raises(Unconfirmed, match="confirm it with its name"):
        admin.delete_workspace("another")
    assert admin.delete_workspace(held.id).builds == 1
    with pytest.raises(KeyRefused):
        admin.get_workspace()


SECRET = "hw_public00_" + "s" * 43


def told_of(client: Client) -> str:
    """What the client shows of itself."""
    return f"{client!r} {client} {vars(client).get('last_request_id')}"


def test_the_key_is_in_no_message_and_in_no_log(url: str, caplog: pytest.LogCaptureFixture) -> None:
    caplog.set_level(logging.DEBUG)
    messages = []
    refused = PlayedServer(problem(401, type="/problems/invalid-key", detail="There is no such key."))
    clients = (
        Client("http://server.test", transport=httpx2.MockTransport(refused), api_key=SECRET, retries=0),
        Client("http://127.0.0.1:9", api_key=SECRET, retries=0),
        Client(url, api_key=SECRET, retries=0),
    )
    for client in clients:
        with client, pytest.raises((KeyRefused, TransportError)) as caught:
            client.get_workspace()
        messages += [str(caught.value), repr(caught.value), repr(caught.value.__cause__), told_of(client)]
    for wrong in (f"{SECRET}\r\nX-Evil: 1", f"{SECRET} ", f"{SECRET}ä"):
        with pytest.raises(ConfigurationError) as faulty:
            Client("http://server.test", api_key=wrong)
        messages.append(str(faulty.value))
    assert all(SECRET not in message for message in [*messages, caplog.text])


@pytest.mark.parametrize(
    ("name", "status", "kind"),
    [
        ("key-required", 401, KeyRefused),
        ("forwarded", 401, KeyRefused),
        ("invalid-key", 401, KeyRefused),
        ("insufficient-scope", 403, Forbidden),
        ("foreign-page", 403, Forbidden),
        ("unconfirmed", 409, Unconfirmed),
        ("key-rotated", 409, KeyRotated),
        ("link-ended", 410, LinkEnded),
        ("wrong-host", 421, WrongHost),
        ("rate-limited", 429, TooManyRequests),
    ],
)
def test_problems_of_access(name: str, status: int, kind: type[Exception]) -> None:
    server = PlayedServer(problem(status, type=f"/problems/{name}"))
    with server.client(retries=0) as client, pytest.raises(kind) as caught:
        client.get_workspace()
    assert caught.type is kind


def test_what_is_made_is_sent_again_under_its_key() -> None:
    """The second time the server says what the first has made, so that it can be rotated or ended."""
    made = problem(409, type="/problems/made-before", detail="This request has made the key 1a2b3c4d.")
    asks: tuple[Callable[[Client], object], ...] = (
        lambda client: client.create_key("a", "read"),
        lambda client: client.create_share("b", "a", UNTIL),
        lambda client: client.create_webhook("https://receiver.test", ["build.changed"]),
    )
    for ask in asks:
        server = PlayedServer(httpx2.ReadError("broken"), made)
        with server.client(retries=1) as client, pytest.raises(MadeBefore, match="1a2b3c4d"):
            ask(client)
        first, second = (each.headers["Idempotency-Key"] for each in server.requests)
        assert first == second != ""


def test_what_would_be_done_twice_is_sent_once() -> None:
    server = PlayedServer(problem(503, type="/problems/store-busy"))
    with server.client(retries=2) as client:
        for ask in (lambda: client.rotate_key("00000000"), lambda: client.delete_workspace("default")):
            before = len(server.requests)
            with pytest.raises(Exception, match="503"):
                ask()
            assert len(server.requests) == before + 1
            assert "Idempotency-Key" not in server.requests[-1].headers


def test_every_operation_has_a_method() -> None:
    methods = {name for name, _ in inspect.getmembers(WorkspaceAccess, inspect.isfunction) if not name.startswith("_")}
    assert methods == {operation.operation_id for operation in OPERATIONS}


def test_the_times_are_those_that_were_sent(admin: Client) -> None:
    zone = datetime.fromisoformat("2036-01-31T01:00:00+01:00")
    assert admin.create_key("Zone", "read", expires_at=zone).expires_at == UNTIL
    with pytest.raises(InvalidInput, match="passed"):
        admin.create_key("Past", "read", expires_at=datetime.now(UTC) - timedelta(seconds=1))
