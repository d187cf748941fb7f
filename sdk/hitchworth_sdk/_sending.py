"""Send a request and wait: the blocking half of what a client needs. The other half is `_async_sending`."""

from collections.abc import Callable, Iterable
from concurrent.futures import Future
from contextlib import AbstractContextManager, nullcontext
from contextvars import copy_context
from importlib import import_module
from pathlib import Path
from threading import Thread
from time import monotonic, sleep
from typing import IO, ParamSpec, TypeVar

import httpx2

from hitchworth_sdk._messages import Request, Response, partial_file
from hitchworth_sdk._route import Route
from hitchworth_sdk._timing import Timing
from hitchworth_sdk.errors import ClientClosedError, TransportError, UnreadableFile, UnwritableFile

T = TypeVar("T")
P = ParamSpec("P")


class Sender:
    """Sends requests by the HTTP client that was given, or by one of its own."""

    def __init__(self, route: Route, transport: httpx2.BaseTransport | None, http_client: httpx2.Client | None) -> None:
        self._route = route
        self._owns = http_client is None
        self._closed = False
        carrier = transport or (httpx2.HTTPTransport(proxy=route.proxy) if http_client is None else None)
        self._http = http_client or httpx2.Client(transport=carrier)

    def close(self) -> None:
        """Close the connections, unless they are those of a client that was given."""
        self._closed = True
        if self._owns:
            self._http.close()

    def send(self, request: Request, timing: Timing) -> Response | TransportError:
        """Send a request once; return its answer, or the error when none came.

        Raises ClientClosedError after the client was closed, UnreadableFile when the file of the body cannot be read.
        """
        if self._closed or self._http.is_closed:
            raise ClientClosedError
        if timing.until is None:
            return self._sent(request, timing)
        return self._sent_by_then(request, timing, timing.until)

    def pause(self, seconds: float) -> None:
        """Wait before a request is sent again."""
        sleep(seconds)

    def work(self, function: Callable[P, T], *args: P.args, **kwargs: P.kwargs) -> T:
        """Do what takes a while on this machine, such as reading files."""
        return function(*args, **kwargs)

    def _sent_by_then(self, request: Request, timing: Timing, until: float) -> Response | TransportError:
        """Send in a thread, which nobody waits for after the deadline.

        Nothing else ends each wait in time: that for the address of a host, and that for an answer which trickles in.
        """
        outcome: Future[Response | TransportError] = Future()
        context = copy_context()

        def carry() -> None:
            try:
                outcome.set_result(context.run(self._sent, request, timing))
            except BaseException as error:
                outcome.set_exception(error)

        Thread(target=carry, name="hitchworth-sdk-request", daemon=True).start()
        try:
            return outcome.result(timeout=max(0.0, until - monotonic()))
        except TimeoutError:
            return self._route.too_late(request, timing.deadline)

    def _sent(self, request: Request, timing: Timing) -> Response | TransportError:
        with _opened(request.content) as content:
            sending = self._http.stream(
                request.method,
                self._route.url(request),
                params=request.query,
                content=content,
                headers=request.headers,
                timeout=timing.silence(monotonic()),
            )
            try:
                with sending as answer:
                    pieces = _in_time(answer.iter_bytes(), timing)
                    return self._route.outcome(request, answer, _content(request, answer, pieces))
            except httpx2.RequestError as error:
                return self._route.failure(request, error, timing.timeout)


def local_transport(database: str | None) -> httpx2.BaseTransport:
    """Return a transport to the application in this process. Raises ConfigurationError when it cannot start."""
    transport: httpx2.BaseTransport = import_module("hitchworth_sdk._local").LocalTransport(database)
    return transport


def _in_time(pieces: Iterable[bytes], timing: Timing) -> Iterable[bytes]:
    """Yield the pieces of an answer. Raises TimeoutError after the deadline: nobody waits for the rest."""
    for piece in pieces:
        yield piece
        if timing.until is not None and monotonic() > timing.until:
            raise TimeoutError


def _content(request: Request, answer: httpx2.Response, pieces: Iterable[bytes]) -> bytes:
    """Return the content of an answer; where a good one is to be written to a file, nothing of it."""
    if request.into is None or not answer.is_success:
        return b"".join(pieces)
    partial = partial_file(request.into)
    try:
        with partial.open("wb") as written:
            written.writelines(pieces)
        partial.replace(request.into)
    except OSError as error:
        raise UnwritableFile(error.errno, error.strerror, str(request.into)) from error
    finally:
        partial.unlink(missing_ok=True)
    return b""


def _opened(content: bytes | Path | None) -> AbstractContextManager[bytes | IO[bytes] | None]:
    """Open a file that is sent piece by piece: anew each time that it is sent."""
    if not isinstance(content, Path):
        return nullcontext(content)
    try:
        return content.open("rb")
    except OSError as error:
        raise UnreadableFile(error.errno, error.strerror, str(content)) from error
