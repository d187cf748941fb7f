"""What can go wrong when the API is called, as exceptions.

HitchworthError
    ConfigurationError      the client was set up wrongly; also a ValueError
    TransportError          no answer came: no connection, or it broke off
        RequestTimeout      no answer came in time; also a TimeoutError
    UnexpectedAnswer        an answer came that this client cannot read
    ApiError                the API answered with a problem (RFC 9457)
        BadRequest              400
            UnreadableBody          the body is not JSON
            InvalidParameter        a parameter of the address is wrong: see `.faults`
        NotFound                404
        MethodNotAllowed        405
        NotAcceptable           406, the answer cannot be had in the format that was asked for
        PayloadTooLarge         413
        UnsupportedMediaType    415
        InvalidInput            422, the body has faults: see `.faults`
        TooManyRequests         429
        ServerError             500 and above
"""
# ruff: noqa: N818  (those of the API are named as HTTP names the status)

from msgspec import Struct

from hitchworth_sdk._types import Fault


class Problem(Struct, frozen=True, kw_only=True):
    """A problem document as RFC 9457 describes it, with every fault of the input in `errors`."""

    type: str = "about:blank"
    title: str = ""
    status: int = 0
    detail: str = ""
    instance: str = ""
    errors: tuple[Fault, ...] = ()


class HitchworthError(Exception):
    """Whatever this package raises."""


class ConfigurationError(HitchworthError, ValueError):
    """The client was set up wrongly: no server named, a timeout that is not a number."""


class TransportError(HitchworthError):
    """No answer came. `request_id` is the one that was sent, by which the server's log may know the request."""

    def __init__(self, message: str, request_id: str = "") -> None:
        super().__init__(message, request_id)
        self.message = message
        self.request_id = request_id

    def __str__(self) -> str:
        return self.message + named(self.request_id)


class RequestTimeout(TransportError, TimeoutError):
    """No answer came in time."""


class UnexpectedAnswer(HitchworthError):
    """An answer came that is neither a problem nor what was asked for: often another server answers at this address."""

    def __init__(self, status: int, message: str, request_id: str = "") -> None:
        super().__init__(status, message, request_id)
        self.status = status
        self.message = message
        self.request_id = request_id

    def __str__(self) -> str:
        return f"{self.status} {self.message}{named(self.request_id)}"


class ApiError(HitchworthError):
    """The API answered with a problem.

    `request_id` is the server's name for the request; `retry_after` is the seconds for which the server asked to wait.
    """

    def __init__(self, problem: Problem, request_id: str = "", retry_after: float | None = None) -> None:
        super().__init__(problem, request_id, retry_after)
        self.problem = problem
        self.request_id = request_id
        self.retry_after = retry_after

    @property
    def type(self) -> str:
        """The kind of problem, a path such as /problems/invalid-input."""
        return self.problem.type

    @property
    def status(self) -> int:
        return self.problem.status

    @property
    def title(self) -> str:
        return self.problem.title

    @property
    def detail(self) -> str:
        return self.problem.detail

    @property
    def faults(self) -> tuple[Fault, ...]:
        """Every fault of the input: where it is (JSON Pointer), what is wrong, what was expected, what was found."""
        return self.problem.errors

    def __str__(self) -> str:
        head = f"{self.status} {self.title}"
        if self.detail and self.detail != self.title:
            head += f": {self.detail}"
        return "\n".join([head + named(self.request_id), *map(fault_line, self.faults)])


class BadRequest(ApiError):
    """The request cannot be understood."""


class UnreadableBody(BadRequest):
    """The body is not JSON in UTF-8, or it is nested too deeply."""


class InvalidParameter(BadRequest):
    """A parameter of the address has a value that it cannot have; `faults` says which."""


class NotFound(ApiError):
    """There is no such thing at this address."""


class MethodNotAllowed(ApiError):
    """The address does not know this method."""


class NotAcceptable(ApiError):
    """The answer cannot be had in the format that was asked for."""


class PayloadTooLarge(ApiError):
    """The body is larger than the server takes."""


class UnsupportedMediaType(ApiError):
    """The server does not read bodies of this format."""


class InvalidInput(ApiError):
    """The body was read, and has the faults that `faults` names."""


class TooManyRequests(ApiError):
    """The server asks to go slower; `retry_after` says how long to wait, where it told."""


class ServerError(ApiError):
    """The fault is the server's."""


def named(request_id: str) -> str:
    return f" [request {request_id}]" if request_id else ""


def fault_line(fault: Fault) -> str:
    told = [f"expected {fault.expected}"] if fault.expected else []
    told += [f"found {fault.found}"] if fault.found else []
    return f"  {fault.pointer or '(the whole body)'}: {fault.detail}" + (f" ({', '.join(told)})" if told else "")
