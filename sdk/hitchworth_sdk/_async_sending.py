"""Send a request and wait in an event loop: the asynchronous half of what a client needs; `_sending` is the other."""

import asyncio
from collections.abc import AsyncIterator, Callable
from importlib import import_module
from pathlib import Path
from time import monotonic
from typing import ParamSpec, TypeVar

import httpx2

from hitchworth_sdk._messages import Request, Response, partial_file
from hitchworth_sdk._route import Route
from hitchworth_sdk._timing import Timing
from hitchworth_sdk.errors import ClientClosedError, TransportError, UnreadableFile, UnwritableFile

T = TypeVar("T")
P = ParamSpec("P")
_CHUNK_BYTES = 256_000


class AsyncSender:
    """Sends requests by the HTTP client that was given, or by one of its own."""

    def __init__(
        self, route: Route, transport: httpx2.AsyncBaseTransport | None, http_client: httpx2.AsyncClient | None
    ) -> None:
        self._route = route
        self._owns = http_client is None
        self._closed = False
        carrier = transport or (httpx2.AsyncHTTPTransport(proxy=route.proxy) if http_client is None else None)
        self._http = http_client or httpx2.AsyncClient(transport=carrier)

    async def close(self) -> None:
        """Close the connections, unless they are those of a client that was given."""
        self._closed = True
        if self._owns:
            await self._http.aclose()

    async def send(self, request: Request, timing: Timing) -> Response | TransportError:
        """Send a request once; return its answer, or the error when none came.

        Raises ClientClosedError after the client was closed, UnreadableFile when the file of the body cannot be read.
        """
        if self._closed or self._http.is_closed:
            raise ClientClosedError
        remaining = None if timing.until is None else max(0.0, timing.until - monotonic())
        try:
            async with asyncio.timeout(remaining):
                return await self._sent(request, timing)
        except TimeoutError:
            return self._route.too_late(request, timing.deadline)

    async def pause(self, seconds: float) -> None:
        """Wait before a request is sent again."""
        await asyncio.sleep(seconds)

    async def work(self, function: Callable[P, T], *args: P.args, **kwargs: P.kwargs) -> T:
        """Do what takes a while on this machine, such as reading files, without holding up the event loop."""
        return await asyncio.to_thread(function, *args, **kwargs)

    async def _sent(self, request: Request, timing: Timing) -> Response | TransportError:
        headers = request.headers.copy()
        content: bytes | AsyncIterator[bytes] | None
        if isinstance(request.content, Path):
            headers["Content-Length"] = str(await asyncio.to_thread(_size_of, request.content))
            content = _pieces_of(request.content)
        else:
            content = request.content
        sending = self._http.stream(
            request.method,
            self._route.url(request),
            params=request.query,
            content=content,
            headers=headers,
            timeout=timing.silence(monotonic()),
        )
        try:
            async with sending as answer:
                return self._route.outcome(request, answer, await _content(request, answer))
        except httpx2.RequestError as error:
            return self._route.failure(request, error, timing.timeout)


def async_local_transport(database: str | None) -> httpx2.AsyncBaseTransport:
    """Return a transport to the application in this process, which starts at the first request."""
    transport: httpx2.AsyncBaseTransport = import_module("hitchworth_sdk._local").AsyncLocalTransport(database)
    return transport


async def _content(request: Request, answer: httpx2.Response) -> bytes:
    """Return the content of an answer; where a good one is to be written to a file, nothing of it."""
    if request.into is None or not answer.is_success:
        return await answer.aread()
    partial = partial_file(request.into)
    try:
        with await asyncio.to_thread(partial.open, "wb") as written:
            async for piece in answer.aiter_bytes():
                await asyncio.to_thread(written.write, piece)
        await asyncio.to_thread(partial.replace, request.into)
    except OSError as error:
        raise UnwritableFile(error.errno, error.strerror, str(request.into)) from error
    finally:
        await asyncio.to_thread(partial.unlink, missing_ok=True)
    return b""


def _size_of(path: Path) -> int:
    try:
        return path.stat().st_size
    except OSError as error:
        raise UnreadableFile(error.errno, error.strerror, str(path)) from error


async def _pieces_of(path: Path) -> AsyncIterator[bytes]:
    """Yield a file piece by piece."""
    try:
        file = await asyncio.to_thread(path.open, "rb")
        with file:
            while piece := await asyncio.to_thread(file.read, _CHUNK_BYTES):
                yield piece
    except OSError as error:
        raise UnreadableFile(error.errno, error.strerror, str(path)) from error
