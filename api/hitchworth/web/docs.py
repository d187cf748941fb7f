"""The documentation: the guide, the OpenAPI description, and the reference of the API. Nothing loads from elsewhere."""

from asyncio import to_thread
from functools import partial
from importlib.resources import files
from importlib.resources.abc import Traversable
from mimetypes import guess_type
from pathlib import Path

from litestar.handlers import HTTPRouteHandler
from litestar.response.base import ASGIResponse

from hitchworth.guide.chapters import FOLDER, HOME, chapter_names
from hitchworth.guide.pages import chapter_page, found_page
from hitchworth.operations.renderings import JSON, NDJSON
from hitchworth.web.http import HTTPRequest, http_response
from hitchworth.web.static_content import content_route

_HTML = "text/html; charset=utf-8"
_GUIDE_POLICY = (
    "default-src 'none'; style-src 'self'; img-src 'self'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'"
)
"""The guide runs no script at all."""

_REFERENCE_POLICY = "default-src 'self'; style-src 'self' 'unsafe-inline'; img-src 'self' data:; object-src 'none'"
EXAMPLES = (
    ("hitchworth.demo", "gap_request.json"),
    *(
        ("hitchworth.web.examples", name)
        for name in (
            "depreciated-value.csv",
            "estimate-batch.ndjson",
            "estimate.json",
            "progress-bill.json",
            "quote.json",
            "receipts.csv",
            "sales-comparison.json",
        )
    ),
)
"""The files that chapters of the guide begin with: package and name."""


def documentation_routes() -> list[HTTPRouteHandler]:
    """Return the routes of the documentation."""
    guide = {"content-security-policy": _GUIDE_POLICY}
    reference = {"content-security-policy": _REFERENCE_POLICY}
    own = files("hitchworth.web.reference_files")
    swagger = files("openapi_ui_bundles.swagger_ui").joinpath("vendor")
    return [
        content_route("/openapi.json", JSON, description),
        content_route("/docs", _HTML, partial(chapter_page, HOME), guide),
        *(content_route(f"/docs/{name}", _HTML, partial(chapter_page, name), guide) for name in chapter_names()[1:]),
        HTTPRouteHandler("/docs/search", http_method=["GET", "HEAD"], status_code=200, include_in_schema=False)(
            _search
        ),
        _file("guide.css", FOLDER),
        *(_file(f"pictures/{picture.name}", FOLDER) for picture in FOLDER.joinpath("pictures").iterdir()),
        *(_file(f"examples/{name}", files(package), name) for package, name in EXAMPLES),
        content_route("/docs/reference", _HTML, own.joinpath("reference.html").read_bytes, reference),
        *(_file(name, own) for name in ("reference.css", "reference.js")),
        *(_file(name, swagger) for name in ("swagger-ui.css", "swagger-ui-bundle.js")),
    ]


def description() -> bytes:
    """Return the description of the API as it was printed: in a distribution it is in the package."""
    packaged = files("hitchworth.web").joinpath("openapi.json")
    source = Path(__file__).parents[3] / "openapi" / "hitchworth.json"
    return packaged.read_bytes() if packaged.is_file() else source.read_bytes()


async def _search(request: HTTPRequest) -> ASGIResponse:
    query = request.query_params.get("q", "")
    headers = {"cache-control": "no-store", "content-security-policy": _GUIDE_POLICY}
    return http_response(request, await to_thread(found_page, query), _HTML, headers=headers)


def _file(address: str, folder: Traversable, name: str | None = None) -> HTTPRouteHandler:
    """Return the route of a file. Its name in the folder is its address below /docs, unless another is named."""
    kind = NDJSON if address.endswith(".ndjson") else guess_type(address)[0] or "application/octet-stream"
    content_type = f"{kind}; charset=utf-8" if kind.startswith("text/") else kind
    return content_route(f"/docs/{address}", content_type, folder.joinpath(name or address).read_bytes)
