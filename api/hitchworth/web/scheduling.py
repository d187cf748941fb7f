"""Where and when a request is computed: small work at once, waiting in threads, everything else in the processes.

Nothing on the event loop takes longer than a few milliseconds. What waits for a database waits in a thread. What
computes longer does so in a process of the pool, which has a queue with an end; where there is no pool, as in the
process of a caller, it does so in a thread.
"""

import os
from asyncio import FIRST_COMPLETED, CancelledError, ensure_future, get_running_loop, timeout, wait
from collections.abc import AsyncIterator, Callable, Coroutine, Sequence
from concurrent.futures import ThreadPoolExecutor
from contextlib import AbstractAsyncContextManager, asynccontextmanager, suppress
from contextvars import copy_context
from functools import partial
from io import BytesIO
from logging import getLogger
from math import inf
from pathlib import Path
from typing import IO, Any, TypeVar
from uuid import uuid4

import msgspec
from msgspec.structs import replace

from hitchworth.operations.batches import Line
from hitchworth.web import problems, worker
from hitchworth.web.computation import Rendered, Result, compute, compute_lines
from hitchworth.web.http import HTTPRequest, settings_of
from hitchworth.web.operation import STORE, Operation
from hitchworth.web.problems import RequestError
from hitchworth.web.server_state import ServerState
from hitchworth.web.worker import AnswerFormat, Job, Outcome
from hitchworth.web.worker_pool import FullError, LostError

T = TypeVar("T")

AT_ONCE_BYTES = 8_000
"""A larger body is not computed on the event loop: checking it takes too long."""

AT_ONCE_COST = 60
"""What costs more, in lines valued, is not computed on the event loop."""

READ_BYTES = 64_000
"""The cost of a larger body is not asked for: reading it takes too long."""

LONG_COST = 5_000
"""What costs more does not take the process that is for short computations."""

_LEAST_LINE_BYTES = 150

_PLAIN = frozenset({"json", "csv", "tsv", "text"})
"""The formats that take no longer to write than JSON."""

_RETRY_AFTER = {"retry-after": "1"}

_DELETES_OPEN_FILES = os.name != "nt"
"""Whether the system deletes a file that is open, so that it is gone when it is closed."""

_log = getLogger("hitchworth.web")

_PROBES = ThreadPoolExecutor(max_workers=2, thread_name_prefix="hitchworth-probe")
"""The threads of what watches the server: it does not wait behind long answers."""

_CHANGES = ThreadPoolExecutor(max_workers=4, thread_name_prefix="hitchworth-change")
"""The threads of what changes the database: while it is held by others, they all may wait, and nobody who reads."""


class CallerGoneError(Exception):
    """The caller has gone away: nobody waits for the answer."""


async def computed(
    request: HTTPRequest, operation: Operation, arguments: dict[str, Any], body: bytes, rendered: Rendered
) -> Result:
    """Return what an operation has computed for a request, in the format that was asked for.

    Raises RequestError when the answer is not ready in time, when too many wait, or when the server stops before; and
    CallerGoneError.
    """
    cost = _cost(operation, body, rendered)
    server: ServerState = request.app.state["server"]
    has_store = server.store_place is not None or not operation.is_kept
    if cost > AT_ONCE_COST and server.workers is not None and operation.may_leave and has_store:
        return await _in_process(request, operation, arguments, body, rendered, is_long=cost > LONG_COST)
    if cost > AT_ONCE_COST or operation.waits:
        work = partial(compute, operation, arguments, body, rendered)
        async with _deadline(request):
            return await get_running_loop().run_in_executor(_threads(operation), copy_context().run, work)
    return compute(operation, arguments, body, rendered)


async def computed_lines(request: HTTPRequest, rendered: Rendered, lines: Sequence[Line], instance: str) -> bytes:
    """Return the answers of an operation to lines of a batch. Raises RequestError as `computed` does.

    The time that they wait for those before them does not count.
    """
    server: ServerState = request.app.state["server"]
    max_bytes = settings_of(request).max_body_bytes
    if server.workers is None:
        work = partial(compute_lines, rendered, lines, instance, max_bytes)
        async with _deadline(request):
            return await get_running_loop().run_in_executor(None, copy_context().run, work)
    arguments = AnswerFormat.of(rendered), lines, instance, max_bytes
    is_long = cost_of_lines(rendered.operation, sum(map(size_of, lines))) > LONG_COST
    answers = _of_pool(server, worker.answer_lines, *arguments, is_long=is_long, within=_deadline(request))
    return bytes(await answers)


