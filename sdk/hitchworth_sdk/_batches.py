"""The methods of a client for batches: requests in, answers out, as many as there are, a few in memory at a time."""

from collections.abc import Callable, Iterator
from typing import Any, TypeVar, Unpack

from msgspec import Struct

from hitchworth_sdk import _operations as operations
from hitchworth_sdk._calls import Caller, CallOptions
from hitchworth_sdk._exchange import Operation, read_response
from hitchworth_sdk._operations import BatchAnswer
from hitchworth_sdk._pieces import Requests, pieces
from hitchworth_sdk._types import Estimate, EstimateRequest, GapRequest, GapStatement
from hitchworth_sdk.errors import UnexpectedResponse

T = TypeVar("T")
Progress = Callable[[int], None]
"""Called with the number of requests that are answered so far."""


class Batches(Caller):
    """The methods of a client for batches."""

    def create_estimate_batch(
        self,
        request: Requests[EstimateRequest],
        *,
        first_line: int = 1,
        progress: Progress | None = None,
        **options: Unpack[CallOptions],
    ) -> Iterator[BatchAnswer[Estimate]]:
        """Value many builds: yield an answer for each request, in their order, while the others still come.

        request: the requests; or each as JSON, with an `id` beside its members if it is to have one.
        first_line: the number of the first one. To go on where an answer did not come, give the requests from there on.
        progress: called with the number of answers so far.
        """
        return self._batch(operations.CREATE_ESTIMATE_BATCH, request, first_line, progress, options)

    def create_gap_statement_batch(
        self,
        request: Requests[GapRequest],
        *,
        first_line: int = 1,
        progress: Progress | None = None,
        **options: Unpack[CallOptions],
    ) -> Iterator[BatchAnswer[GapStatement]]:
        """State the gap of many builds: yield an answer for each request, in their order, while the others still come.

        request: the requests; or each as JSON, with an `id` beside its members if it is to have one.
        first_line: the number of the first one. To go on where an answer did not come, give the requests from there on.
        progress: called with the number of answers so far.
        """
        return self._batch(operations.CREATE_GAP_STATEMENT_BATCH, request, first_line, progress, options)

    def _batch(
        self,
        operation: Operation[tuple[BatchAnswer[T], ...]],
        requests: Requests[Struct],
        first_line: int,
        progress: Progress | None,
        options: CallOptions,
    ) -> Iterator[Any]:
        """Yield the answers piece by piece; or the pieces, where they are handed out as they come."""
        answered = 0
        for piece in pieces(requests):
            body, place = b"".join(piece), first_line + answered
            if self._rendering is not None:
                yield self._raw_answer(operation, body, options, None, first_line=place)
            else:
                response = self._answer(operation, body, options, None, first_line=place)
                answers = read_response(operation, response)
                if len(answers) != len(piece):
                    told = f"{len(answers)} answers to {len(piece)} requests"
                    raise UnexpectedResponse(response.status, told, response.request_id)
                yield from answers
            answered += len(piece)
            if progress is not None:
                progress(answered)
