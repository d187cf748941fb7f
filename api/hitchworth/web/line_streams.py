"""Streams of lines, answered while others still arrive: in their order, several at once, a few of them in memory."""

from asyncio import FIRST_COMPLETED, CancelledError, Future, Task, create_task, ensure_future, sleep, timeout, wait
from collections import deque
from collections.abc import AsyncIterator, Iterable, Iterator, Sequence
from typing import Any

from litestar.response.streaming import ASGIStreamingResponse
from litestar.types import Receive, Send

from hitchworth.model.problem import ProblemType
from hitchworth.operations.batches import FirstLine, Line, Lines, problem_line
from hitchworth.web import problems
from hitchworth.web.computation import Rendered
from hitchworth.web.http import HTTPRequest, request_id, response_headers, settings_of
from hitchworth.web.problems import RequestError
from hitchworth.web.scheduling import LONG_COST, computed_lines, cost_of_lines, size_of
from hitchworth.web.server_state import ServerState

_AGAIN_SECONDS = 0.2
"""Time after which lines for which there was no room are tried again."""


class _GoneError(Exception):
    """The client has gone away, or the server stops."""


async def line_stream(rendered: Rendered, request: HTTPRequest, first_line: FirstLine) -> ASGIStreamingResponse:
    """Return the response that answers line by line; first_line: the number of the first one.

    It begins when the first line has arrived: what is wrong before that is answered as with any request. Raises
    RequestError for a body without a line, or one that came too slowly.
    """
    stream = _Stream(rendered, request, first_line)
    seconds = settings_of(request).receive_seconds
    try:
        first = await stream.first_lines()
    except TimeoutError:
        stream.close()
        detail = f"The first line has to arrive within {seconds:g} seconds."
        raise RequestError(problems.BODY_TOO_SLOW, detail, headers={"connection": "close"}) from None
    except _GoneError:
        stream.close()
        raise RequestError(problems.BAD_REQUEST, "The body is incomplete.") from None
    if not first:
        stream.close()
        raise RequestError(problems.MALFORMED_BODY, "The body has no line.")
    headers = response_headers(request) | {"cache-control": "no-store"}
    return _LineResponse(stream, first, headers, rendered.rendering.media_type, request.app.state["server"])


class _LineResponse(ASGIStreamingResponse):
    """Sends the answers of a stream."""

    __slots__ = ("_server",)

    def __init__(
        self, stream: "_Stream", first: Iterable[Line], headers: dict[str, str], media_type: str, server: ServerState
    ) -> None:
        super().__init__(iterator=stream.answers(first), headers=headers, media_type=media_type)
        self._server = server

    async def send_body(self, send: Send, receive: Receive) -> None:
        """Send what is answered, as fast as the client reads. Nothing is sent to one that has gone away.

        What is not answered when the server stops is left out.
        """
        try:
            await self._stream(send)
        except _GoneError:
            return
        except CancelledError:
            if not self._server.draining:
                raise


