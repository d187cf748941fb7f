"""What can go wrong when the API is called, as exceptions.

HitchworthError
    ConfigurationError      a setting of the client or of a call is invalid; also a ValueError
    ClientClosedError       the client was closed before the call
    UnreadableFile          a file to send cannot be read; also an OSError
    UnwritableFile          a file for an answer cannot be written; also an OSError
    WebhookVerificationError  a message does not come from the server, or is not of now; also a ValueError
    TransportError          no answer came: no connection, or it broke off
        ResponseTimeoutError    no answer came in time; also a TimeoutError
        ProxyError              the proxy before the server refused, or cannot be reached
    UnexpectedResponse      an answer came that is not from this API, or cannot be read
    ApiError                the API answered with a problem (RFC 9457)
        BadRequest              400
            UnreadableBody          the body is not JSON
            InvalidParameter        a parameter is invalid: see `.faults`
        KeyRefused              401, a key is needed, or this one opens nothing
        Forbidden               403, the key may not do this
        NotFound                404
        MethodNotAllowed        405
        NotAcceptable           406, the answer is not available in the requested format
        RequestTimeout          408, the request did not arrive in time
        InTrash                 409, the build or quote is in the trash
        QuoteStage              409, the quote is accepted already, or not yet
        Unconfirmed             409, the deletion is not confirmed
        KeyRotated              409, the key has been replaced already
        WebhookDisabled         409, the webhook is disabled: enable it first
        MessagePending          409, the message is still to be sent
        IdempotencyKeyInUse     409, a request under the same Idempotency-Key is in work
        MadeBefore              409, a request under the same Idempotency-Key has made a key, link or webhook
        LinkEnded               410, the share link has expired or was revoked
        StaleRevision           412, the build or quote has been changed since it was seen
        PayloadTooLarge         413
        UnsupportedMediaType    415
        InvalidInput            422, the body has faults: see `.faults`
            IdempotencyKeyReused    the key belongs to another request
        WrongHost               421, the server does not go by the name that it was called
        PreconditionRequired    428, a change does not say to which revision
        TooManyRequests         429
        HeadersTooLarge         431, the address and the headers
        ServerError             500 and above
            NoDatabase              501, the server keeps nothing
            NoTypesetter            501, the server makes no PDF and no Word documents
            NoTextReader            501, the server reads no photos
            ServiceUnavailable      503, the server is busy, not ready, or took too long
                StoreUnavailable        503 or 507, the database is busy, full, read-only or away
"""
# ruff: noqa: N818  (the errors of the API are named after the HTTP status)

import re
from collections.abc import Sequence

from msgspec import Struct

from hitchworth_sdk._types import Fault

_CELL_ROW = re.compile(r"(?<=[A-Z])[0-9]+$")
MAX_SHOWN = 20
"""A message shows at most this many ranges of rows."""


class Problem(Struct, frozen=True, kw_only=True):
    """A problem document (RFC 9457). `errors` has the faults of the input, `fault_count` counts all their places."""

    type: str = "about:blank"
    title: str = ""
    status: int = 0
    detail: str = ""
    instance: str = ""
    errors: tuple[Fault, ...] = ()
    fault_count: int = 0


class HitchworthError(Exception):
    """The base of every exception of this package."""


class ConfigurationError(HitchworthError, ValueError):
    """A setting of the client or of a call is invalid: no server address, a timeout of zero, an unknown format."""


class ClientClosedError(HitchworthError):
    """The client, or the HTTP client that it was given, has been closed: nothing was sent."""

    def __init__(self, message: str = "the client is closed") -> None:
        super().__init__(message)


class UnreadableFile(HitchworthError, OSError):
    """A file that is to be sent cannot be read. `filename`, `errno` and `strerror` say which and why."""


class UnwritableFile(HitchworthError, OSError):
    """A file for an answer cannot be written. `filename`, `errno` and `strerror` say which and why."""


class WebhookVerificationError(HitchworthError, ValueError):
    """A message to a webhook does not come from who has the secret, has been altered, or is not of now."""


