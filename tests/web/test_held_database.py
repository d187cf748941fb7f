"""While another process holds the database, who reads is answered at once, who changes waits, and nothing is lost.

A writer waits up to 10 seconds for another. The tests use servers as they run: in processes of their own.
"""

import sqlite3
import threading
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing, contextmanager
from pathlib import Path
from time import monotonic, sleep
from typing import Any

import httpx2
import pytest

from hitchworth.store import open_store
from served import served
from web_server import JSON, example

CHANGES = 8
"""More than there are threads for changes."""


@contextmanager
def held(database: Path) -> Iterator[None]:
    """Hold the lock of a SQLite file that every writer needs, as a backup or another program may."""
    with closing(sqlite3.connect(database, isolation_level=None, check_same_thread=False)) as other:
        other.execute("BEGIN IMMEDIATE")
        yield
        other.execute("ROLLBACK")


@pytest.fixture
def database(tmp_path: Path) -> Path:
    return tmp_path / "builds.db"


def create(address: str) -> Any:
    return httpx2.post(f"{address}/v1/builds", content=example("kept-build"), headers=JSON, timeout=30)


def logged(database: Path, operation: str) -> int:
    with closing(sqlite3.connect(database)) as reader:
        query = "SELECT count(*) FROM access_log WHERE operation = ?"
        return int(reader.execute(query, (operation,)).fetchone()[0])


def test_who_reads_is_answered_while_all_who_change_something_wait(database: Path) -> None:
    with served("--database", str(database)) as server, ThreadPoolExecutor(CHANGES) as callers:
        build = create(server.address).headers["location"]
        with held(database):
            waiting = [callers.submit(create, server.address) for _ in range(CHANGES)]
            sleep(0.5)
            started = monotonic()
            for path in ("/v1/builds", build, f"{build}/estimate?as_of=2026-06-01", "/ready", "/health"):
                assert httpx2.get(server.address + path, timeout=5).status_code == 200
            assert monotonic() - started < 5
            assert not any(each.done() for each in waiting)
        assert {each.result().status_code for each in waiting} == {201}
        entries = httpx2.get(f"{server.address}/v1/access-log?limit=200").json()["items"]
    assert [each["operation"] for each in entries].count("create_build") == 1 + CHANGES
    assert [each["operation"] for each in entries].count("get_build") == 1


def test_a_server_that_is_asked_to_stop_writes_the_log_first(database: Path) -> None:
    with served("--database", str(database)) as server:
        with held(database):
            for _ in range(20):
                assert httpx2.get(f"{server.address}/v1/builds").status_code == 200
            stopped = threading.Thread(target=server.stop)
            stopped.start()
            sleep(1)
            assert server.process.poll() is None
            assert logged(database, "list_builds") == 0
        stopped.join(30)
        assert server.process.poll() is not None
    assert logged(database, "list_builds") == 20


def test_a_server_that_cannot_write_the_log_in_time_says_so_and_stops(
    database: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("HITCHWORTH_STOP_SECONDS", "1")
    open_store(str(database)).close()
    with served("--database", str(database)) as server, held(database):
        assert httpx2.get(f"{server.address}/v1/builds").status_code == 200
        assert "the log of who did what not written" in server.stop()
