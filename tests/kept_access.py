"""A server that asks for keys, with a clock that the test sets, and a store on disk."""

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from pathlib import Path

from litestar import Litestar
from litestar.testing import TestClient

from hitchworth.model.access import KeyRequest
from hitchworth.model.caller import Scope
from hitchworth.operations.keys import new_key
from hitchworth.operations.settings import Settings
from hitchworth.store import Store, open_store
from hitchworth.web.app import create_app
from web_server import JSON, example

NOW = datetime(2026, 11, 27, 12, tzinfo=UTC)


class Clock:
    """A clock that stands still until it is set."""

    def __init__(self) -> None:
        self.now = NOW

    def __call__(self) -> datetime:
        return self.now

    def advance(self, **by: float) -> None:
        self.now += timedelta(**by)


class Access:
    """The client, the store behind it and its clock."""

    def __init__(self, api: TestClient[Litestar], store: Store, clock: Clock) -> None:
        self.api = api
        self.store = store
        self.clock = clock

    def key(self, scope: Scope, name: str = "", workspace: str = "default", expires_at: datetime | None = None) -> str:
        """A new key."""
        wanted = KeyRequest(name=name or f"{scope} key", scope=scope, expires_at=expires_at)
        return new_key(self.store, workspace, "local", wanted).key

    def build(self, key: str) -> str:
        """The id of a new build."""
        made = self.api.post("/v1/builds", content=example("kept-build"), headers={**JSON, **bearer(key)})
        assert made.status_code == 201, made.text
        return str(made.json()["id"])


@contextmanager
def access(folder: Path, settings: Settings | None = None) -> Iterator[Access]:
    clock = Clock()
    store = open_store(str(folder / "builds.db"), clock=clock)
    with TestClient(create_app(store, settings or Settings(require_keys=True))) as api:
        yield Access(api, store, clock)
    store.close()


def bearer(key: str) -> dict[str, str]:
    return {"authorization": f"Bearer {key}"}
