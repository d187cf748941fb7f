"""What a call of the client takes, its options, numbers and formats, and what carries it out."""

from abc import ABC, abstractmethod
from collections.abc import Callable, Iterator, Mapping
from datetime import date
from typing import Any, Literal, ParamSpec, TypeAlias, TypedDict, TypeVar, cast
from urllib.parse import parse_qs, urlsplit

from hitchworth_sdk._exchange import NO_BODY, Operation, check_response, read_response
from hitchworth_sdk._messages import Response
from hitchworth_sdk._raw import Rendering, next_cursor
from hitchworth_sdk._types import Paper

T = TypeVar("T")
P = ParamSpec("P")
TextReport: TypeAlias = Literal["text/html", "text/markdown"]
FileReport: TypeAlias = Literal[
    "application/pdf", "application/vnd.openxmlformats-officedocument.wordprocessingml.document"
]
ReportFormat: TypeAlias = TextReport | FileReport
"""The formats of a report, as media types."""

TextLetter: TypeAlias = Literal["text/plain"]
Docx: TypeAlias = Literal["application/vnd.openxmlformats-officedocument.wordprocessingml.document"]
"""The formats of a letter, as media types."""


class CallOptions(TypedDict, total=False):
    """What one call may do differently from its client."""

    timeout: float
    """Seconds for connecting, and for each silence of the server; above zero."""
    retries: int
    """How often the request is sent again; 0: never."""
    headers: Mapping[str, str]
    """Headers of this request; they replace those of the client."""
    deadline: float | None
    """Seconds for the whole call, with everything that is sent again; above zero. None: no deadline."""
    on_response: Callable[[Response], None]
    """Called with each answer as it came, whatever its status: one for each time that the request is sent, and for
    each page or piece of a list or batch."""


class PaperOptions(CallOptions, total=False):
    """What a report of a quote may be asked for, besides what any call may do differently."""

    paper: Paper | None
    """The size of paper. Default: the usual one in the region of the request's locale."""


class ReportOptions(PaperOptions, total=False):
    """What a report or letter may be asked for, besides what any call may do differently."""

    for_policy: str | None
    """Name of the policy that a conversation sheet or letter is about. Default: the one with the most money at stake;
    for a confirmation of answers, the one with the most answers."""
    include_unverified: bool
    """Print what was not compared with the published text too, with a mark. Default: false."""


class KeptReportOptions(ReportOptions, total=False):
    """What a report or letter on a kept build may be asked for besides."""

    as_of: date | None
    """Valuation date. Default: today, where the server is."""
    revision: int | None
    """Number of the revision. Default: the present one."""


class KeptQuoteReportOptions(PaperOptions, total=False):
    """What a report of a kept quote may be asked for besides."""

    as_of: date | None
    """Day of the report. Default: today, where the server is."""
    revision: int | None
    """Number of the revision. Default: the present one."""


class SharedReportOptions(PaperOptions, total=False):
    """What a report behind a share link may be asked for besides."""

    as_of: date | None
    """Valuation date. Default: today, where the server is."""


WorkbookFormat: TypeAlias = Literal[
    "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
    "application/vnd.oasis.opendocument.spreadsheet",
]
"""The media types of a workbook: XLSX and ODS."""

XLSX: WorkbookFormat = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"


class Caller(ABC):
    """What the methods of a client are made of: they prepare an operation, the client sends it."""

    _rendering: Rendering | None = None
    """In which form the answers are handed out. None: as records."""

    def _call(
        self,
        operation: Operation[T],
        body: object,
        options: CallOptions,
        headers: Mapping[str, str] | None = None,
        **arguments: object,
    ) -> T:
        """Send the request of an operation, again if need be, and return the decoded answer.

        The arguments go into the path and the query, and so do the options that are not those of every call.
        """
        if self._rendering is None:
            return read_response(operation, self._answer(operation, body, options, headers, **arguments))
        return cast("T", self._raw_answer(operation, body, options, headers, **arguments))

    def _raw_answer(
        self,
        operation: Operation[Any],
        body: object,
        options: CallOptions,
        headers: Mapping[str, str] | None = None,
        **arguments: object,
    ) -> Response:
        """Send the request of an operation, and return its answer in the form that was asked for."""
        rendering = self._rendering or Rendering()
        operation = rendering.operation(operation)
        response = self._answer(operation, body, options, headers, **arguments, **rendering.arguments)
        check_response(operation, response)
        return response

    @abstractmethod
    def _answer(
        self,
        operation: Operation[Any],
        body: object,
        options: CallOptions,
        headers: Mapping[str, str] | None = None,
        **arguments: object,
    ) -> Response:
        """Send the request of an operation, again if need be, and return the answer as it came."""

    @abstractmethod
    def _work(self, function: Callable[P, T], *args: P.args, **kwargs: P.kwargs) -> T:
        """Do what takes a while on this machine, such as reading files."""

    def _items(self, operation: Operation[Any], options: CallOptions, **arguments: object) -> Iterator[Any]:
        """Yield the items of page after page; or the pages, where they are handed out as they come."""
        cursor: str | None = None
        while self._rendering is not None:
            response = self._raw_answer(operation, NO_BODY, options, None, **arguments, cursor=cursor)
            yield response
            cursor = next_cursor(response)
            if cursor is None:
                return
        while True:
            page = self._call(operation, NO_BODY, options, None, **arguments, cursor=cursor)
            yield from page.items
            if page.next is None:
                return
            cursor = parse_qs(urlsplit(page.next).query)["cursor"][0]
