"""The blocking client: one method per operation of the API, typed in and out."""

import os
import random
from collections.abc import Mapping
from datetime import UTC, date, datetime
from itertools import count
from time import sleep
from types import TracebackType
from typing import Literal, Self, TypeAlias, TypedDict, TypeVar, Unpack, overload
from uuid import uuid4

import httpx2
from msgspec import Struct

from hitchworth_sdk import _operations as operations
from hitchworth_sdk._exchange import Operation, answered_id, prepare, read
from hitchworth_sdk._messages import Request, Response
from hitchworth_sdk._retry import pause_before_retry
from hitchworth_sdk._settings import seconds_to_wait, server_url, times_to_retry
from hitchworth_sdk._types import (
    Assessment,
    BankQuestion,
    ClassificationRequest,
    Definition,
    Estimate,
    EstimateComparison,
    EstimateComparisonRequest,
    EstimateRequest,
    FactDefinition,
    GapRequest,
    GapStatement,
    Health,
    JurisdictionRecord,
    LaborDepreciationRule,
    PriceIndex,
    ProblemType,
    ProtectionMeasure,
    ProtectionReport,
    ProtectionRequest,
    SalesComparison,
    SalesComparisonRequest,
    ScheduleRecord,
    Service,
    SettlementRequest,
    Settlements,
    ValueCurve,
    ValueCurveRequest,
    Wage,
)
from hitchworth_sdk.errors import RequestTimeout, TransportError

T = TypeVar("T")
TextSheet: TypeAlias = Literal["text/html", "text/markdown"]
FileSheet: TypeAlias = Literal[
    "application/pdf", "application/vnd.openxmlformats-officedocument.wordprocessingml.document"
]
SheetFormat: TypeAlias = TextSheet | FileSheet
"""The formats of a conversation sheet, as media types."""

Paper: TypeAlias = Literal["letter", "a4"]


class CallOptions(TypedDict, total=False):
    """What one call may do differently from its client."""

    timeout: float
    retries: int
    headers: Mapping[str, str]


