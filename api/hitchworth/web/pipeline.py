"""The one road of every operation: format of the answer, parameters, body, checks, function, answer."""

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
from hitchworth.exchange_rates import with_reference_rates
from hitchworth.localization.locales import resolve_locale
from hitchworth.model.fault import Fault
from hitchworth.web import problems
from hitchworth.web.clock import today
from hitchworth.web.content_negotiation import JSON, Rendering, preferred
from hitchworth.web.http import HTTPRequest, read_body, reply
from hitchworth.web.operation import BODY, Operation, Parameter
from hitchworth.web.problems import RequestError

FAULTS = Literal["in-body"]
KEPT_FOR = "public, max-age=3600"
PAGE_POLICY = "default-src 'none'; style-src 'unsafe-inline'; img-src data:; font-src data:"
"""A page that is answered loads nothing and runs nothing."""


LARGE = 64_000
"""Bytes of a body from which on the work on it is worth a thread."""

_UTF_8 = re.compile(r'charset\s*=\s*("?)utf-?8\1')


class _Answer(NamedTuple):
    """What goes back: the content, and the locale of its texts where one was asked for."""

    content: bytes
    language: str | None = None


def route(path: str, operations: Sequence[Operation]) -> HTTPRouteHandler:
    """The handler of an address, for all its methods: so that OPTIONS and 405 name every one of them."""
    by_method: dict[str, Operation] = {operation.method: operation for operation in operations}
    if "GET" in by_method:
        by_method["HEAD"] = by_method["GET"]

    async def handle(request: HTTPRequest) -> ASGIResponse:
        return await _answer(by_method[request.method], request)

    address = path.replace("}", ":str}")
    methods = [HttpMethod(method) for method in by_method]
    return HTTPRouteHandler(address, http_method=methods, status_code=200, include_in_schema=False)(handle)


async def _answer(operation: Operation, request: HTTPRequest) -> ASGIResponse:
    body = await read_body(request) if operation.body is not None else b""
    _refuse_unknown(operation, request)
    _known(request, "faults", FAULTS)
    rendering = _rendering(operation, request)
    arguments = {parameter.name: _argument(parameter, request) for parameter in operation.parameters}
    if operation.body is not None:
        _require_json(request)
    if operation.run_in_thread or len(body) > LARGE:
        answer = await to_thread(_compute, operation, arguments, body, rendering)
    else:
        answer = _compute(operation, arguments, body, rendering)
    return _cacheable(request, answer, rendering) if operation.cacheable else _uncached(request, answer, rendering)


def _compute(operation: Operation, arguments: dict[str, Any], body: bytes, rendering: Rendering) -> _Answer:
    """All the work: no other request is answered meanwhile, unless it is done in a thread."""
    if operation.body is None:
        return _Answer(rendering.render(operation.function(**arguments)))
    asked = _read(body, operation.body)
    content = rendering.render(operation.function(**arguments, **{BODY: asked}))
    return _Answer(content, resolve_locale(asked.locale).formats)


def _refuse_unknown(operation: Operation, request: HTTPRequest) -> None:
    known = [parameter.name for parameter in operation.parameters if parameter.place == "query"] + ["format", "faults"]
    faults = tuple(
        Fault(pointer="", detail="No parameter has this name", expected=f"one of {', '.join(known)}", found=name[:60])
        for name in request.query_params
        if name not in known
    )
    if faults:
        raise RequestError(problems.INVALID_PARAMETER, "The address has a parameter that is not known.", errors=faults)


def _rendering(operation: Operation, request: HTTPRequest) -> Rendering:
    by_name = {rendering.name: rendering for rendering in operation.renderings}
    wanted = _known(request, "format", Literal[tuple(by_name)])
    if wanted is not None:
        return by_name[wanted]
    accept = ",".join(request.headers.getall("accept", []))
    rendering = preferred(accept, operation.renderings)
    if rendering is None:
        offered = ", ".join(rendering.media_type for rendering in operation.renderings)
        raise RequestError(problems.NOT_ACCEPTABLE, f"The answer can be had as {offered}; Accept is {accept[:200]!r}.")
    return rendering


def _known(request: HTTPRequest, name: str, kind: Any) -> Any:
    """The query parameter, None when it is not there."""
    text = request.query_params.get(name)
    return None if text is None else _converted(name, text, kind)


def _argument(parameter: Parameter, request: HTTPRequest) -> Any:
    given = request.path_params if parameter.place == "path" else request.query_params
    if parameter.name not in given:
        return parameter.default
    return _converted(parameter.name, given[parameter.name], parameter.kind)


def _converted(name: str, text: str, kind: Any) -> Any:
    try:
        return validation.read_text(text, kind)
    except validation.InvalidInputError as error:
        faults = tuple(replace(fault, detail=f"{name}: {fault.detail}") for fault in error.faults)
        raise RequestError(problems.INVALID_PARAMETER, f"The parameter {name} is wrong.", errors=faults) from None


def _read(body: bytes, kind: Any) -> Any:
    try:
        return with_reference_rates(validation.read(body, kind, today()))
    except validation.MalformedBodyError as error:
        raise RequestError(problems.MALFORMED_BODY, str(error)) from None
    except validation.InvalidInputError as error:
        count = len(error.faults)
        detail = "The body has 1 fault." if count == 1 else f"The body has {count} faults."
        raise RequestError(problems.INVALID_INPUT, detail, errors=error.faults) from None


def _require_json(request: HTTPRequest) -> None:
    """A body without a Content-Type is taken for JSON: the simplest of callers send none."""
    given = request.headers.get("content-type", JSON)
    media_type, *parameters = (part.strip().lower() for part in given.split(";"))
    if media_type != JSON and not (media_type.startswith("application/") and media_type.endswith("+json")):
        raise RequestError(problems.UNSUPPORTED_MEDIA_TYPE, f"The body is {given[:100]!r}.", headers={"accept": JSON})
    if any(part.startswith("charset") and not _UTF_8.fullmatch(part) for part in parameters):
        detail = f"The body is {given[:100]!r}; JSON is UTF-8."
        raise RequestError(problems.UNSUPPORTED_MEDIA_TYPE, detail, headers={"accept": JSON})
    coding = request.headers.get("content-encoding", "identity").strip().lower()
    if coding != "identity":
        raise RequestError(
            problems.UNSUPPORTED_MEDIA_TYPE,
            f"The body is coded: {coding[:100]!r}.",
            headers={"accept-encoding": "identity"},
        )


def _uncached(request: HTTPRequest, answer: _Answer, rendering: Rendering) -> ASGIResponse:
    headers = {"cache-control": "no-store"}
    if answer.language is not None:
        headers["content-language"] = answer.language
    if rendering.media_type == "text/html":
        headers["content-security-policy"] = PAGE_POLICY
    return reply(request, answer.content, rendering.content_type, headers=headers)


def _cacheable(request: HTTPRequest, answer: _Answer, rendering: Rendering) -> ASGIResponse:
    tag = f'"{sha256(answer.content).hexdigest()[:32]}"'
    headers = {"etag": tag, "cache-control": KEPT_FOR, "vary": "accept"}
    known = {given.strip().removeprefix("W/") for given in request.headers.get("if-none-match", "").split(",")}
    status = 304 if known & {tag, "*"} else 200
    return reply(request, answer.content, rendering.content_type, status=status, headers=headers)
