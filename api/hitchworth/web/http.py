"""One exchange with a caller: what is read from its request, and how an answer or a problem goes back."""

import re
from collections.abc import Mapping
from http import HTTPStatus
from logging import getLogger
from uuid import uuid4

import msgspec
from litestar import Request, Response
from litestar.datastructures import State
from litestar.exceptions import HTTPException, InternalServerException
from litestar.response.base import ASGIResponse

from hitchworth.web import problems
from hitchworth.web.problems import PROBLEM_JSON, Problem, RequestError

HTTPRequest = Request[None, None, State]

MOST_BYTES = 10_000_000
"""Of a body. A build of 10,000 lines has less than half of it."""

_PATIENCE = 10 * MOST_BYTES
"""So much of a body that is too large is still taken off the wire, else a caller that only writes misses the answer."""

_REQUEST_ID = re.compile(r"[A-Za-z0-9._-]{1,64}")
_log = getLogger("hitchworth.web")


def request_id(request: HTTPRequest) -> str:
    """The caller's own name for the request, where it is fit to be repeated; else one that is made here."""
    if "request_id" not in request.state:
        given = request.headers.get("x-request-id", "")
        request.state["request_id"] = given if _REQUEST_ID.fullmatch(given) else uuid4().hex
    return str(request.state["request_id"])


async def read_body(request: HTTPRequest) -> bytes:
    """The body, whether its length was announced or not. Raises RequestError when it is too large, or breaks off."""
    parts, size = [], 0
    try:
        async for part in request.stream():
            size += len(part)
            if size <= MOST_BYTES:
                parts.append(part)
            elif size > _PATIENCE:
                break
    except InternalServerException:
        raise RequestError(problems.BAD_REQUEST, "The body broke off.") from None
    if size > MOST_BYTES:
        raise RequestError(problems.BODY_TOO_LARGE, f"A body has at most {MOST_BYTES:,} bytes.")
    return b"".join(parts)


def reply(
    request: HTTPRequest,
    content: bytes,
    content_type: str,
    *,
    status: int = 200,
    headers: Mapping[str, str] | None = None,
) -> ASGIResponse:
    """An answer; to HEAD the same without its content."""
    sent = {**_always(request), **(headers or {})}
    head = request.method == "HEAD"
    if status != HTTPStatus.NOT_MODIFIED:
        sent |= {"content-type": content_type, "content-length": str(len(content))}
    body = b"" if head or status == HTTPStatus.NOT_MODIFIED else content
    return ASGIResponse(body=body, headers=sent, status_code=status, is_head_response=head)


def _always(request: HTTPRequest) -> dict[str, str]:
    """The headers of every answer."""
    return {"x-content-type-options": "nosniff", "x-request-id": request_id(request)}


def problem_answer(request: HTTPRequest, error: Exception) -> Response[bytes]:
    """The problem document of whatever went wrong."""
    known = error if isinstance(error, RequestError) else _as_request_error(error)
    problem = Problem(
        type=known.kind.type,
        title=known.kind.title,
        status=known.kind.status,
        detail=known.detail,
        instance=f"/requests/{request_id(request)}",
        errors=known.errors,
    )
    if known.kind is problems.INTERNAL_ERROR:
        _log.error("%s %s failed, request %s", request.method, request.url.path, request_id(request), exc_info=error)
    in_body = request.query_params.get("faults") == "in-body"
    return Response(
        b"" if request.method == "HEAD" else msgspec.json.encode(problem),
        media_type=PROBLEM_JSON,
        status_code=200 if in_body else problem.status,
        headers={**_always(request), "cache-control": "no-store", **known.headers},
    )


def _as_request_error(error: Exception) -> RequestError:
    """What the framework found wrong with a request; anything else is the server's own fault."""
    if not isinstance(error, HTTPException) or error.status_code >= 500:
        return RequestError(problems.INTERNAL_ERROR, "The server could not answer this request.")
    match error.status_code:
        case 404:
            return RequestError(problems.NOT_FOUND, "No resource has this address. GET / names what there is.")
        case 405:
            allow = (error.headers or {}).get("allow", "")
            methods = ", ".join(sorted(allow.split(", ")))
            return RequestError(
                problems.METHOD_NOT_ALLOWED, f"This address knows {methods}.", headers={"allow": methods}
            )
        case _:
            return RequestError(problems.BAD_REQUEST, str(error.detail))