class TransportError(HitchworthError):
    """No answer came. `request_id` is the id that was sent; it may be in the server's log."""

    def __init__(self, message: str, request_id: str = "") -> None:
        super().__init__(message)  # alone: a TimeoutError takes a second argument as the text of its errno
        self.message = message
        self.request_id = request_id

    def __str__(self) -> str:
        return self.message + id_suffix(self.request_id)


class ResponseTimeoutError(TransportError, TimeoutError):
    """No answer came in time."""


class ProxyError(TransportError):
    """The proxy before the server refused the request, or cannot be reached: the server has not seen the request.

    status: that of the proxy's answer; None when it gave none.
    """

    def __init__(self, message: str, request_id: str = "", status: int | None = None) -> None:
        super().__init__(message, request_id)
        self.status = status


class UnexpectedResponse(HitchworthError):
    """An answer came that is neither a problem nor what was requested: often another server has this address."""

    def __init__(self, status: int, message: str, request_id: str = "") -> None:
        super().__init__(status, message, request_id)
        self.status = status
        self.message = message
        self.request_id = request_id

    def __str__(self) -> str:
        return f"{self.status} {self.message}{id_suffix(self.request_id)}"


class ApiError(HitchworthError):
    """The API answered with a problem.

    problem: the problem document (RFC 9457).
    request_id: the id by which the server knows the request.
    retry_after: the seconds that the server asks to wait; None when it does not say.
    """

    def __init__(self, problem: Problem, request_id: str = "", retry_after: float | None = None) -> None:
        super().__init__(problem, request_id, retry_after)
        self.problem = problem
        self.request_id = request_id
        self.retry_after = retry_after

    @property
    def type(self) -> str:
        """The kind of problem: a path such as /problems/invalid-input."""
        return self.problem.type

    @property
    def status(self) -> int:
        """The HTTP status."""
        return self.problem.status

    @property
    def title(self) -> str:
        """The kind of problem in a few words."""
        return self.problem.title

    @property
    def detail(self) -> str:
        """What is wrong with this request."""
        return self.problem.detail

    @property
    def faults(self) -> tuple[Fault, ...]:
        """The faults of the input: where each is (JSON Pointer), what is wrong, what was expected, what was found.

        The same fault of many rows is told once; `also_at` has the pointers to the others.
        """
        return self.problem.errors

    def __str__(self) -> str:
        head = f"{self.status} {self.title}"
        if self.detail and self.detail != self.title:
            head += f": {self.detail}"
        return "\n".join([head + id_suffix(self.request_id), *map(fault_line, self.faults)])


class BadRequest(ApiError):
    """The request is malformed."""


class UnreadableBody(BadRequest):
    """The body is not JSON in UTF-8, or it is nested too deeply."""


class InvalidParameter(BadRequest):
    """A parameter has an invalid value; `faults` says which."""


class KeyRefused(ApiError):
    """A key is required, or the one that was sent is malformed, unknown, expired or revoked; `detail` says which."""


class Forbidden(ApiError):
    """The scope of the key does not cover this; `detail` names the scope that is needed."""


class NotFound(ApiError):
    """Nothing has this address."""


class MethodNotAllowed(ApiError):
    """The method is not allowed at this address."""


class NotAcceptable(ApiError):
    """The answer is not available in the requested format."""


class InTrash(ApiError):
    """The build or quote is in the trash, where it can be read but not changed; recover it first."""


class QuoteStage(ApiError):
    """The quote is not at the stage that is needed: accepted already, or not yet; so with a change order (409)."""


class KeyRotated(ApiError):
    """The key has been replaced already; the detail names the one in its place."""


class WebhookDisabled(ApiError):
    """Nothing is sent to the webhook: enable it first."""


class MessagePending(ApiError):
    """The message is still to be sent, by itself."""


class IdempotencyKeyInUse(ApiError):
    """Another request under the same Idempotency-Key has not been answered yet; send it again later."""


class MadeBefore(ApiError):
    """A request under the same Idempotency-Key made the key, link or webhook in `detail`; its secret is not kept."""


