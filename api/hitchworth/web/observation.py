"""What is seen of each request: its id, a line in the log, the counts, a span.

The address is seen as its route (/v1/letters/{letter}), never as it was sent: what stands in for the braces, and the
query, are the caller's.
"""

import re
from dataclasses import dataclass
from logging import getLogger
from time import perf_counter
from typing import Any
from uuid import uuid4

from litestar.datastructures import Headers
from litestar.enums import ScopeType
from litestar.types import ASGIApp, HTTPScope, Message, Receive, Scope, Send
from structlog.contextvars import bound_contextvars

from hitchworth.web.metrics import AnsweredRequest, Metrics
from hitchworth.web.server_state import ServerState
from hitchworth.web.telemetry import Span, request_span

NO_ROUTE = "none"
"""The route of an address that the API does not have."""

_METHODS = frozenset({"GET", "HEAD", "POST", "PUT", "PATCH", "DELETE", "OPTIONS"})
_REQUEST_ID = re.compile(r"[A-Za-z0-9._-]{1,64}")
_LOGGED = ("workspace", "key", "problem")
"""What handlers note in the state of a request for its line in the log."""

_log = getLogger("hitchworth.access")


@dataclass
class _Exchange:
    """A request and its answer, as they pass by."""

    receive: Receive
    send: Send
    received: int = 0
    sent: int = 0
    status: int = 0
    """0: the caller was gone before there was an answer."""

    async def receive_counted(self) -> Any:
        message: Any = await self.receive()
        self.received += len(message.get("body", b""))
        return message

    async def send_counted(self, message: Message) -> None:
        if message["type"] == "http.response.start":
            self.status = message["status"]
        elif message["type"] == "http.response.body":
            self.sent += len(message.get("body", b""))
        await self.send(message)


class Observation:
    """ASGI middleware around the whole application."""

    def __init__(self, app: ASGIApp, metrics: Metrics, server: ServerState, *, access_log: bool) -> None:
        self._app = app
        self._metrics = metrics
        self._server = server
        self._access_log = access_log

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass a request on; what is no request is passed on unseen."""
        if scope["type"] != ScopeType.HTTP:
            await self._app(scope, receive, send)
            return
        self._server.in_flight += 1
        try:
            await self._observe(scope, _Exchange(receive, send))
        finally:
            self._server.in_flight -= 1

    async def _observe(self, scope: HTTPScope, exchange: _Exchange) -> None:
        started = perf_counter()
        headers = Headers.from_scope(scope)
        request_id = _request_id(headers)
        state = scope.setdefault("state", {})
        state["request_id"] = request_id
        with bound_contextvars(request_id=request_id), request_span(headers) as span:
            try:
                await self._app(scope, exchange.receive_counted, exchange.send_counted)
            finally:
                self._record(scope, exchange, span, perf_counter() - started)

    def _record(self, scope: HTTPScope, exchange: _Exchange, span: Span, seconds: float) -> None:
        answered = AnsweredRequest(
            method=scope["method"] if scope["method"] in _METHODS else "other",
            route=scope.get("path_template") or NO_ROUTE,
            status=exchange.status,
            seconds=round(seconds, 4),
            received=exchange.received,
            sent=exchange.sent,
        )
        self._metrics.record(answered)
        span.end(answered.method, answered.route, answered.status)
        if self._access_log:
            noted = {name: scope["state"][name] for name in _LOGGED if name in scope["state"]}
            _log.info("request", extra=answered._asdict() | noted)


def _request_id(headers: Headers) -> str:
    """Return the caller's X-Request-Id if it is safe to repeat, else a new one."""
    sent = headers.get("x-request-id", "")
    return sent if _REQUEST_ID.fullmatch(sent) else uuid4().hex
