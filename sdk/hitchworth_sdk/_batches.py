"""The methods of a client for batches: requests in, answers out, as many as there are, a few in memory at a time."""

from collections.abc import Callable, Iterable, Iterator
from itertools import chain
from typing import TypeVar, Unpack

from msgspec import Struct, json

from hitchworth_sdk import _operations as operations
from hitchworth_sdk._calls import Caller, CallOptions
from hitchworth_sdk._exchange import Operation
from hitchworth_sdk._operations import BatchAnswer
from hitchworth_sdk._types import Estimate, EstimateRequest, GapRequest, GapStatement
from hitchworth_sdk.errors import UnexpectedResponse

T = TypeVar("T")
Progress = Callable[[int], None]
"""Called with the number of requests that are answered so far."""

PIECE_BYTES = 64_000
"""So much is sent in one request, or one larger line alone. A server answers while it reads: a client that writes more
than fits into the buffers between the two, and reads only then, would wait for a server that waits for it."""


class Batches(Caller):
    """The methods of a client for batches."""

    def create_estimate_batch(
        self,
        request: Iterable[EstimateRequest | bytes],
        *,
        progress: Progress | None = None,
        **options: Unpack[CallOptions],
    ) -> Iterator[BatchAnswer[Estimate]]:
        """Value many builds: yield an answer for each request, in their order, while the others still come.

        request: the requests; or each as JSON, with an `id` beside its members if it is to have one.
        progress: called with the number of answers so far.
        """
        return self._batch(operations.CREATE_ESTIMATE_BATCH, request, progress, options)

    def create_gap_statement_batch(
        self,
        request: Iterable[GapRequest | bytes],
        *,
        progress: Progress | None = None,
        **options: Unpack[CallOptions],
    ) -> Iterator[BatchAnswer[GapStatement]]:
        """State the gap of many builds: yield an answer for each request, in their order, while the others still come.

        request: the requests; or each as JSON, with an `id` beside its members if it is to have one.
        progress: called with the number of answers so far.
        """
        return self._batch(operations.CREATE_GAP_STATEMENT_BATCH, request, progress, options)

    def _batch(
        self,
        operation: Operation[tuple[BatchAnswer[T], ...]],
        requests: Iterable[Struct | bytes],
        progress: Progress | None,
        options: CallOptions,
    ) -> Iterator[BatchAnswer[T]]:
        answered = 0
        for piece in _pieces(map(_line, requests)):
            answers = self._call(operation, b"".join(piece), options)
            if len(answers) != len(piece):
                raise UnexpectedResponse(200, f"{len(answers)} answers to {len(piece)} requests", self.last_request_id)
            for place, answer in enumerate(answers, answered + 1):
                yield BatchAnswer(line=place, id=answer.id, answer=answer.answer, problem=answer.problem)
            answered += len(answers)
            if progress is not None:
                progress(answered)


def _line(request: Struct | bytes) -> bytes:
    """Return a request on one line; an empty one would not be answered, so that it says that nothing is there."""
    content = request if isinstance(request, bytes) else json.encode(request)
    return (content.replace(b"\r", b" ").replace(b"\n", b" ").strip() or b"null") + b"\n"


def _pieces(lines: Iterator[bytes]) -> Iterator[list[bytes]]:
    """Yield the lines, as many at a time as are sent in one request."""
    piece: list[bytes] = []
    size = 0
    for line in chain(lines, [b""]):
        if piece and (not line or size + len(line) > PIECE_BYTES):
            yield piece
            piece, size = [], 0
        piece.append(line)
        size += len(line)
