"""Run the application: until it is interrupted, or beside other work in the same process."""

import socket
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from logging import getLogger
from threading import Thread
from time import monotonic, sleep

import uvicorn

from hitchworth.web.app import create_app

LOOPBACK = "127.0.0.1"
_START_WITHIN = 30.0


def serve(host: str = LOOPBACK, port: int = 8000) -> None:
    """Serve until the process is interrupted. Port 0: any that is free; the log names it.

    Raises OSError when the port is taken, or the host is none of this machine.
    """
    with _listening(host, port) as listening, suppress(KeyboardInterrupt):
        server = _server("info")
        getLogger("uvicorn.error").info("Serving on %s, until Ctrl+C.", _address(listening))
        server.run([listening])


@contextmanager
def running(host: str = LOOPBACK, port: int = 0) -> Iterator[str]:
    """Serve in a thread of this process, on a free port unless one is named; gives the base address.

    Raises OSError when the port is taken, RuntimeError when the server does not start.
    """
    with _listening(host, port) as listening:
        server = _server("warning")
        thread = Thread(target=server.run, args=([listening],), name="hitchworth-server", daemon=True)
        thread.start()
        try:
            _wait_until_started(server, thread)
            yield _address(listening)
        finally:
            server.should_exit = True
            thread.join()


def _listening(host: str, port: int) -> socket.socket:
    return socket.create_server((host, port), family=socket.AF_INET6 if ":" in host else socket.AF_INET)


def _address(listening: socket.socket) -> str:
    host, port, *_ = listening.getsockname()
    return f"http://[{host}]:{port}" if ":" in host else f"http://{host}:{port}"


def _server(log_level: str) -> uvicorn.Server:
    return uvicorn.Server(uvicorn.Config(create_app(), log_level=log_level, access_log=False))


def _wait_until_started(server: uvicorn.Server, thread: Thread) -> None:
    give_up = monotonic() + _START_WITHIN
    while not server.started:
        if not thread.is_alive() or monotonic() > give_up:
            raise RuntimeError("The server did not start.")
        sleep(0.01)
