"""The pieces of a portfolio as jobs of a queue in PostgreSQL or Redis, where there is one (saq), and who does them.

A job has the number of its piece in its key, so no piece is queued twice. The address of a database, which may have a
password, is in no job: a worker knows its own.
"""

import asyncio
from collections.abc import Callable, Generator, Sequence
from hashlib import sha256
from importlib import import_module
from typing import Any

import msgspec
from msgspec.structs import replace

from hitchworth.operations.portfolios import KeptSource, Task, revalue_piece
from hitchworth.portfolio.runners import Runner

QUEUE = "hitchworth"
SECONDS = 3600
"""That one piece may take. A job whose worker is gone is given to another after it."""

TRIES = 3
_OUTSTANDING = 64
_LOOK_EVERY = 0.1


class JobFailedError(Exception):
    """A job has failed as often as it may, or was taken off the queue."""


def on_queue(address: str) -> Runner:
    """Queue the pieces, and wait for the workers: postgresql://USER@HOST/NAME, or redis://HOST.

    Running raises JobFailedError, and ModuleNotFoundError where saq is not installed.
    """

    def run(work: Callable[[Task], int], tasks: Sequence[Task]) -> Generator[int]:
        assert work is revalue_piece, "a worker does nothing else"
        left = list(reversed(tasks))
        with asyncio.Runner() as loop:
            queue = _queue(address)
            loop.run(queue.connect())
            queued: dict[str, Any] = {}
            try:
                while left or queued:
                    while left and len(queued) < _OUTSTANDING:
                        job = loop.run(_enqueued(queue, left.pop()))
                        queued[job.key] = job
                    loop.run(asyncio.sleep(_LOOK_EVERY))
                    found = loop.run(queue.jobs(list(queued)))
                    for key, job in zip(list(queued), found, strict=True):
                        if job is None or job.completed:
                            del queued[key]
                            yield _result(key, job)
            finally:
                for job in queued.values():
                    loop.run(queue.abort(job, "canceled"))
                loop.run(queue.disconnect())

    return run


def serve_queue(address: str, database: str | None, *, until_empty: bool = False) -> None:
    """Do the jobs of a queue, one after another, until the process is interrupted; or until none is left.

    database: where kept builds are. None: only jobs about files can be done. Raises ModuleNotFoundError without saq.
    """
    saq: Any = import_module("saq")

    def revalue(_: Any, *, task: Any) -> int:
        wanted = msgspec.convert(task, Task)
        if isinstance(wanted.source, KeptSource):
            if database is None:
                raise ValueError("this worker has no database: start it with --database")
            wanted = replace(wanted, source=replace(wanted.source, database=database))
        return revalue_piece(wanted)

    async def serve() -> None:
        queue = _queue(address)
        worker = saq.Worker(queue, functions=[("revalue", revalue)], concurrency=1, burst=until_empty)
        await queue.connect()
        try:
            await worker.start()
        finally:
            await queue.disconnect()

    asyncio.run(serve())


def _queue(address: str) -> Any:
    return import_module("saq").Queue.from_url(address, name=QUEUE)


async def _enqueued(queue: Any, task: Task) -> Any:
    """Return the job of a piece: a new one, or the one that is there and not done."""
    source = replace(task.source, database="") if isinstance(task.source, KeptSource) else task.source
    sent = msgspec.to_builtins(replace(task, source=source))
    run = sha256(msgspec.json.encode((task.into, sent["source"], sent["terms"]))).hexdigest()[:16]
    job = import_module("saq").Job(
        function="revalue", kwargs={"task": sent}, key=f"{run}-{task.number}", timeout=SECONDS, retries=TRIES
    )
    return await queue.enqueue(job) or await queue.job(job.key)


def _result(key: str, job: Any) -> int:
    """Return how many builds a job has revalued. Raises JobFailedError."""
    if job is None or job.status != "complete":
        why = "it is no longer in the queue" if job is None else (job.error or job.status).strip().splitlines()[-1]
        raise JobFailedError(f"job {key}: {why}")
    return int(job.result)
