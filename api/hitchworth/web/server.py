"""Run the API: until it is stopped, or in a thread beside other work."""

import gc
import os
import socket
import sys
from collections.abc import Iterator
from contextlib import AbstractContextManager, ExitStack, contextmanager, nullcontext, suppress
from logging import getLogger
from math import ceil
from tempfile import TemporaryDirectory
from threading import Thread, Timer
from time import monotonic, sleep
from types import FrameType
from typing import Any

import uvicorn

from hitchworth.operations.settings import Settings
from hitchworth.operations.webhook_delivery import sender_of
from hitchworth.store import Store
from hitchworth.store.database import IN_MEMORY
from hitchworth.web.app import create_app
from hitchworth.web.connections import bounded_protocol
from hitchworth.web.hosts import keys_are_required
from hitchworth.web.log import configure_log, is_for_a_person
from hitchworth.web.server_state import ServerState, StorePlace
from hitchworth.web.telemetry import export_spans
from hitchworth.web.webhook_delivery import delivering
from hitchworth.web.worker import prepare
from hitchworth.web.worker_pool import WorkerPool

__all__ = ["keys_are_required", "running", "serve", "tune_garbage_collector"]

_START_TIMEOUT = 30.0
_KILL_AFTER = 2.0
"""Seconds that a thread still has after the requests were cut off."""

_log = getLogger("hitchworth.server")


class _Server(uvicorn.Server):
    """A server that tells the application when it is asked to stop, and goes on answering for a while."""

    ends_process = False
    """The process does nothing else, so it ends when the time to stop is over, whatever its threads still do."""

    def __init__(self, settings: Settings, store: Store | None, state: ServerState, **log: Any) -> None:
        """log: the arguments of uvicorn.Config that are about its log."""
        self._settings = settings
        self.state = state
        self._stop_at: float | None = None
        super().__init__(
            uvicorn.Config(
                create_app(store, settings, self.state),
                access_log=False,
                server_header=False,
                http=bounded_protocol(settings.max_connections, settings.head_seconds),
                timeout_graceful_shutdown=ceil(settings.stop_seconds),
                **log,
            )
        )

    def handle_exit(self, sig: int, frame: FrameType | None) -> None:
        """Begin to drain at the first signal; stop at the second, as without draining."""
        if self.state.draining or not self._settings.drain_seconds:
            self.state.draining = True
            super().handle_exit(sig, frame)
            return
        self._captured_signals.append(sig)
        self.state.draining = True
        self._stop_at = monotonic() + self._settings.drain_seconds

    async def on_tick(self, counter: int) -> bool:
        """Say whether to stop. The framework asks ten times a second."""
        if self._stop_at is not None and monotonic() >= self._stop_at:
            self.should_exit = True
        return await super().on_tick(counter)

    async def shutdown(self, sockets: list[socket.socket] | None = None) -> None:
        """Finish what is in work, for a limited time."""
        self.state.draining = True
        if self.ends_process:
            _end_process_after(self._settings.stop_seconds + _KILL_AFTER)
        await super().shutdown(sockets)


def serve(settings: Settings, store: Store | None = None) -> None:
    """Serve until the process is interrupted or terminated. Port 0 takes any free port, and the log names it.

    Requests in work are finished, for `stop_seconds` at most. A computation that goes on longer ends with the process.

    Raises OSError when the port is taken or the host is not of this machine, ModuleNotFoundError when telemetry is
    wanted and not installed.
    """
    if settings.telemetry:
        export_spans()
    with _listening(settings) as listening, ExitStack() as started, suppress(KeyboardInterrupt):
        configure_log(settings)
        server = _Server(settings, store, started.enter_context(_state(settings, _processors())), log_config=None)
        server.ends_process = True
        tune_garbage_collector()
        if is_for_a_person(settings):
            print(f"Serving on {_address(listening)}, until Ctrl+C.", file=sys.stderr, flush=True)
            print(f"A page for people, to open in a browser: {_address(listening)}/", file=sys.stderr, flush=True)
        else:
            _log.info("Serving on %s, until Ctrl+C.", _address(listening))
            _log.info("A page for people, to open in a browser: %s/", _address(listening))
        with _delivering(settings, store, server.state):
            server.run([listening])


@contextmanager
def running(settings: Settings | None = None, store: Store | None = None) -> Iterator[str]:
    """Serve in a thread of this process, on a free port unless one is given, and yield the base URL.

    Long answers are computed in threads, too, unless the settings say how many processes are to do it.

    Raises OSError when the port is taken, RuntimeError when the server does not start.
    """
    chosen = settings or Settings(port=0, access_log=False)
    with _listening(chosen) as listening, _state(chosen, 0) as state:
        server = _Server(chosen, store, state, log_level="warning")
        thread = Thread(target=server.run, args=([listening],), name="hitchworth-server", daemon=True)
        thread.start()
        try:
            _wait_until_started(server, thread)
            yield _address(listening)
        finally:
            server.should_exit = True
            thread.join()


def tune_garbage_collector() -> None:
    """Collect less often, and never what is loaded already, so that no request waits long for a collection.

    This is for a process that does nothing but serve: it changes the collector of the whole process.
    """
    gc.collect()
    gc.freeze()
    gc.set_threshold(50_000, 20, 20)


@contextmanager
def _state(settings: Settings, default: int) -> Iterator[ServerState]:
    """Yield the state of a server that begins, with its processes, which it starts. default: how many there are."""
    count = default if settings.workers is None else settings.workers
    if not count:
        yield ServerState()
        return
    with TemporaryDirectory(prefix="hitchworth-answers-", ignore_cleanup_errors=True) as folder:
        yield ServerState(
            workers=WorkerPool(count, settings.max_waiting, prepare),
            store_place=_store_place(settings),
            folder=folder,
        )


def _store_place(settings: Settings) -> StorePlace | None:
    """Return where another process finds the store; None where only this one has it."""
    if settings.database is None or settings.database == IN_MEMORY:
        return None
    return StorePlace(settings.database, settings.evidence)


def _processors() -> int:
    """Return how many processors this process may use."""
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


def _delivering(settings: Settings, store: Store | None, state: ServerState) -> AbstractContextManager[None]:
    """Send the messages to webhooks while the server runs, if it keeps builds and is to send them."""
    if store is None or not settings.webhooks:
        return nullcontext()
    return delivering(store, sender_of(settings), state)


def _end_process_after(seconds: float) -> None:
    """End this process in so many seconds if it is still there: a thread cannot be stopped otherwise."""

    def end() -> None:
        _log.error("Time to stop is over: a request was still in work, or the log of who did what not written.")
        os._exit(1)

    timer = Timer(seconds, end)
    timer.daemon = True
    timer.start()


def _listening(settings: Settings) -> socket.socket:
    family = socket.AF_INET6 if ":" in settings.host else socket.AF_INET
    return socket.create_server((settings.host, settings.port), family=family)


def _address(listening: socket.socket) -> str:
    host, port, *_ = listening.getsockname()
    return f"http://[{host}]:{port}" if ":" in host else f"http://{host}:{port}"


def _wait_until_started(server: uvicorn.Server, thread: Thread) -> None:
    give_up = monotonic() + _START_TIMEOUT
    while not server.started:
        if not thread.is_alive() or monotonic() > give_up:
            raise RuntimeError("The server did not start.")
        sleep(0.01)
