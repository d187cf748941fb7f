"""One exchange with the API, without sending anything: how a request is made and how an answer is read.

Pure functions, so that every client (blocking or asynchronous) shares them and only adds the sending and the waiting.
"""

from collections.abc import Callable, Iterable, Mapping
from contextlib import suppress
from dataclasses import dataclass
from http import HTTPStatus
from typing import Generic, TypeVar
from urllib.parse import quote

import msgspec
from httpx2 import Headers

from hitchworth_sdk import errors
from hitchworth_sdk._messages import REQUEST_ID, Request, Response
from hitchworth_sdk._version import __version__

T = TypeVar("T")
JSON = "application/json"
PROBLEM_JSON = "application/problem+json"
LONGEST_EXCERPT = 200
UNREADABLE = (msgspec.MsgspecError, UnicodeDecodeError, RecursionError)

_BY_TYPE: dict[str, type[errors.ApiError]] = {
    "bad-request": errors.BadRequest,
    "malformed-body": errors.UnreadableBody,
    "invalid-parameter": errors.InvalidParameter,
    "not-found": errors.NotFound,
    "method-not-allowed": errors.MethodNotAllowed,
    "not-acceptable": errors.NotAcceptable,
    "body-too-large": errors.PayloadTooLarge,
    "unsupported-media-type": errors.UnsupportedMediaType,
    "invalid-input": errors.InvalidInput,
    "internal-error": errors.ServerError,
}
"""By the last part of the problem's type."""

_BY_STATUS: dict[int, type[errors.ApiError]] = {
    400: errors.BadRequest,
    404: errors.NotFound,
    405: errors.MethodNotAllowed,
    406: errors.NotAcceptable,
    413: errors.PayloadTooLarge,
    415: errors.UnsupportedMediaType,
    422: errors.InvalidInput,
    429: errors.TooManyRequests,
}


@dataclass(frozen=True, kw_only=True)
class Operation(Generic[T]):
    """One operation of the API: where it is, what it answers, and how the answer becomes a value."""

    method: str
    path: str
    decode: Callable[[bytes], T]
    media_type: str = JSON
    """Of the answer."""
    repeatable: bool = False
    """Asking twice is as good as asking once, so the request may be sent again when no answer came."""


def prepare(
    operation: Operation[T],
    request_id: str,
    body: msgspec.Struct | None = None,
    arguments: Mapping[str, str | None] | None = None,
    headers: Iterable[Mapping[str, str]] = (),
) -> Request:
    """The request for an operation. Arguments that its path does not name go into the query, None is left out.

    Later headers win over those before, but none over what tells the formats of the bodies.
    """
    given = {name: value for name, value in (arguments or {}).items() if value is not None}
    in_path = {name: quote(value, safe="") for name, value in given.items() if f"{{{name}}}" in operation.path}
    sent = Headers({"User-Agent": f"hitchworth-sdk/{__version__}", REQUEST_ID: request_id})
    for layer in headers:
        sent.update(layer)
    sent["Accept"] = f"{operation.media_type}, {PROBLEM_JSON};q=0.9"
    if body is not None:
        sent["Content-Type"] = JSON
    return Request(
        method=operation.method,
        path=operation.path.format_map(in_path),
        query={name: value for name, value in given.items() if name not in in_path},
        headers=sent,
        content=None if body is None else msgspec.json.encode(body),
    )


def read(operation: Operation[T], request: Request, outcome: Response | errors.TransportError) -> T:
    """The value that an operation gave.

    Raises the TransportError when no answer came, the ApiError for a problem, and UnexpectedAnswer for what is neither
    a problem nor of the format that was asked for.
    """
    if isinstance(outcome, errors.TransportError):
        raise outcome
    request_id = answered_id(request, outcome)
    if outcome.status >= HTTPStatus.BAD_REQUEST:
        raise api_error(outcome, request_id)
    if not HTTPStatus.OK <= outcome.status < HTTPStatus.MULTIPLE_CHOICES or outcome.media_type != operation.media_type:
        found = f"{outcome.media_type or 'nothing'} came, where {operation.media_type} was asked for"
        raise errors.UnexpectedAnswer(outcome.status, found, request_id)
    try:
        return operation.decode(outcome.content)
    except UNREADABLE as fault:
        raise errors.UnexpectedAnswer(outcome.status, f"cannot be read: {fault}", request_id) from fault


def answered_id(request: Request, response: Response) -> str:
    """The server's name for a request; ours when it tells none."""
    return response.headers.get(REQUEST_ID, request.id)


def api_error(response: Response, request_id: str) -> errors.ApiError:
    """The exception for an answer that tells of a problem: by its type, else by its status."""
    problem = read_problem(response)
    kind = _BY_TYPE.get(problem.type.rpartition("/")[2]) or _BY_STATUS.get(response.status)
    if kind is None:
        kind = errors.ServerError if response.status >= HTTPStatus.INTERNAL_SERVER_ERROR else errors.ApiError
    return kind(problem, request_id, response.retry_after)


def read_problem(response: Response) -> errors.Problem:
    """The problem document of an answer; one made up from its status when it has none, as those of gateways."""
    if response.media_type == PROBLEM_JSON:
        with suppress(*UNREADABLE):
            problem = msgspec.json.decode(response.content, type=errors.Problem)
            return msgspec.structs.replace(problem, status=response.status)
    excerpt = response.content.decode(errors="replace")[:LONGEST_EXCERPT].strip()
    return errors.Problem(title=reason(response.status), status=response.status, detail=excerpt)


def reason(status: int) -> str:
    try:
        return HTTPStatus(status).phrase
    except ValueError:  # no standard has it
        return "Problem"
