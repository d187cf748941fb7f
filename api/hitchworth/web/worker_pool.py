"""The processes that compute long answers, so that the event loop is free for short ones.

A thread would share the interpreter with the event loop and could not be stopped. A process computes one answer at a
time; when nobody waits for that any more, the process is ended, and another takes its place.
"""

from asyncio import CancelledError, Task, create_task, gather
from collections.abc import Callable
from contextlib import AbstractAsyncContextManager, AsyncExitStack
from logging import getLogger
from math import inf
from typing import TypeVar, TypeVarTuple

from anyio import BrokenWorkerProcess, CapacityLimiter, to_process

_log = getLogger("hitchworth.web")

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
        self._any = CapacityLimiter(inf)
        """For the library, which would count again."""
        self.waiting = 0
        """The computations that wait for a process."""
        self._accepted = 0
        self._started: Task[None] | None = None
        self._has_failed = False
        """Whether a process could not be prepared."""
        self._filling: set[Task[None]] = set()

    @property
    def running(self) -> int:
        """The processes at work: on a computation, or to be ready for one."""
        return self._all.borrowed_tokens

    @property
    def is_started(self) -> bool:
        """Whether all processes have been prepared once."""
        return self._started is not None and self._started.done() and not self._has_failed

    async def start(self) -> None:
        """Begin to start all processes. What is to be computed waits until they are prepared."""
        self._started = self._fill()

    async def stop(self) -> None:
        """Start no more processes. Those that there are end with the event loop."""
        for task in self._filling:
            task.cancel()

    async def run(
        self,
        function: Callable[[*Arguments], T],
        *arguments: *Arguments,
        is_long: bool,
        within: AbstractAsyncContextManager[None] | None = None,
    ) -> T:
        """Return what a function returns in a process. Function, arguments and what it returns are pickled.

        within: what is entered when its turn has come, as a deadline that does not count the time before.
        When the task that waits for it is canceled, the process is ended. Raises FullError and LostError.
        """
        if self._accepted >= self._limit:
            raise FullError
        self._accepted += 1
        try:
            async with AsyncExitStack() as turns:
                await self._take_turn(turns, is_long=is_long)
                if within is not None:
                    await turns.enter_async_context(within)
                return await self._run(function, *arguments)
        finally:
            self._accepted -= 1

    async def _take_turn(self, turns: AsyncExitStack, *, is_long: bool) -> None:
        self.waiting += 1
        try:
            if is_long:
                await turns.enter_async_context(self._long)
            await turns.enter_async_context(self._all)
        finally:
            self.waiting -= 1

    async def _run(self, function: Callable[[*Arguments], T], *arguments: *Arguments) -> T:
        try:
            return await to_process.run_sync(function, *arguments, cancellable=True, limiter=self._any)
        except CancelledError:
            self._fill()
            raise
        except BrokenWorkerProcess as error:
            self._fill()
            raise LostError from error

    def _fill(self) -> Task[None]:
        """Begin to start the processes that are missing, so that no computation has to wait for that."""
        task = create_task(self._prepare_idle())
        self._filling.add(task)
        task.add_done_callback(self._filling.discard)
        return task

    async def _prepare_idle(self) -> None:
        """Prepare as many processes as are not at work, at the same time: those that are there are prepared already."""
        await gather(*(self._prepare_one() for _ in range(int(self._all.available_tokens))))

    async def _prepare_one(self) -> None:
        async with self._all:
            try:
                await to_process.run_sync(self._prepare, cancellable=True, limiter=self._any)
            except BrokenWorkerProcess:
                _log.error("a process of the pool was ended by something else while it was prepared")
            except Exception:
                self._has_failed = True
                _log.exception("a process of the pool cannot be prepared, so the server does not become ready")
