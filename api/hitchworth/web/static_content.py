"""Content that is the same for every caller: compressed where he reads that, and not sent again where he has it."""

from collections.abc import Callable, Mapping
from functools import cache
from gzip import compress
from hashlib import sha256

from litestar.handlers import HTTPRouteHandler
from litestar.response.base import ASGIResponse

from hitchworth.web.content_coding import reads_gzip
from hitchworth.web.http import HTTPRequest, http_response, sent_tags

_PACKED = (".png", ".webp", ".jpg", ".xlsx")
"""Endings of what is compressed in itself."""


def content_route(
    path: str, content_type: str, content: Callable[[], bytes], headers: Mapping[str, str] | None = None
) -> HTTPRouteHandler:
    """Return the route of content that does not change while the server runs. It is made when it is first asked for."""
    held = cache(content)
    compressed = cache(lambda: compress(held(), mtime=0))
    is_packed = path.endswith(_PACKED)

    async def handle(request: HTTPRequest) -> ASGIResponse:
        if request.scope["raw_path"].endswith(b"/"):
            # Links are relative to an address without a slash at its end.
            own = {"location": f"../{path.rpartition('/')[2]}"}
            return http_response(request, b"", "text/plain", status=308, headers=own)
        chosen = {"cache-control": "public, no-cache", **(headers or {})}
        body = held
        if not is_packed:
            chosen["vary"] = "Accept-Encoding"
            if reads_gzip(",".join(request.headers.getall("accept-encoding", []))):
                body = compressed
                chosen["content-encoding"] = "gzip"
        tag = f'"{sha256(body()).hexdigest()[:32]}"'
        status = 304 if tag in sent_tags(request) else 200
        chosen["etag"] = tag
        return http_response(request, body(), content_type, status=status, headers=chosen, compressible=False)

    return HTTPRouteHandler(path, http_method=["GET", "HEAD"], status_code=200, include_in_schema=False)(handle)
