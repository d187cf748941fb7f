"""The pipeline of every request: parameters, format, body, operation, response."""

import re
from asyncio import to_thread
from collections.abc import Sequence
from hashlib import sha256
from typing import Any, Literal, NamedTuple

from litestar.enums import HttpMethod
from litestar.handlers import HTTPRouteHandler
from litestar.response.base import ASGIResponse
from msgspec.structs import replace

from hitchworth import validation
from hitchworth.localization.locales import resolve_locale
from hitchworth.model.fault import Fault
from hitchworth.operations.imports import UnreadableFileError
from hitchworth.operations.renderings import FILES, JSON, Rendering
from hitchworth.operations.requests import read_request
from hitchworth.validation.type_inspection import is_record
from hitchworth.web import problems
from hitchworth.web.content_negotiation import preferred
from hitchworth.web.http import HTTPRequest, http_response, read_body
from hitchworth.web.operation import REQUEST, Operation, Parameter
from hitchworth.web.problems import RequestError

FAULTS = Literal["in-body"]
CACHE_CONTROL = "public, max-age=3600"
CONTENT_SECURITY_POLICY = "default-src 'none'; style-src 'unsafe-inline'; img-src data:; font-src data:"
"""A page in a response loads nothing and runs nothing."""

LARGE_BODY_BYTES = 64_000
"""A larger body is processed in a thread."""

_UTF_8 = re.compile(r'charset\s*=\s*("?)utf-?8\1')


class _Result(NamedTuple):
    """The content of a response, and the locale of its texts if the request named one."""

    content: bytes
    language: str | None = None


def route(path: str, operations: Sequence[Operation]) -> HTTPRouteHandler:
    """Return one handler for all methods of a path, so that OPTIONS and 405 list every one of them."""
    by_method: dict[str, Operation] = {operation.method: operation for operation in operations}
    if "GET" in by_method:
        by_method["HEAD"] = by_method["GET"]

    async def handle(request: HTTPRequest) -> ASGIResponse:
        return await _respond(by_method[request.method], request)

    litestar_path = path.replace("}", ":str}")
    methods = [HttpMethod(method) for method in by_method]
    return HTTPRouteHandler(litestar_path, http_method=methods, status_code=200, include_in_schema=False)(handle)


async def _respond(operation: Operation, request: HTTPRequest) -> ASGIResponse:
    body = await read_body(request) if operation.request_type is not None else b""
    _reject_unknown_parameters(operation, request)
    _query_parameter(request, "faults", FAULTS)
    rendering = _negotiated_rendering(operation, request)
    arguments = {parameter.name: _argument(parameter, request) for parameter in operation.parameters}
    if operation.takes_file:
        _require_file(request)
    elif operation.request_type is not None:
        _require_json(request)
    if operation.run_in_thread or len(body) > LARGE_BODY_BYTES:
        result = await to_thread(_run, operation, arguments, body, rendering)
    else:
        result = _run(operation, arguments, body, rendering)
    return (_cacheable_response if operation.cacheable else _uncached_response)(request, result, rendering)


def _run(operation: Operation, arguments: dict[str, Any], body: bytes, rendering: Rendering) -> _Result:
    """Run the operation and render its result. Outside a thread, this holds up every other request."""
    language = None
    if operation.takes_file:
        arguments[REQUEST] = body
        language = resolve_locale(arguments["locale"]).formats
    elif operation.request_type is not None:
        request = arguments[REQUEST] = _read_request(body, operation.request_type)
        language = resolve_locale(request.locale).formats
    try:
        return _Result(rendering.render(operation.function(**arguments)), language)
    except UnreadableFileError as error:
        fault = Fault(pointer="", detail=str(error), expected=f"one of {', '.join(FILES)}")
        raise RequestError(problems.INVALID_INPUT, "The file cannot be read.", errors=(fault,)) from None
    except validation.InvalidInputError as error:
        if operation.request_type is not None:
            raise _invalid_input(error) from None
        raise _invalid_parameter(error.faults[0].pointer.removeprefix("/"), error) from None


def _reject_unknown_parameters(operation: Operation, request: HTTPRequest) -> None:
    names = [parameter.name for parameter in operation.parameters if parameter.place == "query"] + ["format", "faults"]
    faults = tuple(
        Fault(pointer="", detail="Unknown parameter", expected=f"one of {', '.join(names)}", found=name[:60])
        for name in request.query_params
        if name not in names
    )
    if faults:
        raise RequestError(problems.INVALID_PARAMETER, "The query has an unknown parameter.", errors=faults)


