"""The pieces of a portfolio as jobs of a queue in PostgreSQL, done by worker processes of their own."""

import os
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import msgspec
import psycopg
import pytest

from databases import new_database
from hitchworth.operations.portfolio_queue import JobFailedError, on_queue
from hitchworth.operations.portfolios import FileSource, KeptSource, run_portfolio
from hitchworth.portfolio.runners import in_process
from hitchworth.store import open_store
from portfolio_documents import TERMS, camper, folder_of
from store_changes import change

WORK = "import sys; from hitchworth.cli import main; sys.exit(main(['portfolio', 'work', *sys.argv[1:]]))"


@pytest.fixture
def queue(postgresql_server: str) -> str:
    return new_database(postgresql_server, "template0")


@contextmanager
def workers(number: int, *options: str) -> Iterator[None]:
    """Workers of a queue, each a process."""
    command = [sys.executable, "-c", WORK, *options]
    started = [subprocess.Popen(command, env=os.environ, stderr=subprocess.DEVNULL) for _ in range(number)]
    try:
        yield
    finally:
        for each in started:
            each.kill()
            each.wait()


def test_the_workers_of_a_queue_write_the_same_bytes(queue: str, tmp_path: Path) -> None:
    source = FileSource(where=folder_of(tmp_path / "source", files=6))
    with workers(2, "--queue", queue):
        done = run_portfolio(source, TERMS, str(tmp_path / "queue"), on_queue(queue), lambda _: None)
    run_portfolio(source, TERMS, str(tmp_path / "here"), in_process, lambda _: None)
    assert len(done.plan.pieces) == 6
    for number in range(6):
        name = f"pieces/{number:06}.ndjson"
        assert (tmp_path / "queue" / name).read_bytes() == (tmp_path / "here" / name).read_bytes()


def test_a_worker_opens_its_own_database_and_no_job_names_it(queue: str, tmp_path: Path) -> None:
    where = str(tmp_path / "builds.db")
    store = open_store(where)
    store.builds.create("default", change(msgspec.json.encode(camper("A"))))
    store.close()
    source = KeptSource(database=where, workspace="default")
    with workers(1, "--queue", queue, "--database", where):
        done = run_portfolio(source, TERMS, str(tmp_path / "run"), on_queue(queue), lambda _: None)
    assert [build.replacement_cost for build in done.builds()] == [1000]
    with psycopg.connect(queue) as connection:
        (job,) = connection.execute("SELECT job FROM saq_jobs").fetchall()
    assert b'"workspace"' in bytes(job[0])
    assert where.encode() not in bytes(job[0])


def test_a_job_that_fails_ends_the_run(queue: str, tmp_path: Path) -> None:
    where = str(tmp_path / "builds.db")
    open_store(where).close()
    source = KeptSource(database=where, workspace="default")
    with workers(1, "--queue", queue), pytest.raises(JobFailedError, match="no database"):
        run_portfolio(source, TERMS, str(tmp_path / "run"), on_queue(queue), lambda _: None)
