"""What went wrong with a request, or with a line of a batch (RFC 9457): the kind of problem, and the document."""

from typing import Annotated

from msgspec import Meta, Struct

from hitchworth.model.fault import Fault


class ProblemType(Struct, frozen=True, kw_only=True):
    """A kind of problem. Its type never changes, so programs can rely on it."""

    type: Annotated[
        str, Meta(description="Path on this server, such as /problems/invalid-input; GET it for this record.")
    ]
    title: Annotated[str, Meta(description="The kind of problem in a few words of English.")]
    status: Annotated[int, Meta(description="The HTTP status that it is answered with.")]
    description: Annotated[str, Meta(description="What it means, and what to do about it.")]


class Problem(Struct, frozen=True, kw_only=True):
    """A problem document: what went wrong with one request, or with one line of a batch."""

    type: Annotated[str, Meta(description="The kind of problem, a path on this server: /problems/invalid-input.")]
    title: Annotated[str, Meta(description="The kind of problem in a few words of English.")]
    status: Annotated[int, Meta(description="The HTTP status of the error, also with ?faults=in-body.", ge=400, le=599)]
    detail: Annotated[str, Meta(description="What is wrong with this request.")]
    instance: Annotated[
        str, Meta(description="This request: /requests/ and its X-Request-Id; of a batch with /lines/ and the line.")
    ]
    errors: Annotated[
        tuple[Fault, ...],
        Meta(
            description="The faults of the request, the same one of many rows told once; up to 100. Empty for other "
            "problems."
        ),
    ] = ()
    fault_count: Annotated[
        int,
        Meta(
            description="How many places of the body have a fault, also those that `errors` does not list; counted up "
            "to 10,000. 0 for other problems."
        ),
    ] = 0


MALFORMED_BODY = ProblemType(
    type="/problems/malformed-body",
    title="The body cannot be read",
    status=400,
    description="The body is not JSON in UTF-8, or it is nested too deeply.",
)
BODY_TOO_LARGE = ProblemType(
    type="/problems/body-too-large",
    title="The body is too large",
    status=413,
    description="The body, or the line of a batch, is larger than the server accepts.",
)
INVALID_INPUT = ProblemType(
    type="/problems/invalid-input",
    title="The input has faults",
    status=422,
    description="The body was read. `errors` lists every fault: where it is, what was expected, and what was found.",
)
