"""One exchange with the API without any input or output: how a request is made, and how its answer is read.

Pure functions. A client adds the sending and the waiting.
"""

import re
from collections.abc import Callable, Iterable, Mapping
from contextlib import suppress
from dataclasses import dataclass, replace
from http import HTTPStatus
from pathlib import Path
from typing import Any, Final, Generic, TypeVar
from urllib.parse import quote

import msgspec
from httpx2 import Headers

from hitchworth_sdk import errors
from hitchworth_sdk._messages import REQUEST_ID, Request, Response
from hitchworth_sdk._version import __version__
from hitchworth_sdk.errors import ConfigurationError

T = TypeVar("T")
IDEMPOTENCY_KEY = "Idempotency-Key"
JSON = "application/json"
FILE = "application/octet-stream"
PROBLEM_JSON = "application/problem+json"
EXCERPT_LENGTH = 200
"""Characters of an answer that is no problem document, as the detail of the error."""
NO_BODY: Final = object()
"""Of a request without a body: null is a body too."""
_HEADER_NAME = re.compile(r"[!#$%&'*+.^_`|~0-9A-Za-z-]+")
_HEADER_VALUE = re.compile(r"([!-~]([ \t!-~]*[!-~])?)?")
"""As RFC 9110, section 5.5, without its obsolete characters above ASCII."""
DECODE_ERRORS = (msgspec.MsgspecError, UnicodeDecodeError, RecursionError)

_BY_TYPE: dict[str, type[errors.ApiError]] = {
    "bad-request": errors.BadRequest,
    "malformed-body": errors.UnreadableBody,
    "invalid-parameter": errors.InvalidParameter,
    "not-found": errors.NotFound,
    "method-not-allowed": errors.MethodNotAllowed,
    "not-acceptable": errors.NotAcceptable,
    "key-required": errors.KeyRefused,
    "forwarded": errors.KeyRefused,
    "invalid-key": errors.KeyRefused,
    "insufficient-scope": errors.Forbidden,
    "foreign-page": errors.Forbidden,
    "unconfirmed": errors.Unconfirmed,
    "link-ended": errors.LinkEnded,
    "wrong-host": errors.WrongHost,
    "rate-limited": errors.TooManyRequests,
    "in-trash": errors.InTrash,
    "quote-stage": errors.QuoteStage,
    "key-rotated": errors.KeyRotated,
    "webhook-disabled": errors.WebhookDisabled,
    "message-pending": errors.MessagePending,
    "made-before": errors.MadeBefore,
    "idempotency-key-in-use": errors.IdempotencyKeyInUse,
    "precondition-failed": errors.StaleRevision,
    "precondition-required": errors.PreconditionRequired,
    "idempotency-key-reused": errors.IdempotencyKeyReused,
    "no-database": errors.NoDatabase,
    "no-evidence-store": errors.NoDatabase,
    "no-typesetter": errors.NoTypesetter,
    "no-text-reader": errors.NoTextReader,
    "evidence-damaged": errors.ServerError,
    "range-not-satisfiable": errors.BadRequest,
    "store-full": errors.StoreUnavailable,
    "store-read-only": errors.StoreUnavailable,
    "store-busy": errors.StoreUnavailable,
    "store-unavailable": errors.StoreUnavailable,
    "body-too-slow": errors.RequestTimeout,
    "head-too-slow": errors.RequestTimeout,
    "head-too-large": errors.HeadersTooLarge,
    "computation-lost": errors.ServiceUnavailable,
    "body-too-large": errors.PayloadTooLarge,
    "unsupported-media-type": errors.UnsupportedMediaType,
    "invalid-input": errors.InvalidInput,
    "internal-error": errors.ServerError,
    "kept-data-damaged": errors.ServerError,
    "overloaded": errors.ServiceUnavailable,
    "answer-too-slow": errors.ServiceUnavailable,
    "not-ready": errors.ServiceUnavailable,
}
"""The exception for a problem, by the last part of its type."""

_BY_STATUS: dict[int, type[errors.ApiError]] = {
    400: errors.BadRequest,
    401: errors.KeyRefused,
    403: errors.Forbidden,
    404: errors.NotFound,
    405: errors.MethodNotAllowed,
    406: errors.NotAcceptable,
    408: errors.RequestTimeout,
    410: errors.LinkEnded,
    412: errors.StaleRevision,
    413: errors.PayloadTooLarge,
    415: errors.UnsupportedMediaType,
    422: errors.InvalidInput,
    421: errors.WrongHost,
    428: errors.PreconditionRequired,
    429: errors.TooManyRequests,
    503: errors.ServiceUnavailable,
}
"""The exception for an answer without a known type of problem, by its status."""


@dataclass(frozen=True, kw_only=True)
class Operation(Generic[T]):
    """One operation of the API: its method and path, and how its answer is decoded."""

    method: str
    path: str
    decode: Callable[[bytes], T]
    media_type: str = JSON
    """The media type of the answer."""
    further_types: tuple[str, ...] = ()
    """Other media types that the answer may have: which one, the file decides."""
    body_type: str = JSON
    """The media type of the body, where it has one."""
    repeatable: bool = False
    """The request may be sent again when no answer came: twice has the same effect as once."""
    keyed: bool = False
    """The request is sent with an Idempotency-Key of its own, by which the server does it once."""
    into: Path | None = None
    """A file for the content of the answer, which is empty then. None: it is kept in memory."""

    def written_to(self, file: Path | None) -> "Operation[T]":
        """Return the operation with its answer written to a file, piece by piece."""
        return replace(self, into=file)


