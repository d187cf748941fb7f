"""The batches as resources, and the stream that answers their lines while others still arrive."""

from asyncio import CancelledError, Future, ensure_future, timeout, to_thread
from collections.abc import AsyncIterator, Iterable
from logging import getLogger
from typing import Any

from litestar.response.streaming import ASGIStreamingResponse
from litestar.types import Receive, Send

from hitchworth.operations import batches
from hitchworth.operations.batches import Line, Lines, problem_line
from hitchworth.operations.renderings import AS_LINES, NDJSON
from hitchworth.web import problems
from hitchworth.web.http import HTTPRequest, request_id, response_headers, settings_of
from hitchworth.web.operation import Operation
from hitchworth.web.problems import RequestError

OPERATIONS: tuple[Operation, ...] = (
    Operation(
        method="POST",
        path="/v1/estimates/batch",
        tag="Appraisal",
        function=batches.create_estimate_batch,
        renderings=(AS_LINES,),
        files=(NDJSON,),
        streams=True,
        example="estimate-batch.ndjson",
    ),
    Operation(
        method="POST",
        path="/v1/gap-statements/batch",
        tag="Appraisal",
        function=batches.create_gap_statement_batch,
        renderings=(AS_LINES,),
        files=(NDJSON,),
        streams=True,
        example="gap-statement-batch.ndjson",
    ),
)

SENT_AT_ONCE = 32_000
"""Bytes of answers that are gathered before they are sent, while there are lines to answer."""

_log = getLogger("hitchworth.web")


class _GoneError(Exception):
    """The client has gone away."""


async def line_stream(operation: Operation, request: HTTPRequest) -> ASGIStreamingResponse:
    """Return the response that answers line by line.

    It begins when the first line has arrived: what is wrong before that is answered as with any request. Raises
    RequestError for a body without a line, or one that came too slowly.
    """
    stream = _Stream(operation, request)
    seconds = settings_of(request).receive_seconds
    try:
        first = [line async for line in stream.first_lines()]
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
    return _LineResponse(stream, first, response_headers(request) | {"cache-control": "no-store"})


class _LineResponse(ASGIStreamingResponse):
    """Sends the answers of a stream."""

    __slots__ = ()

    def __init__(self, stream: "_Stream", first: Iterable[Line], headers: dict[str, str]) -> None:
        super().__init__(iterator=stream.answers(first), headers=headers, media_type=NDJSON)

    async def send_body(self, send: Send, receive: Receive) -> None:
        """Send what is answered, as fast as the client reads. Nothing is sent to one that has gone away."""
        try:
            await self._stream(send)
        except _GoneError:
            return


class _Stream:
    """The lines of one request, and their answers."""

    def __init__(self, operation: Operation, request: HTTPRequest) -> None:
        settings = settings_of(request)
        self._operation, self._receive = operation, request.receive
        self._server = request.app.state["server"]
        self._receive_seconds, self._answer_seconds = settings.receive_seconds, settings.answer_seconds
        self._max_bytes = settings.max_body_bytes
        self._instance = f"/requests/{request_id(request)}"
        self._lines = Lines(settings.max_body_bytes)
        self._is_whole = False
        self._next: Future[Any] = ensure_future(self._receive())
        """The next piece of the body, received while the lines of this one are answered; after the last: nothing, or
        that the client has gone away."""

    async def first_lines(self) -> AsyncIterator[Line]:
        """Yield the lines of the first piece of the body that has one."""
        found = False
        while not found and not self._is_whole:
            for line in await self._next_lines():
                found = True
                yield line

    async def answers(self, first: Iterable[Line]) -> AsyncIterator[bytes]:
        """Yield the answers to the first lines and to all others, several at once. Raises _GoneError."""
        try:
            lines = first
            while True:
                gathered = bytearray()
                for line in lines:
                    gathered += await self._answer(line)
                    if len(gathered) >= SENT_AT_ONCE:
                        yield bytes(gathered)
                        gathered.clear()
                if gathered:
                    yield bytes(gathered)
                if self._is_whole:
                    return
                lines = await self._next_lines()
        except TimeoutError:
            detail = f"The next piece of the body has to arrive within {self._receive_seconds:g} seconds."
            yield problem_line(self._lines.number, problems.BODY_TOO_SLOW, detail, self._instance)
        finally:
            self.close()

    def close(self) -> None:
        """Receive no more."""
        self._next.cancel()

    async def _next_lines(self) -> list[Line]:
        """Return the lines that end in the next piece of the body, and the last one with its end."""
        async with timeout(self._receive_seconds):
            message = await self._next
        self._require_client()
        self._next = ensure_future(self._receive())
        lines = list(self._lines.feed(message.get("body", b"")))
        if not message.get("more_body", False):
            self._is_whole = True
            lines.extend(self._lines.end())
        return lines

    async def _answer(self, line: Line) -> bytes:
        """Return the answer to a line, worked out beside other requests."""
        self._require_client()
        try:
            async with timeout(self._answer_seconds) as limit:
                return await to_thread(self._work, line)
        except TimeoutError:
            if not limit.expired():
                raise
            detail = f"The answer was not ready within {self._answer_seconds:g} seconds."
            return problem_line(line.number, problems.ANSWER_TOO_SLOW, detail, self._instance)
        except CancelledError:
            if not self._server.draining:
                raise
            raise _GoneError from None

    def _require_client(self) -> None:
        """Raise _GoneError when it is known that the client has gone away."""
        if self._next.done() and self._next.result()["type"] == "http.disconnect":
            raise _GoneError

    def _work(self, line: Line) -> bytes:
        try:
            (answer,) = self._operation.function([line], self._instance, self._max_bytes)
        except Exception:
            _log.exception("line %d of a batch failed", line.number)
            detail = "The server could not respond to this line."
            return problem_line(line.number, problems.INTERNAL_ERROR, detail, self._instance)
        return bytes(answer)