def _negotiated_rendering(operation: Operation, request: HTTPRequest) -> Rendering:
    by_name = {rendering.name: rendering for rendering in operation.renderings}
    name = _query_parameter(request, "format", Literal[tuple(by_name)])
    if name is not None:
        return by_name[name]
    accept = ",".join(request.headers.getall("accept", []))
    rendering = preferred(accept, operation.renderings)
    if rendering is None:
        available = ", ".join(rendering.media_type for rendering in operation.renderings)
        detail = f"The response is available as {available}; Accept is {accept[:200]!r}."
        raise RequestError(problems.NOT_ACCEPTABLE, detail)
    return rendering


def _query_parameter(request: HTTPRequest, name: str, kind: Any) -> Any:
    """Return the value of a query parameter; None when it is missing."""
    text = request.query_params.get(name)
    return None if text is None else _parse_parameter(name, text, kind)


def _argument(parameter: Parameter, request: HTTPRequest) -> Any:
    values = request.path_params if parameter.place == "path" else request.query_params
    if parameter.name not in values:
        return parameter.default
    return _parse_parameter(parameter.name, values[parameter.name], parameter.kind)


def _parse_parameter(name: str, text: str, kind: Any) -> Any:
    try:
        return validation.read(text.encode(), kind) if is_record(kind) else validation.read_text(text, kind)
    except validation.MalformedBodyError as error:
        raise RequestError(problems.INVALID_PARAMETER, f"The parameter {name} is no JSON: {error}") from None
    except validation.InvalidInputError as error:
        raise _invalid_parameter(name, error) from None


def _invalid_parameter(name: str, error: validation.InvalidInputError) -> RequestError:
    faults = tuple(
        replace(fault, pointer="", detail=f"{name}{fault.pointer.removeprefix(f'/{name}')}: {fault.detail}")
        for fault in error.faults
    )
    return RequestError(problems.INVALID_PARAMETER, f"The parameter {name} is invalid.", errors=faults)


def _read_request(body: bytes, kind: Any) -> Any:
    try:
        return read_request(body, kind)
    except validation.MalformedBodyError as error:
        raise RequestError(problems.MALFORMED_BODY, str(error)) from None
    except validation.InvalidInputError as error:
        raise _invalid_input(error) from None


def _invalid_input(error: validation.InvalidInputError) -> RequestError:
    detail = f"The body has {error.summary}."
    return RequestError(problems.INVALID_INPUT, detail, errors=error.faults, fault_count=error.count)


def _require_json(request: HTTPRequest) -> None:
    """Raise RequestError unless the body is uncompressed JSON in UTF-8. Without a Content-Type it is taken as JSON."""
    content_type = request.headers.get("content-type", JSON)
    media_type, *parameters = (part.strip().lower() for part in content_type.split(";"))
    if media_type != JSON and not (media_type.startswith("application/") and media_type.endswith("+json")):
        raise _unsupported(f"The Content-Type is {content_type[:100]!r}.", accept=JSON)
    if any(part.startswith("charset") and not _UTF_8.fullmatch(part) for part in parameters):
        raise _unsupported(f"The Content-Type is {content_type[:100]!r}; JSON is UTF-8.", accept=JSON)
    _require_no_encoding(request)


def _require_file(request: HTTPRequest) -> None:
    """Raise RequestError for a body that is not the file itself. What kind of file it is, its content says."""
    if request.headers.get("content-type", "").strip().lower().startswith("multipart/"):
        raise _unsupported("The body is a form; send the file itself as the body.", accept=", ".join(FILES))
    _require_no_encoding(request)


def _require_no_encoding(request: HTTPRequest) -> None:
    coding = request.headers.get("content-encoding", "identity").strip().lower()
    if coding != "identity":
        raise _unsupported(f"The Content-Encoding is {coding[:100]!r}.", accept_encoding="identity")


def _unsupported(detail: str, **headers: str) -> RequestError:
    sent = {name.replace("_", "-"): value for name, value in headers.items()}
    return RequestError(problems.UNSUPPORTED_MEDIA_TYPE, detail, headers=sent)


def _uncached_response(request: HTTPRequest, result: _Result, rendering: Rendering) -> ASGIResponse:
    headers = {"cache-control": "no-store"}
    if result.language is not None:
        headers["content-language"] = result.language
    if rendering.media_type == "text/html":
        headers["content-security-policy"] = CONTENT_SECURITY_POLICY
    return http_response(request, result.content, _content_type(rendering), headers=headers)


def _cacheable_response(request: HTTPRequest, result: _Result, rendering: Rendering) -> ASGIResponse:
    tag = f'"{sha256(result.content).hexdigest()[:32]}"'
    headers = {"etag": tag, "cache-control": CACHE_CONTROL, "vary": "accept"}
    cached = {value.strip().removeprefix("W/") for value in request.headers.get("if-none-match", "").split(",")}
    status = 304 if cached & {tag, "*"} else 200
    return http_response(request, result.content, _content_type(rendering), status=status, headers=headers)


def _content_type(rendering: Rendering) -> str:
    media_type = rendering.media_type
    return f"{media_type}; charset=utf-8" if media_type.startswith("text/") else media_type
