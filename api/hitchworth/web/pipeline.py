"""The pipeline of every request: parameters, format, body, operation, response."""

import re
from asyncio import to_thread
from codecs import BOM_UTF8
from collections.abc import Mapping, Sequence
from hashlib import sha256
from typing import Any, Literal

import msgspec
from litestar.enums import HttpMethod
from litestar.handlers import HTTPRouteHandler
from litestar.response.base import ASGIResponse
from litestar.types import Receive, Scope, Send
from msgspec import Raw

from hitchworth import validation
from hitchworth.model.caller import Caller
from hitchworth.model.document import Locale
from hitchworth.model.fault import Fault
from hitchworth.operations.batches import FirstLine
from hitchworth.operations.evidence import Upload
from hitchworth.operations.renderings import AS_TABLE, JSON, NDJSON, Rendering
from hitchworth.web import problems
from hitchworth.web.access import caller_of, note_access, require_scope, store_of
from hitchworth.web.computation import Rendered, Result
from hitchworth.web.content_negotiation import preferred
from hitchworth.web.downloads import file_response
from hitchworth.web.field_selection import FieldTree, field_tree
from hitchworth.web.http import HTTPRequest, http_response, read_body, sent_tags, settings_of
from hitchworth.web.line_streams import line_stream
from hitchworth.web.operation import (
    ADDRESS,
    CALLER,
    FIRST_LINE,
    MERGE_PATCH,
    SENDER,
    SERVER,
    SHARED,
    STORE,
    UPLOAD,
    WORKSHOP,
    Cache,
    Operation,
)
from hitchworth.web.parameters import (
    invalid_parameters,
    parameter_values,
    query_parameter,
    reject_repeated_parameters,
    reject_unknown_parameters,
)
from hitchworth.web.problems import RequestError
from hitchworth.web.scheduling import CallerGoneError, computed
from hitchworth.web.uploads import received

FAULTS = Literal["in-body"]
CACHE_CONTROL: Mapping[Cache, str] = {
    "never": "no-store",
    "private": "private, no-cache",
    "public": "public, max-age=3600",
}
LARGE_ANSWER_BYTES = 64_000
"""A larger answer is compressed in a thread."""

_UTF_8 = re.compile(r'charset\s*=\s*("?)(utf-?8|us-ascii)\1')
"""ASCII is UTF-8 as well."""


