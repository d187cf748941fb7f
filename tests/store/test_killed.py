"""A writer is killed at any moment: every revision that it acknowledged is there, and none is half-written.

HITCHWORTH_KILLS sets how often (default: 4 for each database; the full count is 100).
"""

import os
import random
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from hitchworth.store import open_store
from hitchworth.store.builds import BuildQuery
from hitchworth.store.chain import fitting
from hitchworth.store.schema import migrate
from postgresql_server import SAFE, postgresql

KILLS = int(os.environ.get("HITCHWORTH_KILLS", "4"))
WRITER = Path(__file__).parent.parent / "acknowledging_writer.py"


@pytest.fixture(params=["sqlite", "postgresql"])
def safe_place(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[str]:
    """A database that is set as it is in use: what it acknowledges is on the disk."""
    if request.param == "sqlite":
        yield str(tmp_path / "builds.db")
    else:
        with postgresql(SAFE) as where:
            migrate(where)
            yield where


def test_what_was_acknowledged_is_kept_and_nothing_else_by_halves(safe_place: str) -> None:
    chance = random.Random(13)
    open_store(safe_place).close()
    acknowledged: set[str] = set()
    for _ in range(KILLS):
        acknowledged |= digests_until_killed(safe_place, after=chance.randint(1, 12), delay=chance.uniform(0, 0.02))
        assert_intact(safe_place, acknowledged)
    assert len(acknowledged) >= KILLS


def digests_until_killed(where: str, after: int, delay: float) -> set[str]:
    """Kill the writer some time after a number of revisions. Return the digests of those that it has acknowledged."""
    command = [sys.executable, str(WRITER), where]
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as writer:
        assert writer.stdout is not None
        told = [writer.stdout.readline().strip() for _ in range(after)]
        try:
            writer.wait(delay)
        except subprocess.TimeoutExpired:
            writer.kill()
        told += [line.strip() for line in writer.stdout if line.endswith("\n")]
    assert writer.returncode == -9, "the writer has failed"
    return set(told)


def assert_intact(where: str, acknowledged: set[str]) -> None:
    store, kept = open_store(where), set()
    for entry in store.builds.list("default", BuildQuery(limit=10_000)):
        history = list(store.builds.history("default", entry.id))
        assert len(list(fitting(history))) == len(history) == entry.revision
        assert history[-1].revision.digest == entry.digest
        kept |= {each.revision.digest for each in history}
    store.close()
    assert acknowledged <= kept
