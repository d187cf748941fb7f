"""HTTP requests and responses: the body and the id of a request, the headers of a response, problem documents."""

from asyncio import timeout
from collections.abc import AsyncIterator, Mapping
from http import HTTPStatus
from logging import getLogger

import msgspec
from litestar import Request, Response
from litestar.datastructures import State
from litestar.exceptions import HTTPException, InternalServerException
from litestar.response.base import ASGIResponse
from litestar.response.streaming import ASGIStreamingResponse

from hitchworth.localization.locales import SOURCE
from hitchworth.model.fault import Fault
from hitchworth.operations.renderings import AS_CELL, AS_TABLE
from hitchworth.operations.settings import Settings
from hitchworth.operations.tables import FilledTable
from hitchworth.validation.errors import in_a_line, other_rows
from hitchworth.web import problems
from hitchworth.web.content_coding import coded, plain_tag
from hitchworth.web.problems import PROBLEM_JSON, Problem, RequestError

HTTPRequest = Request[None, None, State]

MAX_TIMES_READ = 10
"""A body that is too large is read up to so many times the limit and discarded: a client that writes it all before it
reads the response would miss the response otherwise."""

_BY_NAME = {rendering.name: rendering for rendering in (AS_CELL[0], *AS_TABLE)}
"""The formats that say what is wrong in their own way, for a request that is refused before its format is read."""

_encode = msgspec.json.Encoder().encode
_log = getLogger("hitchworth.web")


def request_id(request: HTTPRequest) -> str:
    """Return the id of the request: the caller's X-Request-Id, or the one that it was given."""
    return str(request.state["request_id"])


def settings_of(request: HTTPRequest) -> Settings:
    """Return the settings of the server."""
    settings: Settings = request.app.state["settings"]
    return settings


async def read_body(request: HTTPRequest) -> bytes:
    """Return the body, with or without a Content-Length.

    Raises RequestError when it is too large, incomplete or too slow.
    """
    settings = settings_of(request)
    limit, chunks, size = settings.max_body_bytes, [], 0
    try:
        async with timeout(settings.receive_seconds):
            async for chunk in request.stream():
                size += len(chunk)
                if size <= limit:
                    chunks.append(chunk)
                elif size > MAX_TIMES_READ * limit:
                    break
    except InternalServerException:
        raise RequestError(problems.BAD_REQUEST, "The body is incomplete.") from None
    except TimeoutError:
        detail = f"The body has to arrive within {settings.receive_seconds:g} seconds."
        raise RequestError(problems.BODY_TOO_SLOW, detail, headers={"connection": "close"}) from None
    if size > limit:
        raise RequestError(problems.BODY_TOO_LARGE, f"The limit is {limit:,} bytes.")
    return b"".join(chunks)


def http_response(
    request: HTTPRequest,
    content: bytes,
    content_type: str,
    *,
    status: int = 200,
    headers: Mapping[str, str] | None = None,
    compressible: bool = True,
) -> ASGIResponse:
    """Return a response, compressed where the caller reads that. That to HEAD has the headers of GET and no content."""
    own = dict(headers or {})
    if compressible:
        accepted = ",".join(request.headers.getall("accept-encoding", []))
        content, own = coded(content, content_type, own, accepted)
    all_headers = {**response_headers(request), **own}
    head = request.method == "HEAD"
    if status != HTTPStatus.NOT_MODIFIED:
        all_headers |= {"content-type": content_type, "content-length": str(len(content))}
    body = b"" if head or status == HTTPStatus.NOT_MODIFIED else content
    return ASGIResponse(body=body, headers=all_headers, status_code=status, is_head_response=head)


def streamed_response(
    request: HTTPRequest, pieces: AsyncIterator[bytes], *, status: int, headers: Mapping[str, str]
) -> ASGIResponse:
    """Return a response whose content is sent piece by piece. `headers` have its type and its length."""
    all_headers = {**response_headers(request), **headers}
    if request.method == "HEAD":
        return ASGIResponse(body=b"", headers=all_headers, status_code=status, is_head_response=True)
    return ASGIStreamingResponse(iterator=pieces, headers=all_headers, status_code=status)


