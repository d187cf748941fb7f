"""The methods of a client for batches: requests in, answers out, as many as there are, a few in memory at a time."""

from collections.abc import Callable, Iterator
from typing import Any, TypeVar, Unpack

from msgspec import Struct

from hitchworth_sdk import _operations as operations
from hitchworth_sdk._calls import Caller, CallOptions
from hitchworth_sdk._exchange import Operation, read_response
from hitchworth_sdk._messages import Response
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
        """Yield the answers; or the pieces of them, where they are handed out as they come."""
        answered = 0
        for piece in pieces(requests):
            place = first_line + answered
            response = self._raw_answer(operation, b"".join(piece), options, None, first_line=place)
            count = _count_answers(response, place)
            if count != len(piece):
                told = f"{count} answers to {len(piece)} requests"
                raise UnexpectedResponse(response.status, told, response.request_id)
            yield from (response,) if self._rendering is not None else read_response(operation, response)
            answered += count
            if progress is not None:
                progress(answered)


def _count_answers(response: Response, first_line: int) -> int:
    """Return the number of lines, or of rows below the names of the columns, which come with line 1.

    The cells of a row have no such end of a line in them.
    """
    if response.media_type == operations.NDJSON:
        return response.content.count(b"\n")
    return response.content.count(b"\r\n") - (first_line == 1)
