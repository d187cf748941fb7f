"""The documentation: the OpenAPI description, and a page to read and try the API. Nothing loads from elsewhere."""

from collections.abc import Callable
from functools import cache
from importlib.resources import files
from mimetypes import guess_type

from litestar.handlers import HTTPRouteHandler
from litestar.response.base import ASGIResponse

from hitchworth.operations.renderings import JSON
from hitchworth.web.http import HTTPRequest, http_response
from hitchworth.web.openapi import document_json

_CONTENT_SECURITY_POLICY = (
    "default-src 'self'; style-src 'self' 'unsafe-inline'; img-src 'self' data:; object-src 'none'"
)
_ASSETS = ("swagger-ui.css", "swagger-ui-bundle.js", "favicon-32x32.png")
_PAGE = b"""<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>Hitchworth API</title>
<link rel="icon" href="/docs/favicon-32x32.png">
<link rel="stylesheet" href="/docs/swagger-ui.css">
</head>
<body>
<div id="page"></div>
<noscript>This page needs JavaScript. The description is at <a href="/openapi.json">/openapi.json</a>.</noscript>
<script src="/docs/swagger-ui-bundle.js"></script>
<script src="/docs/start.js"></script>
</body>
</html>
"""
_START_SCRIPT = b"""SwaggerUIBundle({url: "/openapi.json", dom_id: "#page", deepLinking: true, validatorUrl: null});
"""


def documentation_routes() -> list[HTTPRouteHandler]:
    """Return the routes of the documentation."""
    return [
        _route("/openapi.json", JSON, document_json),
        _route("/docs", "text/html; charset=utf-8", lambda: _PAGE),
        _route("/docs/start.js", "text/javascript; charset=utf-8", lambda: _START_SCRIPT),
        *(_route(f"/docs/{name}", guess_type(name)[0] or "", _asset(name)) for name in _ASSETS),
    ]


def _route(path: str, content_type: str, content: Callable[[], bytes]) -> HTTPRouteHandler:
    async def handle(request: HTTPRequest) -> ASGIResponse:
        headers = {"cache-control": "public, max-age=3600", "content-security-policy": _CONTENT_SECURITY_POLICY}
        return http_response(request, content(), content_type, headers=headers)

    return HTTPRouteHandler(path, http_method=["GET", "HEAD"], status_code=200, include_in_schema=False)(handle)


def _asset(name: str) -> Callable[[], bytes]:
    return cache(files("openapi_ui_bundles.swagger_ui").joinpath("vendor", name).read_bytes)