def sent_tags(request: HTTPRequest) -> set[str]:
    """Return the tags of what the caller has already (RFC 9110, 13.1.2)."""
    sent = ",".join(request.headers.getall("if-none-match", []))
    return {plain_tag(value.strip().removeprefix("W/")) for value in sent.split(",")}


def response_headers(request: HTTPRequest) -> dict[str, str]:
    """Return the headers of every response."""
    own: dict[str, str] = request.state.get("headers", {})
    return {"x-content-type-options": "nosniff", "x-request-id": request_id(request), **own}


def problem_response(request: HTTPRequest, error: Exception) -> Response[bytes]:
    """Return the problem document of an error. The application calls this for every exception."""
    request_error = error if isinstance(error, RequestError) else _as_request_error(error)
    problem = Problem(
        type=request_error.kind.type,
        title=request_error.kind.title,
        status=request_error.kind.status,
        detail=request_error.detail,
        instance=f"/requests/{request_id(request)}",
        errors=request_error.errors,
        fault_count=request_error.fault_count,
    )
    if request_error.kind is problems.INTERNAL_ERROR:
        _log.error("request failed", exc_info=error)
    request.state["problem"] = problem.type
    in_body = request.query_params.get("faults") == "in-body"
    content, media_type = _in_format_of_answer(request, problem) if in_body else (_encode(problem), PROBLEM_JSON)
    return Response(
        b"" if request.method == "HEAD" else content,
        media_type=media_type,
        status_code=200 if in_body else problem.status,
        headers={
            **response_headers(request),
            "cache-control": "no-store",
            "link": f'<{_relative_address(request, problem.type)}>; rel="help"',
            **request_error.headers,
        },
    )


def _relative_address(request: HTTPRequest, path: str) -> str:
    """Return a path of this server relative to the address that was asked for.

    Behind a proxy with a prefix, which the server does not know, it leads to the right place (RFC 3986, 5.2).
    """
    depth = request.scope["raw_path"].count(b"/") - 1
    return "../" * depth + path.removeprefix("/")


def _in_format_of_answer(request: HTTPRequest, problem: Problem) -> tuple[bytes, str]:
    """Return a problem as its caller reads the answer: as a line of text or a table where that is what it asked for."""
    rendering = request.state.get("rendering") or _BY_NAME.get(request.query_params.get("format", ""))
    if rendering is not None and rendering.name == "text":
        return f"Error: {_in_a_line(problem)}".encode(), rendering.media_type
    if rendering in AS_TABLE:
        locale = request.state.get("table_locale") or SOURCE
        table = FilledTable(name="faults", record=ProblemRow, rows=_rows(problem), locale=locale)
        return rendering.render(table), rendering.media_type
    return _encode(problem), PROBLEM_JSON


def _in_a_line(problem: Problem) -> str:
    return "; ".join(in_a_line(fault, whole="") for fault in problem.errors) or problem.detail


class ProblemRow(msgspec.Struct, frozen=True, kw_only=True):
    """A row of a problem as a table: a fault, or the problem itself."""

    problem: str
    pointer: str
    detail: str
    expected: str
    found: str


def _rows(problem: Problem) -> tuple[ProblemRow, ...]:
    faults = problem.errors or (Fault(pointer="", detail=problem.detail, expected="", found=""),)
    return tuple(
        ProblemRow(
            problem=problem.type.rpartition("/")[2],
            pointer=fault.pointer,
            detail=f"{fault.detail}; {other_rows(fault)}" if fault.also_at else fault.detail,
            expected=fault.expected,
            found=fault.found,
        )
        for fault in faults
    )


def _as_request_error(error: Exception) -> RequestError:
    """Convert what the framework raised. Anything unexpected is an error of the server."""
    if not isinstance(error, HTTPException) or error.status_code >= 500:
        return RequestError(problems.INTERNAL_ERROR, "The server could not respond to this request.")
    match error.status_code:
        case 404:
            return RequestError(problems.NOT_FOUND, "There is no resource at this address. GET / lists where to start.")
        case 405:
            allow = (error.headers or {}).get("allow", "")
            methods = ", ".join(sorted(allow.split(", ")))
            return RequestError(
                problems.METHOD_NOT_ALLOWED, f"This address supports {methods}.", headers={"allow": methods}
            )
        case _:
            return RequestError(problems.BAD_REQUEST, str(error.detail))
