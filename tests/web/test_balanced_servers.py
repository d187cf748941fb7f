"""Servers behind a balancer on one PostgreSQL: they keep nothing of their own, so any of them may go at any moment.

While callers change one build through all of them, one server is stopped, one is added and one is killed. What was
acknowledged is there, once.
"""

import signal
from concurrent.futures import ProcessPoolExecutor
from contextlib import ExitStack
from multiprocessing import get_context
from pathlib import Path
from time import monotonic, sleep

import httpx2
import msgspec
import pytest

from balanced_caller import call
from balancer import balanced
from databases import new_database
from hitchworth.model.access import KeyRequest
from hitchworth.model.document import Document
from hitchworth.operations.keys import new_key
from hitchworth.store import Store, open_store
from served import served

CALLERS, CHANGES = 6, 8
"""How many callers there are, and how many changes are waited for in each state of the servers."""

OPTIONS = ("--require-keys", "--rate-limit", "0", "--drain-seconds", "1", "--database")


def test_a_server_stops_one_comes_one_is_killed_and_nothing_is_lost(
    request: pytest.FixtureRequest, tmp_path: Path
) -> None:
    where, done = new_database(request.getfixturevalue("postgresql_server")), tmp_path / "done"
    with ExitStack() as running:
        store = open_store(where)
        running.callback(store.close)
        key = new_key(store, "default", "local", KeyRequest(name="Callers", scope="admin")).key
        one, other = (running.enter_context(served(*OPTIONS, where)) for _ in range(2))
        processes = running.enter_context(ProcessPoolExecutor(CALLERS, mp_context=get_context("spawn")))
        balancer = running.enter_context(balanced(one.address, other.address))  # is gone before they are waited for
        running.callback(done.touch)  # before the processes are waited for, also where something failed
        made = httpx2.post(
            f"{one.address}/v1/builds",
            json={"name": "Camper", "currency": "USD"},
            headers={"authorization": f"Bearer {key}"},
        )
        build, kept = made.headers["location"], made.json()["id"]
        calls = [processes.submit(call, balancer.address, build, key, each, done) for each in range(CALLERS)]
        wait_for_changes(store, kept)
        one.stop()
        assert one.process.returncode == -signal.SIGTERM  # not 1, as where the time to stop is over
        third = running.enter_context(served(*OPTIONS, where))
        balancer.add(third.address)
        wait_for_changes(store, kept)
        other.process.kill()
        wait_for_changes(store, kept)
        done.touch()
        reports = [each.result(timeout=120) for each in calls]
        document = msgspec.json.decode(store.builds.read("default", kept)[1].body, type=Document)
        chain = store.builds.verify("default", kept)
    changes, collisions, broken = (
        sum(each) for each in zip(*((len(r.acknowledged), r.collisions, r.broken) for r in reports), strict=True)
    )
    print(f"{changes} changes, {collisions} collisions, {broken} without an answer; connections {balancer.served}")
    assert all(balancer.served[server.address] for server in (one, other, third))
    acknowledged = sorted(name for report in reports for name in report.acknowledged)
    assert sorted(part.id for part in document.build.components) == acknowledged
    assert (chain.first_unfit, chain.revisions) == (None, 1 + changes)


def wait_for_changes(store: Store, build: str) -> None:
    """Wait until the build has been changed so often as things are now."""
    enough, give_up = store.builds.present("default", build).revision + CHANGES, monotonic() + 120
    while store.builds.present("default", build).revision < enough:
        assert monotonic() < give_up, "nothing is changed any more"
        sleep(0.02)