class _Stream:
    """The lines of one request, and their answers.

    Where there are processes, as many groups of lines as these are computed at once, and one more waits. No more is
    received until the first of them is answered, and no more is answered than the client reads.
    """

    def __init__(self, rendered: Rendered, request: HTTPRequest, first_line: FirstLine) -> None:
        settings = settings_of(request)
        server: ServerState = request.app.state["server"]
        self._rendered, self._request, self._receive = rendered, request, request.receive
        self._receive_seconds = settings.receive_seconds
        self._instance = f"/requests/{request_id(request)}"
        self._lines = Lines(settings.max_body_bytes, first_line)
        self._head = rendered.head() if first_line == 1 else b""
        self._most = 1 if server.workers is None else server.workers.count + 1
        self._waiting: deque[Sequence[Line]] = deque()
        self._begun: deque[Task[bytes]] = deque()
        self._is_whole = False
        self._next: Future[Any] = ensure_future(self._receive())
        """The next piece of the body, received while the lines of this one are answered; after the last: nothing, or
        that the client has gone away."""

    async def first_lines(self) -> list[Line]:
        """Return the lines of the first piece of the body that has one."""
        lines: list[Line] = []
        async with timeout(self._receive_seconds):
            while not lines and not self._is_whole:
                await wait((self._next,))
                lines = self._received()
        return lines

    async def answers(self, first: Iterable[Line]) -> AsyncIterator[bytes]:
        """Yield the answers to the first lines and to all others, several at once. Raises _GoneError.

        The first line has what is before the answers with it: those to later ones go on after others.
        """
        self._waiting.extend(self._groups(first))
        try:
            if self._head:
                yield self._head
            while True:
                self._begin()
                if self._begun and self._begun[0].done():
                    yield self._begun.popleft().result()
                elif not self._begun and self._is_whole:
                    return
                else:
                    await self._advance()
        except TimeoutError:
            detail = f"The next piece of the body has to arrive within {self._receive_seconds:g} seconds."
            yield self._problem(self._lines.number, problems.BODY_TOO_SLOW, detail)
        finally:
            self.close()

    def close(self) -> None:
        """Receive no more, and compute no more."""
        self._next.cancel()
        for each in self._begun:
            each.cancel()

    def _begin(self) -> None:
        """Begin with as many groups of lines as may be in work."""
        while self._waiting and len(self._begun) < self._most:
            self._begun.append(create_task(self._answer(self._waiting.popleft())))

    async def _advance(self) -> None:
        """Wait until the first answer is there, or more lines are if there is room for them.

        Raises TimeoutError when there is nothing to do and no line arrives, and _GoneError.
        """
        if self._begun:
            watched: set[Future[Any]] = {self._begun[0]} if self._next.done() else {self._begun[0], self._next}
            await wait(watched, return_when=FIRST_COMPLETED)
        else:
            async with timeout(self._receive_seconds):
                await wait((self._next,))
        if self._next.done():
            self._require_client()
            if not (self._is_whole or self._waiting or len(self._begun) == self._most):
                self._waiting.extend(self._groups(self._received()))

    def _received(self) -> list[Line]:
        """Return the lines that end in the piece that has been received, and the last one with its end."""
        self._require_client()
        message = self._next.result()
        self._next = ensure_future(self._receive())
        lines = list(self._lines.feed(message.get("body", b"")))
        if not message.get("more_body", False):
            self._is_whole = True
            lines.extend(self._lines.end())
        return lines

    def _require_client(self) -> None:
        """Raise _GoneError when what has been received is that the client has gone away."""
        if self._next.result()["type"] == "http.disconnect":
            raise _GoneError

    def _groups(self, lines: Iterable[Line]) -> Iterator[Sequence[Line]]:
        """Yield lines in groups that are short to compute, but for a line that is long by itself.

        In a thread, each is a group: it cannot be stopped before the last of them.
        """
        group: list[Line] = []
        size = 0
        for line in lines:
            size += size_of(line)
            if group and (self._most == 1 or cost_of_lines(self._rendered.operation, size) > LONG_COST):
                yield group
                group, size = [], size_of(line)
            group.append(line)
        if group:
            yield group

    async def _answer(self, lines: Sequence[Line]) -> bytes:
        """Return the answers to lines. Where they cannot be had together, each has its own. Raises _GoneError."""
        while True:
            try:
                return await computed_lines(self._request, self._rendered, lines, self._instance)
            except RequestError as error:
                if error.kind is problems.NOT_READY:
                    raise _GoneError from None
                if error.kind is problems.OVERLOADED:
                    await sleep(_AGAIN_SECONDS)
                elif len(lines) > 1:
                    return b"".join([await self._answer([line]) for line in lines])
                else:
                    return self._problem(lines[0].number, error.kind, error.detail)

    def _problem(self, number: int, kind: ProblemType, detail: str) -> bytes:
        """Return the answer to a line that could not be computed, in the format of the others."""
        return self._rendered.lines([problem_line(number, kind, detail, self._instance)])