def prepare_request(
    operation: Operation[T],
    request_id: str,
    body: object = NO_BODY,
    arguments: Mapping[str, object] | None = None,
    headers: Iterable[Mapping[str, str]] = (),
) -> Request:
    """Return the request for an operation. A body of bytes is a file, sent as it is; one that is a path, its file.

    Arguments that the path does not name go into the query, those of a tuple one by one; one of None is left out.
    Later headers replace earlier ones of the same name; Accept and Content-Type are always set here.
    """
    given = {name: _argument(value) for name, value in (arguments or {}).items() if value is not None}
    in_path = {name: quote(str(value), safe="") for name, value in given.items() if f"{{{name}}}" in operation.path}
    sent = Headers({"User-Agent": f"hitchworth-sdk/{__version__}", REQUEST_ID: request_id})
    if operation.keyed:
        sent[IDEMPOTENCY_KEY] = request_id
    for layer in headers:
        check_headers(layer)
        sent.update(layer)
    sent["Accept"] = ", ".join((operation.media_type, *operation.further_types, f"{PROBLEM_JSON};q=0.9"))
    if body is not NO_BODY:
        is_file = isinstance(body, bytes | Path) and operation.body_type == JSON
        sent["Content-Type"] = FILE if is_file else operation.body_type
    return Request(
        method=operation.method,
        path=operation.path.format_map(in_path),
        query={name: value for name, value in given.items() if name not in in_path},
        headers=sent,
        content=_content(body),
        into=operation.into,
    )


def check_headers(headers: Mapping[str, str]) -> None:
    """Raise ConfigurationError, without the value, which may be a secret, for a header that HTTP does not allow."""
    for name, value in headers.items():
        if not _HEADER_NAME.fullmatch(name) or not _HEADER_VALUE.fullmatch(value):
            raise ConfigurationError(f"the header {name!r} has a character that HTTP does not allow there")


def _content(body: object) -> bytes | Path | None:
    if body is NO_BODY:
        return None
    if isinstance(body, bytes | Path):
        return body
    try:
        return msgspec.json.encode(body)
    except (TypeError, ValueError, msgspec.MsgspecError) as error:
        raise ConfigurationError(f"the request cannot be written as JSON: {error}") from error


def _argument(value: object) -> str | list[str]:
    return [argument_text(each) for each in value] if isinstance(value, tuple) else argument_text(value)


def argument_text(value: object) -> str:
    """Return an argument as it stands in a path or a query: true, 2026-11-27, 9000."""
    plain = msgspec.to_builtins(value)
    return str(plain).lower() if isinstance(plain, bool) else str(plain)


def read_response(operation: Operation[T], response: Response) -> T:
    """Return the decoded answer of an operation. Raises what check_response raises, and UnexpectedResponse."""
    check_response(operation, response)
    try:
        return operation.decode(response.content)
    except DECODE_ERRORS as error:
        message = f"the answer cannot be read: {error}"
        raise errors.UnexpectedResponse(response.status, message, response.request_id) from error


def check_response(operation: Operation[Any], response: Response) -> None:
    """Raise an ApiError for a problem, UnexpectedResponse for an answer that is not in the requested format."""
    if response.status >= HTTPStatus.BAD_REQUEST:
        raise api_error(response)
    is_fit = response.media_type in (operation.media_type, *operation.further_types)
    if not HTTPStatus.OK <= response.status < HTTPStatus.MULTIPLE_CHOICES or not is_fit:
        message = f"the answer is {response.media_type or 'empty'}, not {operation.media_type}"
        raise errors.UnexpectedResponse(response.status, message, response.request_id)


def received_id(request: Request, headers: Headers) -> str:
    """Return the request id in an answer; without one, the id that was sent."""
    return headers.get(REQUEST_ID, request.id)


def api_error(response: Response) -> errors.ApiError:
    """Return the exception for a problem: by its type, otherwise by its status."""
    problem = read_problem(response)
    kind = _BY_TYPE.get(problem.type.rpartition("/")[2]) or _BY_STATUS.get(response.status)
    if kind is None:
        kind = errors.ServerError if response.status >= HTTPStatus.INTERNAL_SERVER_ERROR else errors.ApiError
    return kind(problem, response.request_id, response.retry_after)


def read_problem(response: Response) -> errors.Problem:
    """Return the problem document of an answer; when there is none, as from a gateway, one made from its status."""
    if response.media_type == PROBLEM_JSON:
        with suppress(*DECODE_ERRORS):
            problem = msgspec.json.decode(response.content, type=errors.Problem)
            return msgspec.structs.replace(problem, status=response.status)
    excerpt = response.content.decode(errors="replace")[:EXCERPT_LENGTH].strip()
    return errors.Problem(title=reason(response.status), status=response.status, detail=excerpt)


def reason(status: int) -> str:
    """Return the standard phrase for a status: Not Found for 404."""
    try:
        return HTTPStatus(status).phrase
    except ValueError:  # not a standard status
        return "Problem"
