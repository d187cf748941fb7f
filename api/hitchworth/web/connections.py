"""The connections of the server: as many as it may have, the head of each request bounded in size and time.

The library that reads HTTP has no bounds of its own: it gathers a header of any length, in time that grows with its
square, and waits for the rest of it forever. And where a client offers to go over to another protocol, such as HTTP/2,
it takes the offer: it ends the request with its head. The server takes none (RFC 9110, 7.8), so it reads the body.
"""

from array import array
from asyncio import BaseTransport, Protocol, TimerHandle, Transport
from http import HTTPStatus
from typing import cast
from uuid import uuid4

import msgspec
from httptools import HttpParserUpgrade, HttpRequestParser
from uvicorn.protocols.http.httptools_impl import HttpToolsProtocol

from hitchworth.web import problems
from hitchworth.web.problems import PROBLEM_JSON, Problem, ProblemType

MAX_HEAD_BYTES = 64_000
"""Of the address and the headers, and of what else comes between the pieces of a body."""


def bounded_protocol(max_connections: int, head_seconds: float) -> type[Protocol]:
    """Return the protocol of connections, no more than so many, whose heads arrive in so many seconds."""

    class Bounded(_BoundedProtocol):
        pass

    Bounded.max_connections, Bounded.head_seconds = max_connections, head_seconds
    return Bounded


class _Parser(HttpRequestParser):
    """Reads on after an offer to go over to another protocol, as if it had not been made."""

    def __init__(self, protocol: "_BoundedProtocol") -> None:
        super().__init__(protocol)
        self.set_dangerous_leniencies(lenient_data_after_close=True)  # as the parser has it that this one replaces
        self._protocol = protocol

    def offers_protocol(self) -> bool:
        """Whether a head that is complete has an offer. CONNECT has none, but no body either."""
        return self.should_upgrade() and self.get_method() != b"CONNECT"

    def feed_data(self, data: "bytes | bytearray | memoryview | array[int]") -> None:
        """Read what has come, and once more, without its offer, each head that has one."""
        left = memoryview(data)
        while True:
            try:
                super().feed_data(left)
            except HttpParserUpgrade as ended:
                if not self.offers_protocol():
                    raise
                left = left[ended.args[0] :]
                super().feed_data(self._head_without_offer())
            else:
                return

    def _head_without_offer(self) -> bytes:
        protocol = self._protocol
        first = b"%b %b HTTP/%b" % (self.get_method(), protocol.url, self.get_http_version().encode())
        fields = (b"%b: %b" % (name, value) for name, value in protocol.headers if name != b"upgrade")
        return b"\r\n".join((first, *fields, b"", b""))


class _BoundedProtocol(HttpToolsProtocol):
    """What comes between the pieces of a body is counted, and the time of each head is taken."""

    max_connections: int
    head_seconds: float
    parser: _Parser
    _is_in_head = True
    _uncounted = 0
    """Bytes since the last piece of a body, or the last request."""
    _timer: TimerHandle | None = None

    def connection_made(self, transport: BaseTransport) -> None:
        """Begin to wait for a request, or refuse the connection."""
        super().connection_made(cast("Transport", transport))
        self.parser = _Parser(self)
        if len(self.connections) > self.max_connections:
            self._refuse(problems.OVERLOADED, f"The server has {self.max_connections:,} connections.", "retry-after: 1")
        else:
            self._take_time()

    def connection_lost(self, exc: Exception | None) -> None:
        """Wait for nothing more."""
        self._stop_timer()
        super().connection_lost(exc)

    def data_received(self, data: bytes) -> None:
        """Read on, unless too much of a head has come."""
        if self.transport.is_closing():
            return
        self._uncounted += len(data)
        super().data_received(data)
        if self.transport.is_closing():
            return
        if self._uncounted > MAX_HEAD_BYTES:
            self._refuse_large()
        elif self._is_in_head and self._uncounted and self._timer is None:
            self._take_time()

    def on_headers_complete(self) -> None:
        """End the head, unless it is read once more. One that came in a single piece has not been counted before."""
        if self.transport.is_closing() or self.parser.offers_protocol():
            return
        self._is_in_head, self._uncounted = False, 0
        self._stop_timer()
        if len(self.url) + sum(len(name) + len(value) for name, value in self.headers) > MAX_HEAD_BYTES:
            self._refuse_large()
        else:
            super().on_headers_complete()

    def on_body(self, body: bytes) -> None:
        """Take a piece of the body, whose size is limited elsewhere."""
        self._uncounted = 0
        if not self.transport.is_closing():
            super().on_body(body)

    def on_message_complete(self) -> None:
        """Begin with the head of the next request, or read that of this one once more."""
        if self.transport.is_closing() or self.parser.offers_protocol():
            return
        self._is_in_head, self._uncounted = True, 0
        super().on_message_complete()

    def send_400_response(self, msg: str) -> None:
        """Refuse what is no HTTP, as every other request is refused."""
        self._refuse(problems.BAD_REQUEST, msg)

    def _take_time(self) -> None:
        self._timer = self.loop.call_later(self.head_seconds, self._refuse_slow)

    def _stop_timer(self) -> None:
        if self._timer is not None:
            self._timer.cancel()
            self._timer = None

    def _refuse_large(self) -> None:
        self._refuse(problems.HEAD_TOO_LARGE, f"The limit is {MAX_HEAD_BYTES:,} bytes.")

    def _refuse_slow(self) -> None:
        detail = f"The head of the request has to arrive within {self.head_seconds:g} seconds."
        self._refuse(problems.HEAD_TOO_SLOW, detail)

    def _refuse(self, kind: ProblemType, detail: str, *headers: str) -> None:
        """Answer with a problem, unless an answer is on its way, and close the connection."""
        self._stop_timer()
        if self.transport.is_closing():
            return
        if self.cycle is None or self.cycle.response_complete:
            self.transport.write(_problem(kind, detail, headers))
        self.transport.close()


def _problem(kind: ProblemType, detail: str, headers: tuple[str, ...]) -> bytes:
    """Return a whole HTTP response."""
    request = uuid4().hex
    problem = Problem(
        type=kind.type, title=kind.title, status=kind.status, detail=detail, instance=f"/requests/{request}"
    )
    content = msgspec.json.encode(problem)
    head = (
        f"HTTP/1.1 {kind.status} {HTTPStatus(kind.status).phrase}",
        f"content-type: {PROBLEM_JSON}",
        f"content-length: {len(content)}",
        f"x-request-id: {request}",
        "x-content-type-options: nosniff",
        "cache-control: no-store",
        "connection: close",
        *headers,
    )
    return "\r\n".join((*head, "", "")).encode() + content
