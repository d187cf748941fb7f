"""Over HTTP: an estimate beside a route of the same application that only decodes the body and sends it back.

One caller after the other on one connection; the time is that of the server's process (Linux).
"""

import socket
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from functools import partial
from http.client import HTTPConnection
from multiprocessing import get_context
from time import clock_gettime

import uvicorn
from litestar import Request, post
from litestar.datastructures import State
from litestar.response.base import ASGIResponse

from benchmark import bodies
from benchmark.computations import floor
from benchmark.timing import Effort, Job, Result, measured
from hitchworth.model.request import EstimateRequest
from hitchworth.web.app import create_app

GROUP = "Over HTTP, by the number of lines"
CLOCK_OF_PROCESS = 2
"""In Linux, the clock of a process is its number, inverted, with this in the last three bits."""

ECHO = floor(EstimateRequest)


def estimates_over_http(sizes: Sequence[int], effort: Effort) -> Iterator[Result]:
    """Return what an estimate costs the server, by the number of lines."""
    with _served() as (connection, process):
        clock = partial(clock_gettime, (~process << 3) | CLOCK_OF_PROCESS)
        jobs = []
        for size in sizes:
            new = bodies.renewed(bodies.request(bodies.build(size)))
            for name, path in (("echo of the body", "/echo"), ("estimate of a new build", "/v1/estimates")):
                run = partial(_asked, connection, path)
                jobs.append(Job(name=name, size=size, prepare=new, run=run, clock=clock))
        yield from measured(GROUP, jobs, effort)


@contextmanager
def _served() -> Iterator[tuple[HTTPConnection, int]]:
    with socket.create_server(("127.0.0.1", 0)) as listening:
        server = get_context("fork").Process(target=_serve, args=(listening,), daemon=True)
        server.start()
        assert server.pid is not None
        try:
            yield HTTPConnection(*listening.getsockname()), server.pid
        finally:
            server.terminate()
            server.join()


@post("/echo", status_code=200)
async def _echo(request: Request[None, None, State]) -> ASGIResponse:
    return ASGIResponse(body=ECHO(await request.body()), media_type="application/json")


def _serve(listening: socket.socket) -> None:
    application = create_app()
    application.register(_echo)
    uvicorn.Server(uvicorn.Config(application, log_level="error", access_log=False)).run(sockets=[listening])


def _asked(connection: HTTPConnection, path: str, body: bytes) -> None:
    """Send a body and read the answer, which must be one."""
    connection.request("POST", path, body, {"content-type": "application/json"})
    response = connection.getresponse()
    content = response.read()
    if response.status != 200:
        raise RuntimeError(f"{path} answered {response.status}: {content[:500]!r}")
