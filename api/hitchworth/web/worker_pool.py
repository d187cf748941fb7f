"""The processes that compute long answers, so that the event loop is free for short ones.

A thread would share the interpreter with the event loop and could not be stopped. A process computes one answer at a
time; when nobody waits for that any more, the process is ended, and another takes its place.
"""

from asyncio import CancelledError, Task, create_task, gather
from collections.abc import Callable
from contextlib import AsyncExitStack, suppress
from typing import TypeVar, TypeVarTuple

from anyio import BrokenWorkerProcess, CapacityLimiter, to_process

T = TypeVar("T")
Arguments = TypeVarTuple("Arguments")


class FullError(Exception):
    """As many computations wait as may."""


class LostError(Exception):
    """The process ended before it had the answer: something outside has ended it, as where memory is short."""


class WorkerPool:
    """So many processes for long computations, and one more that only short ones keep busy.

    What comes when all are busy waits in the order in which it came; short computations do not wait for long ones.
    """

    def __init__(self, count: int, max_waiting: int, prepare: Callable[[], None]) -> None:
        """prepare: what a process does before its first computation, so that this is no slower than others."""
        self.count = count
        """Of processes for long computations."""
        self._limit = count + 1 + max_waiting
        self._prepare = prepare
        self._all, self._long = CapacityLimiter(count + 1), CapacityLimiter(count)
        self._accepted = 0
        self._replacements: set[Task[None]] = set()

    @property
    def running(self) -> int:
        """The computations in work."""
        return self._all.borrowed_tokens

    @property
    def waiting(self) -> int:
        """The computations that wait for a process."""
        return self._accepted - self.running

    async def start(self) -> None:
        """Start all processes, and return when they are prepared."""
        await gather(*(to_process.run_sync(self._prepare, limiter=self._all) for _ in range(self.count + 1)))

    async def stop(self) -> None:
        """Replace no more processes. Those that there are end with the event loop."""
        for task in self._replacements:
            task.cancel()

    async def run(self, function: Callable[[*Arguments], T], *arguments: *Arguments, is_long: bool) -> T:
        """Return what a function returns in a process. Function, arguments and what it returns are pickled.

        When the task that waits for it is canceled, the process is ended. Raises FullError and LostError.
        """
        if self._accepted >= self._limit:
            raise FullError
        self._accepted += 1
        try:
            async with AsyncExitStack() as turns:
                if is_long:
                    await turns.enter_async_context(self._long)
                return await self._run(function, *arguments)
        finally:
            self._accepted -= 1

    async def _run(self, function: Callable[[*Arguments], T], *arguments: *Arguments) -> T:
        try:
            return await to_process.run_sync(function, *arguments, cancellable=True, limiter=self._all)
        except CancelledError:
            self._replace()
            raise
        except BrokenWorkerProcess as error:
            self._replace()
            raise LostError from error

    def _replace(self) -> None:
        """Start a process in place of one that was ended, so that the next computation does not wait for its start."""
        task = create_task(self._prepare_one())
        self._replacements.add(task)
        task.add_done_callback(self._replacements.discard)

    async def _prepare_one(self) -> None:
        with suppress(BrokenWorkerProcess):
            await to_process.run_sync(self._prepare, cancellable=True, limiter=self._all)
