"""Pages of other sites that may call the API from a browser: CORS, by exact origins, without cookies."""

from litestar.datastructures import Headers
from litestar.datastructures.headers import MutableScopeHeaders
from litestar.enums import ScopeType
from litestar.types import ASGIApp, Message, Receive, Scope, Send

from hitchworth.operations.settings import Settings

METHODS = "DELETE, GET, HEAD, PATCH, POST, PUT"
REQUEST_HEADERS = "accept, authorization, content-type, idempotency-key, if-match, if-none-match, x-request-id"
RESPONSE_HEADERS = "ETag, Link, Location, RateLimit, RateLimit-Policy, Retry-After, WWW-Authenticate, X-Request-Id"
"""What a page may read beside the body."""
PREFLIGHT_SECONDS = "600"


def allowed_origins(settings: Settings) -> frozenset[str]:
    """Return the origins whose pages may call the server."""
    return frozenset(origin.strip() for origin in settings.cors_origins.split(",") if origin.strip())


class CrossOrigin:
    """ASGI middleware that tells a browser which pages may call.

    A page that is not allowed is told nothing, so its browser sends nothing but what any form could, and shows it
    nothing; the pipeline refuses that as well.
    """

    def __init__(self, app: ASGIApp, origins: frozenset[str]) -> None:
        self._app = app
        self._origins = origins

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer the preflight of an allowed page; pass on anything else, and mark the response."""
        if scope["type"] != ScopeType.HTTP:
            await self._app(scope, receive, send)
            return
        headers = Headers.from_scope(scope)
        origin = headers.get("origin", "")
        allowed = origin in self._origins
        if allowed and scope["method"] == "OPTIONS" and "access-control-request-method" in headers:
            await _answer_preflight(send, origin)
            return

        async def send_marked(message: Message) -> None:
            if message["type"] == "http.response.start":
                marked = MutableScopeHeaders.from_message(message)
                marked.add("vary", "origin")
                if allowed:
                    marked["access-control-allow-origin"] = origin
                    marked["access-control-expose-headers"] = RESPONSE_HEADERS
            await send(message)

        await self._app(scope, receive, send_marked)


async def _answer_preflight(send: Send, origin: str) -> None:
    headers = {
        "access-control-allow-origin": origin,
        "access-control-allow-methods": METHODS,
        "access-control-allow-headers": REQUEST_HEADERS,
        "access-control-max-age": PREFLIGHT_SECONDS,
        "vary": "origin",
    }
    encoded = [(name.encode(), value.encode()) for name, value in headers.items()]
    await send({"type": "http.response.start", "status": 204, "headers": encoded})
    await send({"type": "http.response.body", "body": b"", "more_body": False})