def _cost(operation: Operation, body: bytes, rendered: Rendered) -> float:
    """Return what a request costs: nothing where that is next to nothing, as much as anything where it is not known."""
    if rendered.rendering.name not in _PLAIN:
        return inf
    if operation.cost is None:
        return inf if len(body) > AT_ONCE_BYTES else 0
    if operation.request_type is None:
        return operation.cost(None)
    if operation.takes_file:
        return operation.cost(body)
    if len(body) > READ_BYTES:
        return inf
    try:
        cost = operation.cost(msgspec.json.decode(body, type=operation.request_type))
    except Exception:  # with its faults, which are looked for elsewhere
        return inf
    return max(cost, AT_ONCE_COST + 1) if len(body) > AT_ONCE_BYTES else cost


def size_of(line: Line) -> int:
    """Return the bytes of a line of a batch; the shortest has its answer, too."""
    return _LEAST_LINE_BYTES + len(line.content or b"")


def cost_of_lines(operation: Operation, size: int) -> float:
    """Return what lines of a batch cost, so many bytes of them."""
    return inf if operation.cost is None else operation.cost(size)


async def _in_process(
    request: HTTPRequest,
    operation: Operation,
    arguments: dict[str, Any],
    body: bytes,
    rendered: Rendered,
    *,
    is_long: bool,
) -> Result:
    server: ServerState = request.app.state["server"]
    file = Path(server.folder) / uuid4().hex
    job = Job(
        format=AnswerFormat.of(rendered),
        arguments={name: value for name, value in arguments.items() if name != STORE},
        body=body,
        store=server.store_place if operation.is_kept else None,
        file=str(file),
    )
    try:
        async with _deadline(request):
            work = _of_pool(server, worker.answer, job, is_long=is_long)
            result: Result = await _while_connected(request, work)
        if operation.gives_file:
            return result._replace(content=replace(result.content, file=_opened(file)))
        return result
    finally:
        if operation.gives_file:
            file.unlink(missing_ok=True)


def _opened(file: Path) -> IO[bytes]:
    """Open a file that is deleted at once."""
    return file.open("rb") if _DELETES_OPEN_FILES else BytesIO(file.read_bytes())


async def _of_pool(
    server: ServerState,
    function: Callable[..., Outcome],
    *arguments: Any,
    is_long: bool,
    within: AbstractAsyncContextManager[None] | None = None,
) -> Any:
    """Return what a function of the worker has computed. Raises RequestError."""
    assert server.workers is not None
    try:
        outcome = await server.workers.run(function, *arguments, is_long=is_long, within=within)
    except FullError:
        detail = f"{server.workers.waiting:,} computations wait already."
        raise RequestError(problems.OVERLOADED, detail, headers=_RETRY_AFTER) from None
    except LostError:
        _log.error("a process of the pool was ended by something else")
        raise RequestError(problems.COMPUTATION_LOST, problems.COMPUTATION_LOST.description) from None
    return outcome.received()


async def _while_connected(request: HTTPRequest, work: Coroutine[Any, Any, T]) -> T:
    """Return what the work gives. It is canceled when the caller goes away: CallerGoneError is raised then."""
    working, gone = ensure_future(work), ensure_future(_disconnected(request))
    try:
        await wait((working, gone), return_when=FIRST_COMPLETED)
        if not working.done():
            raise CallerGoneError
        return working.result()
    finally:
        gone.cancel()
        if working.cancel():
            with suppress(CancelledError):
                await working


async def _disconnected(request: HTTPRequest) -> None:
    """Return when the caller has gone away. What else is sent is not read any more."""
    while (await request.receive())["type"] != "http.disconnect":
        pass


@asynccontextmanager
async def _deadline(request: HTTPRequest) -> AsyncIterator[None]:
    """Raise RequestError when the answer is not ready in time, or when the server stops before it is."""
    seconds = settings_of(request).answer_seconds
    try:
        async with timeout(seconds) as limit:
            yield
    except TimeoutError:
        if not limit.expired():
            raise
        detail = f"The answer was not ready within {seconds:g} seconds."
        raise RequestError(problems.ANSWER_TOO_SLOW, detail) from None
    except CancelledError:
        if not request.app.state["server"].draining:
            raise
        raise RequestError(problems.NOT_READY, "The server stopped before the answer was ready.") from None


def _threads(operation: Operation) -> ThreadPoolExecutor | None:
    """Return the threads that an operation runs in; None: those of all that computes and reads."""
    if operation.probe:
        return _PROBES
    return _CHANGES if operation.changes else None