class Unconfirmed(ApiError):
    """Much would be deleted, and its name was not repeated to say that it is meant."""


class LinkEnded(ApiError):
    """The share link has expired or was revoked; `detail` says which and when."""


class StaleRevision(ApiError):
    """The build or quote has been changed since it was seen. Nothing was kept: read it again, and decide anew."""


class WrongHost(ApiError):
    """The server does not go by the name in its address; its operator can allow it."""


class PreconditionRequired(ApiError):
    """A change does not say which revision it is meant for. The methods of the client always say it."""


class RequestTimeout(ApiError):
    """The request did not arrive in the time that the server allows."""


class PayloadTooLarge(ApiError):
    """The body is larger than the server accepts."""


class UnsupportedMediaType(ApiError):
    """The server does not support the format of the body."""


class InvalidInput(ApiError):
    """The body was read and has faults; `faults` names every one of them."""


class IdempotencyKeyReused(InvalidInput):
    """The Idempotency-Key was sent before with another request."""


class TooManyRequests(ApiError):
    """The server asks the client to slow down; `retry_after` has the seconds to wait, if it said."""


class HeadersTooLarge(ApiError):
    """The address and the headers together are larger than the server accepts."""


class ServerError(ApiError):
    """The server failed."""


class NoDatabase(ServerError):
    """The server was started without a database, so it keeps nothing."""


class NoTypesetter(ServerError):
    """The server was installed without what makes PDF and Word documents; HTML and Markdown can be had."""


class NoTextReader(ServerError):
    """The server was installed without what reads the text in photos."""


class ServiceUnavailable(ServerError):
    """The server is busy, about to stop, or took too long; `detail` says which, `retry_after` how long to wait."""


class StoreUnavailable(ServiceUnavailable):
    """The database is busy, full, read-only or away; nothing of the request was kept. `detail` says which."""


def id_suffix(request_id: str) -> str:
    """Return what names the request at the end of a message."""
    return f" [request {request_id}]" if request_id else ""


def fault_line(fault: Fault) -> str:
    """Return a fault as a line of a message: its place, what is wrong, what was expected, what was found."""
    more = [f"expected {fault.expected}"] if fault.expected else []
    more += [f"found {fault.found}"] if fault.found else []
    place = fault.cell or fault.pointer or "(the whole body)"
    line = f"  {place}: {fault.detail}" + (f" ({', '.join(more)})" if more else "")
    return f"{line}; {_other_rows(fault)}" if fault.also_at else line


def _other_rows(fault: Fault) -> str:
    """Return where else a fault is, in words: "the same in 40 more rows: 1-40".

    They are numbered from 0 as in its pointer, or from 1 where it has a cell.
    """
    places = [_steps(place) for place in (fault.cell or fault.pointer, *fault.also_at)]
    varying = [steps for steps in zip(*places, strict=True) if len(set(steps)) > 1]
    count = f"{len(fault.also_at):,} more {'row' if len(fault.also_at) == 1 else 'rows'}"
    shown = _ranges(sorted(map(int, varying[0][1:]))) if len(varying) == 1 else list(fault.also_at)
    more = [f"and {len(shown) - MAX_SHOWN} more"] if len(shown) > MAX_SHOWN else []
    return f"the same in {count}: {', '.join(shown[:MAX_SHOWN] + more)}"


def _steps(place: str) -> list[str]:
    """Return the parts of a pointer, or the sheet with the column and the row of a cell."""
    row = _CELL_ROW.search(place)
    return place.split("/") if row is None or "/" in place else [place[: row.start()], row[0]]


def _ranges(rows: Sequence[int]) -> list[str]:
    """Return rows in ascending order as ranges: 1-3, 7."""
    runs: list[list[int]] = []
    for row in rows:
        if runs and row == runs[-1][-1] + 1:
            runs[-1].append(row)
        else:
            runs.append([row])
    return [f"{run[0]}-{run[-1]}" if len(run) > 1 else str(run[0]) for run in runs]