class Client:
    """A client of one server. It may be shared between threads; close it, or use it in a `with`.

    Every operation is a computation or a reading: nothing is stored, the same request gives the same answer. So each
    may be sent again when no answer came or the server was busy, and is, up to `retries` times.
    """

    last_request_id: str = ""
    """The server's name for the request that was answered last."""

    def __init__(
        self,
        base_url: str | None = None,
        *,
        timeout: float | None = None,
        retries: int = 2,
        transport: httpx2.BaseTransport | None = None,
        headers: Mapping[str, str] | None = None,
    ) -> None:
        """Set the client up; nothing is sent yet.

        base_url: address of the server. Default: the environment's HITCHWORTH_URL.
        timeout: seconds for connecting, and for each time the server is silent. Default: HITCHWORTH_TIMEOUT, else 30.
        retries: how often a request is sent again.
        transport: what carries the requests, for tests and for servers in the same process.
        headers: sent with every request.

        Raises ConfigurationError.
        """
        self._timeout = seconds_to_wait(timeout, os.environ)
        self._retries = times_to_retry(retries)
        self._headers = dict(headers or {})
        self._http = httpx2.Client(base_url=server_url(base_url, os.environ), transport=transport)
        self._server = self._http.base_url.copy_with(userinfo=b"")  # a message tells no password

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, traceback: TracebackType | None
    ) -> None:
        self.close()

    def close(self) -> None:
        """Close the connections."""
        self._http.close()

    def create_estimate(self, request: EstimateRequest, **options: Unpack[CallOptions]) -> Estimate:
        """Value every line of a build on a date."""
        return self._call(operations.CREATE_ESTIMATE, request, options)

    def create_estimate_comparison(
        self, request: EstimateComparisonRequest, **options: Unpack[CallOptions]
    ) -> EstimateComparison:
        """Take the difference of two estimates apart by effect and by line."""
        return self._call(operations.CREATE_ESTIMATE_COMPARISON, request, options)

    def create_value_curve(self, request: ValueCurveRequest, **options: Unpack[CallOptions]) -> ValueCurve:
        """Value a build on a row of dates, and find the days on which a limit ceases to cover it."""
        return self._call(operations.CREATE_VALUE_CURVE, request, options)

    def create_sales_comparison(
        self, request: SalesComparisonRequest, **options: Unpack[CallOptions]
    ) -> SalesComparison:
        """Value a build by comparable sales too, and reconcile that with the value by cost."""
        return self._call(operations.CREATE_SALES_COMPARISON, request, options)

    def create_classification(self, request: ClassificationRequest, **options: Unpack[CallOptions]) -> Assessment:
        """Hold the registered class against the built use."""
        return self._call(operations.CREATE_CLASSIFICATION, request, options)

    def create_settlements(self, request: SettlementRequest, **options: Unpack[CallOptions]) -> Settlements:
        """Try every policy against every loss."""
        return self._call(operations.CREATE_SETTLEMENTS, request, options)

    def create_gap_statement(self, request: GapRequest, **options: Unpack[CallOptions]) -> GapStatement:
        """Do the whole job: value, class, settlements, and the questions ranked by the money that hangs on them."""
        return self._call(operations.CREATE_GAP_STATEMENT, request, options)

    def create_protection_check(self, request: ProtectionRequest, **options: Unpack[CallOptions]) -> ProtectionReport:
        """Ask what slows a loss, which layers are bare, and how the 12 V circuits fare."""
        return self._call(operations.CREATE_PROTECTION_CHECK, request, options)

    @overload
    def create_conversation_sheet(
        self,
        request: GapRequest,
        media_type: TextSheet = "text/html",
        *,
        paper: Paper | None = None,
        **options: Unpack[CallOptions],
    ) -> str: ...

    @overload
    def create_conversation_sheet(
        self,
        request: GapRequest,
        media_type: FileSheet,
        *,
        paper: Paper | None = None,
        **options: Unpack[CallOptions],
    ) -> bytes: ...

    def create_conversation_sheet(
        self,
        request: GapRequest,
        media_type: SheetFormat = "text/html",
        *,
        paper: Paper | None = None,
        **options: Unpack[CallOptions],
    ) -> str | bytes:
        """Make the sheet to hold while talking with the insurer: text, or the bytes of a PDF or a DOCX.

        paper: default is what the region of the request's locale prints on.
        """
        text = operations.TEXT_SHEETS.get(media_type)
        if text is not None:
            return self._call(text, request, options, paper=paper)
        return self._call(operations.FILE_SHEETS[media_type], request, options, paper=paper)

    def list_schedules(self, **options: Unpack[CallOptions]) -> tuple[ScheduleRecord, ...]:
        """List the schedules of depreciation, each with its source."""
        return self._call(operations.LIST_SCHEDULES, None, options)

    def list_jurisdictions(self, **options: Unpack[CallOptions]) -> tuple[JurisdictionRecord, ...]:
        """List the jurisdictions where a trailer may be registered, and how far definitions cover each."""
        return self._call(operations.LIST_JURISDICTIONS, None, options)

    def list_definitions(
        self, jurisdiction: str | None = None, as_of: date | None = None, **options: Unpack[CallOptions]
    ) -> tuple[Definition, ...]:
        """List the published definitions of classes, each with its citation.

        Of one jurisdiction and the wider ones, or of all; those in force on one day, or of every time.
        """
        day = as_of.isoformat() if as_of else None
        return self._call(operations.LIST_DEFINITIONS, None, options, jurisdiction=jurisdiction, as_of=day)

    def list_facts(self, **options: Unpack[CallOptions]) -> tuple[FactDefinition, ...]:
        """List the facts about a build for which definitions ask, each with its unit."""
        return self._call(operations.LIST_FACTS, None, options)

    def list_price_indexes(self, **options: Unpack[CallOptions]) -> tuple[PriceIndex, ...]:
        """List the published price indexes, month by month."""
        return self._call(operations.LIST_PRICE_INDEXES, None, options)

    def list_wages(self, **options: Unpack[CallOptions]) -> tuple[Wage, ...]:
        """List hourly wages by trade, with percentiles, to choose a rate from."""
        return self._call(operations.LIST_WAGES, None, options)

    def list_labor_depreciation_rules(self, **options: Unpack[CallOptions]) -> tuple[LaborDepreciationRule, ...]:
        """List what statutes, regulations and courts say on depreciating labor, place by place."""
        return self._call(operations.LIST_LABOR_DEPRECIATION_RULES, None, options)

    def list_protections(self, **options: Unpack[CallOptions]) -> tuple[ProtectionMeasure, ...]:
        """List the measures against loss, and the evidence that proves each."""
        return self._call(operations.LIST_PROTECTIONS, None, options)

    def list_questions(self, **options: Unpack[CallOptions]) -> tuple[BankQuestion, ...]:
        """List the questions to settle before, during and after the build."""
        return self._call(operations.LIST_QUESTIONS, None, options)

    def get_service(self, **options: Unpack[CallOptions]) -> Service:
        """Ask what the server is, and where its documents are."""
        return self._call(operations.GET_SERVICE, None, options)

    def get_problem_type(self, name: str, **options: Unpack[CallOptions]) -> ProblemType:
        """Ask what a kind of problem means: `name` is the last part of its type."""
        return self._call(operations.GET_PROBLEM_TYPE, None, options, name=name)

    def get_health(self, **options: Unpack[CallOptions]) -> Health:
        """Ask whether the server is up, and which version it is."""
        return self._call(operations.GET_HEALTH, None, options)

    def _call(self, operation: Operation[T], body: Struct | None, options: CallOptions, **arguments: str | None) -> T:
        """Send the request of an operation until there is an answer, or patience ends, and read it."""
        headers = (self._headers, options.get("headers", {}))
        request = prepare(operation, uuid4().hex, body, arguments, headers)
        timeout = seconds_to_wait(options.get("timeout", self._timeout), {})
        retries = times_to_retry(options.get("retries", self._retries)) if operation.repeatable else 0
        for attempt in count():
            outcome = self._send(request, timeout)
            pause = pause_before_retry(outcome, attempt, random.random()) if attempt < retries else None
            if pause is None:
                break
            sleep(pause)
        return read(operation, request, outcome)

    def _send(self, request: Request, timeout: float) -> Response | TransportError:
        """Send a request once: its answer, or why there is none."""
        try:
            response = self._http.request(
                request.method,
                request.path,
                params=request.query,
                content=request.content,
                headers=request.headers,
                timeout=timeout,
            )
        except httpx2.TimeoutException:
            return RequestTimeout(f"no answer from {self._server} within {timeout:g} s", request.id)
        except httpx2.RequestError as fault:
            return TransportError(f"no answer from {self._server}: {fault or type(fault).__name__}", request.id)
        received = Response(response.status_code, response.headers, response.content, datetime.now(UTC))
        self.last_request_id = answered_id(request, received)
        return received
