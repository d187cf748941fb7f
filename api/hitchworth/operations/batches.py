"""Batches: a request a line in, an answer a line out, in their order; a wrong line has a problem of its own.

Newline-delimited JSON, read piece by piece, so that no more than one line has to fit into memory. The docstrings of the
functions are the descriptions of the API.
"""

from collections.abc import Callable, Iterable, Iterator
from typing import Annotated, Any

import msgspec
from msgspec import Meta, Raw, Struct

from hitchworth.model.fault import Fault
from hitchworth.model.problem import BODY_TOO_LARGE, INVALID_INPUT, MALFORMED_BODY, Problem, ProblemType
from hitchworth.model.request import EstimateRequest, GapRequest
from hitchworth.operations.appraisals import create_estimate, create_gap_statement
from hitchworth.operations.requests import read_request
from hitchworth.validation import InvalidInputError, MalformedBodyError

MAX_ID_BYTES = 200
FirstLine = Annotated[int, Meta(ge=1, le=10**12)]
"""The number of the first line of a body."""
_encode = msgspec.json.Encoder().encode
_NO_ID = Raw(b"null")


class Line(Struct, frozen=True, kw_only=True):
    """A line of a batch."""

    number: int
    """Empty lines counted."""
    content: bytes | None
    """Without its end; null where it is longer than a line may be."""
    id: str | None = None
    """Of a line that has none in it."""


class Lines:
    """Splits a stream into lines, of which it keeps no more than one; empty ones are left out."""

    def __init__(self, max_bytes: int, first_line: FirstLine = 1) -> None:
        self._max_bytes = max_bytes
        self._begun = bytearray()
        self._number = first_line
        self._is_too_long = False

    @property
    def number(self) -> int:
        """The number of the line that has begun."""
        return self._number

    def feed(self, piece: bytes) -> Iterator[Line]:
        """Yield the lines that end in the next piece of the stream."""
        *ended, begun = piece.split(b"\n")
        for end in ended:
            self._take(end)
            yield from self._line()
            self._number += 1
        self._take(begun)

    def end(self) -> Iterator[Line]:
        """Yield the last line, which needs no end."""
        yield from self._line()

    def _take(self, part: bytes) -> None:
        if self._is_too_long or len(self._begun) + len(part) > self._max_bytes:
            self._is_too_long = True
            self._begun.clear()
        else:
            self._begun += part

    def _line(self) -> Iterator[Line]:
        content = None if self._is_too_long else bytes(self._begun).strip()
        self._begun.clear()
        self._is_too_long = False
        if content != b"":
            yield Line(number=self._number, content=content)


def create_estimate_batch(request: Iterable[Line], instance: str, max_bytes: int) -> Iterator[bytes]:
    """Value many builds.

    A line in is the body of POST /v1/estimates on one line, with an `id` of yours beside it (text or a number, or
    none). A line out is `{line, id, estimate}`, the estimate to the byte that of the single request, or `{line, id,
    problem}`; in a table it is a row. The lines are answered in their order while the others still arrive: a client
    reads while it writes. There is no limit to their number; a line has as many bytes as any body may have. The batch
    counts as one request, and needs what the single request needs.
    """
    return (_ESTIMATES.answered(line, instance, max_bytes) for line in request)


def create_gap_statement_batch(request: Iterable[Line], instance: str, max_bytes: int) -> Iterator[bytes]:
    """State the gap of many builds.

    A line in is the body of POST /v1/gap-statements on one line, with an `id` of yours beside it (text or a number, or
    none). A line out is `{line, id, gap_statement}`, the gap statement to the byte that of the single request, or
    `{line, id, problem}`; in a table it is a row. The lines are answered in their order while the others still arrive:
    a client reads while it writes. There is no limit to their number; a line has as many bytes as any body may have.
    The batch counts as one request, and needs what the single request needs.
    """
    return (_GAP_STATEMENTS.answered(line, instance, max_bytes) for line in request)


def problem_line(
    number: int,
    kind: ProblemType,
    detail: str,
    instance: str,
    *,
    identity: Raw = _NO_ID,
    error: InvalidInputError | None = None,
) -> bytes:
    """Return the answer to a line that has a problem. instance: the request to which the line belongs."""
    problem = Problem(
        type=kind.type,
        title=kind.title,
        status=kind.status,
        detail=detail,
        instance=f"{instance}/lines/{number}",
        errors=error.faults if error else (),
        fault_count=error.count if error else 0,
    )
    return line_out(number, identity, "problem", _encode(problem))


class _Batch(Struct, frozen=True, kw_only=True):
    """What the lines of a batch ask for."""

    name: str
    """Of the answer in a line."""
    kind: type[Any]
    operation: Callable[[Any], Struct]

    def answered(self, line: Line, instance: str, max_bytes: int) -> bytes:
        if line.content is None:
            return problem_line(line.number, BODY_TOO_LARGE, f"The line is longer than {max_bytes:,} bytes.", instance)
        identity = identity_of(line.id)
        try:
            identity, body = (identity, line.content) if line.id is not None else _taken_apart(line.content)
            answer = self.operation(read_request(body, self.kind))
        except MalformedBodyError as error:
            detail = str(error).replace("The body", "The line", 1)
            return problem_line(line.number, MALFORMED_BODY, detail, instance, identity=identity)
        except InvalidInputError as error:
            detail = f"The line has {error.summary}."
            return problem_line(line.number, INVALID_INPUT, detail, instance, identity=identity, error=error)
        return line_out(line.number, identity, self.name, _encode(answer))


_ESTIMATES = _Batch(name="estimate", kind=EstimateRequest, operation=create_estimate)
_GAP_STATEMENTS = _Batch(name="gap_statement", kind=GapRequest, operation=create_gap_statement)


def identity_of(text: str | int | None) -> Raw:
    """Return an id as it stands in a line."""
    return Raw(_encode(text))


def _taken_apart(content: bytes) -> tuple[Raw, bytes]:
    """Return the id of a line, and the request beside it. What is no object is the request, which says what is wrong.

    Raises InvalidInputError for an id that is none.
    """
    try:
        members = msgspec.json.decode(content, type=dict[str, Raw])
    except (msgspec.MsgspecError, UnicodeDecodeError, RecursionError):
        return _NO_ID, content
    identity = members.pop("id", _NO_ID)
    try:
        if len(bytes(identity)) > MAX_ID_BYTES:
            raise msgspec.ValidationError
        named = msgspec.json.decode(identity, type=str | int | None)
    except (msgspec.MsgspecError, UnicodeDecodeError):
        expected = f"text or a whole number of at most {MAX_ID_BYTES} bytes, or nothing"
        fault = Fault(pointer="/id", detail="The id is none", expected=expected, found=_shortened(identity))
        raise InvalidInputError([fault]) from None
    return Raw(_encode(named)), _encode(members)


def _shortened(identity: Raw) -> str:
    return bytes(identity)[:40].decode(errors="replace")


def line_out(number: int, identity: Raw, name: str, answer: bytes) -> bytes:
    """Return the answer to a line: under its name, beside the number and the id of the line."""
    return b'{"line":%d,"id":%s,"%s":%s}\n' % (number, bytes(identity), name.encode(), answer)
