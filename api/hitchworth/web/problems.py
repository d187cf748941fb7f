"""What can be wrong with a request, as problem documents (RFC 9457). Every error of the server has its kind here."""

from collections.abc import Mapping
from typing import Annotated

from msgspec import Meta, Struct

from hitchworth.model.fault import Fault

PROBLEM_JSON = "application/problem+json"


class ProblemType(Struct, frozen=True, kw_only=True):
    """One kind of problem. Its type is stable: programs may rely on it."""

    type: Annotated[
        str, Meta(description="Path on this server, such as /problems/invalid-input; GET it for this record.")
    ]
    title: Annotated[str, Meta(description="The kind of problem in a few words of English.")]
    status: Annotated[int, Meta(description="The HTTP status that it is answered with.")]
    description: Annotated[str, Meta(description="What it means, and what to do about it.")]


class Problem(Struct, frozen=True, kw_only=True):
    """What went wrong with one request."""

    type: Annotated[str, Meta(description="The kind of problem, a path on this server: /problems/invalid-input.")]
    title: Annotated[str, Meta(description="The kind of problem in a few words of English.")]
    status: Annotated[int, Meta(description="The HTTP status of the error, also with ?faults=in-body.", ge=400, le=599)]
    detail: Annotated[str, Meta(description="What is wrong with this request.")]
    instance: Annotated[str, Meta(description="This request: /requests/ and its X-Request-Id.")]
    errors: Annotated[
        tuple[Fault, ...], Meta(description="Every fault of the request, up to 100; empty for other problems.")
    ] = ()


class RequestError(Exception):
    """A request that gets a problem document instead of its answer."""

    def __init__(
        self,
        kind: ProblemType,
        detail: str,
        *,
        errors: tuple[Fault, ...] = (),
        headers: Mapping[str, str] | None = None,
    ) -> None:
        super().__init__(detail)
        self.kind = kind
        self.detail = detail
        self.errors = errors
        self.headers = dict(headers or {})


def _kind(name: str, status: int, title: str, description: str) -> ProblemType:
    return ProblemType(type=f"/problems/{name}", title=title, status=status, description=description)


MALFORMED_BODY = _kind(
    "malformed-body", 400, "The body cannot be read", "It is not JSON in UTF-8, or it is nested too deeply."
)
BAD_REQUEST = _kind("bad-request", 400, "The request is malformed", "It breaks a rule of HTTP.")
INVALID_PARAMETER = _kind(
    "invalid-parameter", 400, "A parameter is wrong", "A parameter of the address has a value that it cannot have."
)
NOT_FOUND = _kind("not-found", 404, "There is nothing here", "No resource has this address.")
METHOD_NOT_ALLOWED = _kind(
    "method-not-allowed", 405, "The method is not allowed here", "The header Allow names the methods that are."
)
NOT_ACCEPTABLE = _kind(
    "not-acceptable",
    406,
    "The answer cannot be had in this format",
    "None of the formats that the header Accept admits can be answered; `?format=` chooses one whatever Accept says.",
)
BODY_TOO_LARGE = _kind("body-too-large", 413, "The body is too large", "It is larger than the server takes.")
UNSUPPORTED_MEDIA_TYPE = _kind(
    "unsupported-media-type", 415, "The body is of another format", "Bodies are application/json, not compressed."
)
INVALID_INPUT = _kind(
    "invalid-input",
    422,
    "The input has faults",
    "The body was read and has the faults that `errors` names: where each is, what was expected, what was found.",
)
INTERNAL_ERROR = _kind(
    "internal-error",
    500,
    "The server has failed",
    "The fault is the server's. Its log knows the request by `instance`.",
)

PROBLEM_TYPES: tuple[ProblemType, ...] = (
    BAD_REQUEST,
    MALFORMED_BODY,
    INVALID_PARAMETER,
    NOT_FOUND,
    METHOD_NOT_ALLOWED,
    NOT_ACCEPTABLE,
    BODY_TOO_LARGE,
    UNSUPPORTED_MEDIA_TYPE,
    INVALID_INPUT,
    INTERNAL_ERROR,
)