class _NoResponse(ASGIResponse):
    """Nothing, for a caller who has gone away. Its status is that of a request in the log that had no answer."""

    __slots__ = ()

    def __init__(self) -> None:
        super().__init__(status_code=0)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Send nothing."""


def route(path: str, operations: Sequence[Operation]) -> HTTPRouteHandler:
    """Return one handler for all methods of a path, so that OPTIONS and 405 list every one of them."""
    by_method: dict[str, Operation] = {operation.method: operation for operation in operations}
    if "GET" in by_method:
        by_method["HEAD"] = by_method["GET"]

    async def handle(request: HTTPRequest) -> ASGIResponse:
        return await _respond(by_method[request.method], request)

    litestar_path = path.replace("}", ":str}")
    if any(operation.takes_rest for operation in operations):
        litestar_path = f"{litestar_path.removesuffix(':str}')}:path}}"
    methods = [HttpMethod(method) for method in by_method]
    return HTTPRouteHandler(litestar_path, http_method=methods, status_code=200, include_in_schema=False)(handle)


async def _respond(operation: Operation, request: HTTPRequest) -> ASGIResponse:
    """Answer a request, and keep in the log who asked for what."""
    if operation.deprecation is not None:
        request.state["headers"] = operation.deprecation.headers
    if not operation.probe:
        _reject_overload(request)
    elif operation.scope is None:
        return await _answer(operation, request, None)
    caller = await caller_of(operation, request)
    status = 500
    try:
        require_scope(operation, caller)
        response = await _answer(operation, request, caller)
        status = response.status_code
    except RequestError as error:
        status = error.kind.status
        raise
    finally:
        note_access(operation, request, caller, status)
    return response


async def _answer(operation: Operation, request: HTTPRequest, caller: Caller | None) -> ASGIResponse:
    if operation.takes_upload:
        async with received(request, store_of(request)) as upload:
            return await _answer_body(operation, request, caller, b"", upload)
    body = await read_body(request) if operation.request_type is not None and not operation.streams else b""
    return await _answer_body(operation, request, caller, body)


async def _answer_body(
    operation: Operation, request: HTTPRequest, caller: Caller | None, body: bytes, upload: Upload | None = None
) -> ASGIResponse:
    rendering = _negotiated_rendering(operation, request)
    request.state["rendering"] = rendering
    reject_unknown_parameters(operation, request)
    reject_repeated_parameters(operation, request)
    faults_in_body = query_parameter(request, "faults", FAULTS)
    rendered = Rendered(
        operation, rendering, *_table_parameters(operation, request), _fields(operation, request, rendering)
    )
    if faults_in_body and rendering in AS_TABLE and rendered.locale is None:
        request.state["table_locale"] = _locale_in(body)
    arguments = _arguments(operation, request, caller)
    if upload is not None:
        _require_no_encoding(request)
        arguments[UPLOAD] = upload
    elif operation.takes_file:
        _require_file(request, operation.files)
    elif operation.request_type is not None:
        _require_media_type(request, operation.media_type, body)
    if operation.streams:
        return await line_stream(rendered, request, query_parameter(request, FIRST_LINE, FirstLine) or 1)
    try:
        result = await computed(request, operation, arguments, body, rendered)
    except CallerGoneError:
        return _NoResponse()
    if not operation.gives_file and len(result.content) > LARGE_ANSWER_BYTES:
        return await to_thread(_response, operation, request, result, rendering)
    return _response(operation, request, result, rendering)


def _reject_overload(request: HTTPRequest) -> None:
    """Raise RequestError when more requests are in work than the server may have."""
    limit = settings_of(request).max_in_flight
    if request.app.state["server"].in_flight > limit:
        detail = f"The server has {limit:,} requests in work."
        raise RequestError(problems.OVERLOADED, detail, headers={"retry-after": "1"})


def _negotiated_rendering(operation: Operation, request: HTTPRequest) -> Rendering:
    by_name = {rendering.name: rendering for rendering in operation.renderings}
    name = query_parameter(request, "format", Literal[tuple(by_name)])
    if name is not None:
        return by_name[name]
    if operation.gives_file:  # its format is that of the file
        return operation.renderings[0]
    accept = ",".join(request.headers.getall("accept", []))
    rendering = preferred(accept, operation.renderings)
    if rendering is None:
        available = ", ".join(rendering.media_type for rendering in operation.renderings)
        detail = f"The response is available as {available}; Accept is {accept[:200]!r}."
        raise RequestError(problems.NOT_ACCEPTABLE, detail)
    return rendering


def _table_parameters(operation: Operation, request: HTTPRequest) -> tuple[str | None, str | None]:
    """Return which table of the result is asked for, and the locale of the spreadsheet that is to open it."""
    if not operation.tables:
        return None, None
    names = tuple(table.name for table in operation.tables)
    locale = request.state["table_locale"] = query_parameter(request, "table_locale", Locale)
    return query_parameter(request, "table", Literal[names]), locale


def _fields(operation: Operation, request: HTTPRequest, rendering: Rendering) -> FieldTree | None:
    """Return which parts of a large answer are asked for; None for all of it."""
    texts = request.query_params.getall("fields", [])
    if not operation.selects_fields or not texts:
        return None
    if rendering.media_type != JSON:
        fault = Fault(pointer="", detail="Only JSON has parts", expected="JSON, or no fields", found=rendering.name)
        raise invalid_parameters({"fields": (fault,)})
    try:
        return field_tree(texts, operation.response_type)
    except validation.InvalidInputError as error:
        raise invalid_parameters({"fields": error.faults}) from None


def _locale_in(body: bytes) -> str | None:
    """Return the locale of a body that may have faults."""
    try:
        return msgspec.json.decode(msgspec.json.decode(body, type=dict[str, Raw]).get("locale", Raw()), type=Locale)
    except (msgspec.MsgspecError, UnicodeDecodeError, RecursionError):
        return None


def _arguments(operation: Operation, request: HTTPRequest, caller: Caller | None) -> dict[str, Any]:
    """Return the arguments of the function but the body: parameters, records of parameters, the store, the caller."""
    arguments = operation.arguments(parameter_values(operation.parameters, request))
    if operation.needs_server:
        arguments[SERVER] = request.app.state["server"]
    if operation.needs_sender:
        arguments[SENDER] = request.app.state["sender"]
    if operation.needs_workshop:
        arguments[WORKSHOP] = request.app.state["workshop"]
    if operation.is_kept:
        arguments[STORE] = store_of(request)
    if operation.takes_address:
        arguments[ADDRESS] = str(request.base_url).rstrip("/")
    if operation.takes_caller:
        arguments[CALLER] = caller
    if operation.is_shared:
        arguments[SHARED] = request.state[SHARED]
    return arguments


def _require_media_type(request: HTTPRequest, wanted: str, body: bytes) -> None:
    """Raise RequestError unless the body is uncompressed JSON in UTF-8, of the media type that the operation takes.

    Any type that is JSON is JSON. A caller that cannot set a header, or does not think of it, sends none or that of a
    form: what begins as JSON is taken for it. A patch is a patch only if it says so.
    """
    content_type = request.headers.get("content-type", JSON)
    media_type, *parameters = (part.strip().lower() for part in content_type.split(";"))
    if MERGE_PATCH in (wanted, media_type):
        fits = media_type == wanted
    else:
        names_json = media_type.startswith("application/") and media_type.endswith("+json")
        fits = media_type == JSON or names_json or _begins_as_json(body)
    if not fits:
        detail = f"The Content-Type is {content_type[:100]!r}, and the body does not begin as JSON does."
        raise _unsupported(detail, accept=wanted)
    if any(part.startswith("charset") and not _UTF_8.fullmatch(part) for part in parameters):
        raise _unsupported(f"The Content-Type is {content_type[:100]!r}; JSON is UTF-8.", accept=wanted)
    _require_no_encoding(request)


def _begins_as_json(body: bytes) -> bool:
    """Return whether a body is an object, or an array, or meant as one: what is wrong further on is a fault of JSON."""
    return body.removeprefix(BOM_UTF8).lstrip()[:1] in (b"{", b"[")


def _require_file(request: HTTPRequest, files: Sequence[str]) -> None:
    """Raise RequestError for a body that is not the file itself. What kind of file it is, its content says."""
    content_type = request.headers.get("content-type", "").strip().lower()
    if content_type.startswith("multipart/"):
        raise _unsupported("The body is a form; send the file itself as the body.", accept=", ".join(files))
    if NDJSON in files and "charset" in content_type and not _UTF_8.search(content_type):
        raise _unsupported(f"The Content-Type is {content_type[:100]!r}; JSON is UTF-8.", accept=NDJSON)
    _require_no_encoding(request)


def _require_no_encoding(request: HTTPRequest) -> None:
    coding = request.headers.get("content-encoding", "identity").strip().lower()
    if coding != "identity":
        raise _unsupported(f"The Content-Encoding is {coding[:100]!r}.", accept_encoding="identity")


def _unsupported(detail: str, **headers: str) -> RequestError:
    sent = {name.replace("_", "-"): value for name, value in headers.items()}
    return RequestError(problems.UNSUPPORTED_MEDIA_TYPE, detail, headers=sent)


def _response(operation: Operation, request: HTTPRequest, result: Result, rendering: Rendering) -> ASGIResponse:
    if operation.gives_file:
        language = {} if result.language is None else {"content-language": result.language}
        own = {"cache-control": CACHE_CONTROL[operation.cache], **language, **result.headers}
        return file_response(request, result.content, own)
    headers = {"cache-control": CACHE_CONTROL[operation.cache], **result.headers}
    if operation.cache != "never":
        headers.setdefault("ETag", f'"{sha256(result.content).hexdigest()[:32]}"')
        headers["vary"] = "accept"
    if result.language is not None:
        headers["content-language"] = result.language
    if rendering.media_type == "text/html":
        headers["content-security-policy"] = operation.content_security_policy
    status = (
        304
        if operation.cache != "never" and _has(request, headers["ETag"])
        else 200
        if result.is_repeated
        else operation.status
    )
    # The tag of a revision is what a change names in If-Match: it stays as it is, and so does the content.
    compressible = "ETag" not in operation.headers
    content_type = _content_type(rendering)
    return http_response(
        request, result.content, content_type, status=status, headers=headers, compressible=compressible
    )


def _has(request: HTTPRequest, tag: str) -> bool:
    """Return whether the caller has this response already (RFC 9110, 13.1.2)."""
    return not {tag, "*"}.isdisjoint(sent_tags(request))


def _content_type(rendering: Rendering) -> str:
    media_type = rendering.media_type
    return f"{media_type}; charset=utf-8" if media_type.startswith("text/") else media_type
