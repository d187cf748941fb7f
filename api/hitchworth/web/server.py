"""Run the API: until interrupted, or in a thread beside other work."""

import gc
import socket
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from logging import getLogger
from threading import Thread
from time import monotonic, sleep

import uvicorn

from hitchworth.store import Store
from hitchworth.web.app import create_app

LOOPBACK = "127.0.0.1"
_START_TIMEOUT = 30.0


def serve(host: str = LOOPBACK, port: int = 8000, store: Store | None = None) -> None:
    """Serve until the process is interrupted. Port 0 takes any free port, and the log names it.

    Without a store, the server keeps nothing. Raises OSError when the port is taken or the host is not of this machine.
    """
    with _listening(host, port) as listening, suppress(KeyboardInterrupt):
        server = _server("info", store)
        tune_garbage_collector()
        getLogger("uvicorn.error").info("Serving on %s, until Ctrl+C.", _address(listening))
        server.run([listening])


@contextmanager
def running(host: str = LOOPBACK, port: int = 0, store: Store | None = None) -> Iterator[str]:
    """Serve in a thread of this process, on a free port unless one is given, and yield the base URL.

    Raises OSError when the port is taken, RuntimeError when the server does not start.
    """
    with _listening(host, port) as listening:
        server = _server("warning", store)
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


def _listening(host: str, port: int) -> socket.socket:
    return socket.create_server((host, port), family=socket.AF_INET6 if ":" in host else socket.AF_INET)


def _address(listening: socket.socket) -> str:
    host, port, *_ = listening.getsockname()
    return f"http://[{host}]:{port}" if ":" in host else f"http://{host}:{port}"


def _server(log_level: str, store: Store | None) -> uvicorn.Server:
    return uvicorn.Server(uvicorn.Config(create_app(store), log_level=log_level, access_log=False))


def _wait_until_started(server: uvicorn.Server, thread: Thread) -> None:
    give_up = monotonic() + _START_TIMEOUT
    while not server.started:
        if not thread.is_alive() or monotonic() > give_up:
            raise RuntimeError("The server did not start.")
        sleep(0.01)
