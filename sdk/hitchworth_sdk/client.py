"""The blocking client: one method for each operation of the API, typed in and out."""

import os
import random
from collections.abc import Callable, Iterator, Mapping
from copy import copy
from datetime import date
from itertools import count
from os import PathLike, fspath
from pathlib import Path
from time import monotonic
from types import TracebackType
from typing import Any, ParamSpec, Self, TypeVar, Unpack, cast, overload
from urllib.request import getproxies
from uuid import uuid4

import httpx2
from msgspec import json

from hitchworth_sdk import _operations as operations
from hitchworth_sdk._batches import Batches
from hitchworth_sdk._calls import (
    XLSX,
    CallOptions,
    Docx,
    FileReport,
    PaperOptions,
    ReportFormat,
    ReportOptions,
    TextLetter,
    TextReport,
    WorkbookFormat,
)
from hitchworth_sdk._cells import Cells
from hitchworth_sdk._evidence import KeptEvidence
from hitchworth_sdk._exchange import NO_BODY, Operation, check_headers, prepare_request
from hitchworth_sdk._kept_builds import KeptBuilds
from hitchworth_sdk._kept_quotes import KeptQuotes
from hitchworth_sdk._log import log_outcome, log_pause, warn_if_deprecated
from hitchworth_sdk._messages import Response
from hitchworth_sdk._raw import RawMethod, Rendering
from hitchworth_sdk._retry import pause_before_retry
from hitchworth_sdk._route import route_to
from hitchworth_sdk._sending import Sender, local_transport
from hitchworth_sdk._settings import (
    authorization,
    client_timeout,
    server_url,
    valid_deadline,
    valid_retries,
    valid_timeout,
)
from hitchworth_sdk._timing import timing_of
from hitchworth_sdk._types import (
    Assessment,
    AttentionList,
    AttentionRequest,
    BankQuestion,
    ClassificationRequest,
    Contract,
    Definition,
    Document,
    DocumentationScore,
    DocumentComparison,
    DocumentComparisonRequest,
    Estimate,
    EstimateComparison,
    EstimateComparisonRequest,
    EstimateRequest,
    FactDefinition,
    GapRequest,
    GapStatement,
    Health,
    ImportSettings,
    JurisdictionRecord,
    LaborDepreciationRule,
    LetterName,
    MacroProgram,
    Paper,
    PriceIndex,
    ProblemType,
    ProgressBill,
    ProgressBillRequest,
    ProtectionMeasure,
    ProtectionReport,
    ProtectionRequest,
    Quote,
    QuoteReportName,
    QuoteRequest,
    QuoteVariance,
    QuoteVarianceRequest,
    Readiness,
    ReceiptImport,
    ReportName,
    SalesComparison,
    SalesComparisonRequest,
    ScheduleRecord,
    SerialNumberRegister,
    SerialNumberRequest,
    Service,
    SettlementRequest,
    Settlements,
    SheetValues,
    ValueCurve,
    ValueCurveRequest,
    Wage,
)
from hitchworth_sdk._webhooks import Webhooks
from hitchworth_sdk._workspace_access import WorkspaceAccess
from hitchworth_sdk.errors import TransportError

T = TypeVar("T")
P = ParamSpec("P")


class Client(KeptBuilds, KeptEvidence, KeptQuotes, WorkspaceAccess, Webhooks, Cells, Batches):
    """A client of one server. Close it after use, or use it in a `with` statement.
    Threads may share it.

    A computation stores nothing, and the same request always has the same answer. So a request is sent again, up to
    `retries` times, when no answer came or the server was busy; and so is what creates something, under a key by which
    the server does it once. Another change of a kept build is sent once: when no answer came, read the build to see.

    Every method takes the CallOptions for this one call, and raises a HitchworthError: InvalidInput for faults of the
    input, another ApiError for another problem, TransportError when no answer came.
    """

    def __init__(
        self,
        base_url: str | None = None,
        *,
        timeout: float | None = None,
        deadline: float | None = None,
        retries: int = 2,
        transport: httpx2.BaseTransport | None = None,
        http_client: httpx2.Client | None = None,
        headers: Mapping[str, str] | None = None,
        api_key: str | None = None,
    ) -> None:
        """Set up the client; nothing is sent yet.

        base_url: address of the server. Default: the environment variable HITCHWORTH_URL.
        timeout: seconds for connecting, and for each silence of the server; above zero. Default: the environment
            variable HITCHWORTH_TIMEOUT, otherwise 30.
        deadline: seconds for a whole call, with everything that is sent again; above zero. Default: none.
        retries: how often a request is sent again; 0: never.
        transport: an httpx2 transport, for tests and servers in the same process.
        http_client: an HTTP client with certificates, proxies and limits of its own. Who made it closes it. Default:
            one that trusts the usual authorities, and goes through the proxy that the environment names, if any.
        headers: headers of every request.
        api_key: the key that opens the server's kept builds. Default: the environment variable HITCHWORTH_KEY,
            otherwise none.

        Raises ConfigurationError for an invalid setting; the message never has the key.
        """
        self._timeout = client_timeout(timeout, os.environ)
        self._deadline = valid_deadline(deadline)
        self._retries = valid_retries(retries)
        self._headers = authorization(api_key, os.environ) | dict(headers or {})
        check_headers(self._headers)
        proxies = getproxies() if transport is None and http_client is None else {}
        self._route = route_to(server_url(base_url, os.environ), proxies)
        self._sender = Sender(self._route, transport, http_client)

    @classmethod
    def local(
        cls,
        database: str | PathLike[str] | None = None,
        *,
        timeout: float | None = None,
        deadline: float | None = None,
    ) -> Self:
        """Set up a client of the application in this process: no server, no port, no key. The server is installed then.

        database: where builds are kept: the path of a file, which is made, or postgresql://USER@HOST/NAME. Default:
            nowhere. timeout, deadline: as of any client.

        Raises ConfigurationError when the server is not installed, or cannot use the database.
        """
        transport = local_transport(None if database is None else fspath(database))
        return cls("http://localhost", timeout=timeout, deadline=deadline, api_key="", transport=transport)

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, traceback: TracebackType | None
    ) -> None:
        self.close()

    def close(self) -> None:
        """Close the connections. A call after that raises ClientClosedError."""
        self._sender.close()

    @overload
    def raw(
        self,
        method: Callable[P, Iterator[Any]],
        media_type: str | None = None,
        *,
        table: str | None = None,
        table_locale: str | None = None,
    ) -> Callable[P, Iterator[Response]]: ...

    @overload
    def raw(
        self,
        method: Callable[P, object],
        media_type: str | None = None,
        *,
        table: str | None = None,
        table_locale: str | None = None,
    ) -> RawMethod[P]: ...

    def raw(
        self,
        method: Callable[..., Any],
        media_type: str | None = None,
        *,
        table: str | None = None,
        table_locale: str | None = None,
    ) -> Callable[..., Any]:
        """Return a method of this client that takes the same, and returns the answer as it comes: a Response.

        For a list, one for each page; for a batch, one for each piece that was sent, whose contents follow one another.
        To have the record as well, use `on_response`.

        media_type: the format: of a table text/csv, text/tab-separated-values and the formats of a workbook, of a value
            curve image/svg+xml; the API's description has all. Raises NotAcceptable, when called, for another.
        table: which table of the answer. table_locale: whose spreadsheet is to open it.
        """
        view = copy(self)
        view._rendering = Rendering(media_type, table, table_locale)
        return cast("Callable[..., Any]", getattr(view, operations.operation_name(self, method)))

    def create_estimate(self, request: EstimateRequest, **options: Unpack[CallOptions]) -> Estimate:
        """Value every line of a build on one date."""
        return self._call(operations.CREATE_ESTIMATE, request, options)

    def create_estimate_comparison(
        self, request: EstimateComparisonRequest, **options: Unpack[CallOptions]
    ) -> EstimateComparison:
        """Compare two estimates, by effect and by line."""
        return self._call(operations.CREATE_ESTIMATE_COMPARISON, request, options)

    def create_document_comparison(
        self, request: DocumentComparisonRequest, **options: Unpack[CallOptions]
    ) -> DocumentComparison:
        """Compare two documents: what changed, in words, and what that changes of the values."""
        return self._call(operations.CREATE_DOCUMENT_COMPARISON, request, options)

    def create_value_curve(self, request: ValueCurveRequest, **options: Unpack[CallOptions]) -> ValueCurve:
        """Value a build on a series of dates, and find the days on which a limit begins or ceases to cover it."""
        return self._call(operations.CREATE_VALUE_CURVE, request, options)

    def create_sales_comparison(
        self, request: SalesComparisonRequest, **options: Unpack[CallOptions]
    ) -> SalesComparison:
        """Value a build by comparable sales, and reconcile that with its value by cost."""
        return self._call(operations.CREATE_SALES_COMPARISON, request, options)

    def create_classification(self, request: ClassificationRequest, **options: Unpack[CallOptions]) -> Assessment:
        """Compare the registered class with the built use."""
        return self._call(operations.CREATE_CLASSIFICATION, request, options)

    def create_settlements(self, request: SettlementRequest, **options: Unpack[CallOptions]) -> Settlements:
        """Compute what every policy pays for every loss."""
        return self._call(operations.CREATE_SETTLEMENTS, request, options)

    def create_gap_statement(self, request: GapRequest, **options: Unpack[CallOptions]) -> GapStatement:
        """Compute everything: value, class, settlements, and the questions ranked by the money at stake."""
        return self._call(operations.CREATE_GAP_STATEMENT, request, options)

    def create_protection_check(self, request: ProtectionRequest, **options: Unpack[CallOptions]) -> ProtectionReport:
        """Check the protection against each peril, the layers without protection, and the low-voltage circuits."""
        return self._call(operations.CREATE_PROTECTION_CHECK, request, options)

    def create_documentation_score(
        self, request: EstimateRequest, **options: Unpack[CallOptions]
    ) -> DocumentationScore:
        """Score what has a receipt, a photo, a serial number, and list the ten records to find first, by money."""
        return self._call(operations.CREATE_DOCUMENTATION_SCORE, request, options)

    def create_serial_number_register(
        self, request: SerialNumberRequest, **options: Unpack[CallOptions]
    ) -> SerialNumberRegister:
        """List every number of a trailer and of the parts in it, where it is stamped, and which file shows it."""
        return self._call(operations.CREATE_SERIAL_NUMBER_REGISTER, request, options)

    def create_attention(self, request: AttentionRequest, **options: Unpack[CallOptions]) -> AttentionList:
        """List what needs attention in a document: limits outgrown, gaps, old answers, quotes that expire."""
        return self._call(operations.CREATE_ATTENTION, request, options)

    @overload
    def create_conversation_sheet(
        self, request: GapRequest, media_type: TextReport = "text/html", **options: Unpack[ReportOptions]
    ) -> str: ...

    @overload
    def create_conversation_sheet(
        self, request: GapRequest, media_type: FileReport, **options: Unpack[ReportOptions]
    ) -> bytes: ...

    def create_conversation_sheet(
        self, request: GapRequest, media_type: ReportFormat = "text/html", **options: Unpack[ReportOptions]
    ) -> str | bytes:
        """Make the sheet for the conversation with the insurer: text for HTML and Markdown, bytes for PDF and DOCX.

        media_type: the format.
        """
        return self._call(operations.CREATE_CONVERSATION_SHEET[media_type], request, options)

    @overload
    def create_report(
        self,
        report: ReportName,
        request: GapRequest,
        media_type: TextReport = "text/html",
        **options: Unpack[ReportOptions],
    ) -> str: ...

    @overload
    def create_report(
        self, report: ReportName, request: GapRequest, media_type: FileReport, **options: Unpack[ReportOptions]
    ) -> bytes: ...

    def create_report(
        self,
        report: ReportName,
        request: GapRequest,
        media_type: ReportFormat = "text/html",
        **options: Unpack[ReportOptions],
    ) -> str | bytes:
        """Make one of the other reports, or all of them: text for HTML and Markdown, bytes for PDF and DOCX.

        report: its name.
        media_type: the format.
        """
        return self._call(operations.CREATE_REPORT[media_type], request, options, None, report=report)

    def create_quote(self, request: QuoteRequest, **options: Unpack[CallOptions]) -> Quote:
        """Quote a build as a workshop prices it: lines, options, tax and payments."""
        return self._call(operations.CREATE_QUOTE, request, options)

    def create_contract(self, request: QuoteRequest, **options: Unpack[CallOptions]) -> Contract:
        """Apply the change orders of a quote: their effect on total, payments and date."""
        return self._call(operations.CREATE_CONTRACT, request, options)

    def create_accepted_document(self, request: QuoteRequest, **options: Unpack[CallOptions]) -> Document:
        """Turn an accepted quote into the document of a build, with the written quote as evidence."""
        return self._call(operations.CREATE_ACCEPTED_DOCUMENT, request, options)

    def create_progress_bill(self, request: ProgressBillRequest, **options: Unpack[CallOptions]) -> ProgressBill:
        """Bill the progress of a contract: a schedule of values with retainage, and what is due now."""
        return self._call(operations.CREATE_PROGRESS_BILL, request, options)

    def create_quote_variance(self, request: QuoteVarianceRequest, **options: Unpack[CallOptions]) -> QuoteVariance:
        """Compare a quote with what was built, by category and cause."""
        return self._call(operations.CREATE_QUOTE_VARIANCE, request, options)

    @overload
    def create_quote_report(
        self,
        report: QuoteReportName,
        request: QuoteRequest,
        media_type: TextReport = "text/html",
        **options: Unpack[PaperOptions],
    ) -> str: ...

    @overload
    def create_quote_report(
        self, report: QuoteReportName, request: QuoteRequest, media_type: FileReport, **options: Unpack[PaperOptions]
    ) -> bytes: ...

    def create_quote_report(
        self,
        report: QuoteReportName,
        request: QuoteRequest,
        media_type: ReportFormat = "text/html",
        **options: Unpack[PaperOptions],
    ) -> str | bytes:
        """Make a report of a quote: text for HTML and Markdown, bytes for PDF and DOCX.

        report: its name.
        media_type: the format.
        """
        return self._call(operations.CREATE_QUOTE_REPORT[media_type], request, options, None, report=report)

    @overload
    def create_letter(
        self,
        letter: LetterName,
        request: GapRequest,
        media_type: TextLetter = "text/plain",
        **options: Unpack[ReportOptions],
    ) -> str: ...

    @overload
    def create_letter(
        self, letter: LetterName, request: GapRequest, media_type: Docx, **options: Unpack[ReportOptions]
    ) -> bytes: ...

    def create_letter(
        self,
        letter: LetterName,
        request: GapRequest,
        media_type: TextLetter | Docx = "text/plain",
        **options: Unpack[ReportOptions],
    ) -> str | bytes:
        """Write a letter to the insurer or to the registering authority: text for a mail, or bytes of a DOCX.

        letter: its name.
        media_type: the format.
        """
        return self._call(operations.CREATE_LETTER[media_type], request, options, None, letter=letter)

    def create_claim_pack(
        self,
        request: GapRequest,
        *,
        loss: str | None = None,
        policy: str | None = None,
        class_report: bool = False,
        paper: Paper | None = None,
        into: Path | None = None,
        **options: Unpack[CallOptions],
    ) -> bytes:
        """Make the claim pack for a loss, as the bytes of a ZIP file, without files of evidence.

        loss, policy: their names. Default: the only one of the request.
        class_report: whether the class report is in it.
        paper: the size of paper. Default: the usual one in the region of the request's locale.
        into: a file to write it to, piece by piece; the bytes are empty then.
        """
        asked: dict[str, object] = {"loss": loss, "policy": policy, "class_report": class_report, "paper": paper}
        return self._call(operations.CREATE_CLAIM_PACK.written_to(into), request, options, None, **asked)

    def create_document(self, request: bytes, **options: Unpack[CallOptions]) -> GapRequest:
        """Read a document from a file: JSON, YAML, TOML or a workbook. Raises InvalidInput with its faults.

        request: the content of the file.
        """
        return self._call(operations.CREATE_DOCUMENT, request, options)

    def create_receipt_import(
        self,
        request: bytes,
        settings: ImportSettings | None = None,
        locale: str | None = None,
        **options: Unpack[CallOptions],
    ) -> ReceiptImport:
        """Read a file of receipts or hours: CSV, XLSX, ODS or a calendar. Add the entries whose ids a build lacks.

        request: the content of the file.
        settings: how it is to be read, such as those of an earlier answer. Default: recognized, or asked.
        locale: the language of the texts. Default: en-US.
        """
        declared = None if settings is None else json.encode(settings).decode()
        return self._call(operations.CREATE_RECEIPT_IMPORT, request, options, settings=declared, locale=locale)

    def get_workbook_template(
        self,
        locale: str | None = None,
        media_type: WorkbookFormat = XLSX,
        *,
        demo: bool = False,
        **options: Unpack[CallOptions],
    ) -> bytes:
        """Get a workbook to fill in, with nothing but its headers or with the demo.

        locale: the language of the headers and words. Default: en-US.
        media_type: the format, XLSX or ODS.
        demo: fill in the fictional build of the demo.
        """
        operation = operations.GET_WORKBOOK_TEMPLATE[media_type]
        return self._call(operation, NO_BODY, options, demo=demo or None, locale=locale)

    def fill_workbook(
        self,
        request: bytes,
        locale: str | None = None,
        as_of: date | None = None,
        media_type: WorkbookFormat = XLSX,
        *,
        mark_faults: bool = False,
        **options: Unpack[CallOptions],
    ) -> bytes:
        """Fill in a workbook with its results. Raises InvalidInput, whose errors name the cells.

        request: the content of the workbook, XLSX or ODS.
        locale: the language of the workbook that comes back. Default: as the workbook says.
        as_of: the valuation date. Default: that in the workbook, or today.
        media_type: the format of the workbook that comes back.
        mark_faults: return a workbook with wrong cells marked and listed, instead of raising.
        """
        operation = operations.FILL_WORKBOOK[media_type]
        marked = mark_faults or None
        return self._call(operation, request, options, locale=locale, as_of=as_of, mark_faults=marked)

    def create_sheet_values(
        self,
        request: bytes,
        locale: str | None = None,
        as_of: date | None = None,
        settings: ImportSettings | None = None,
        currency: str | None = None,
        *,
        mark_faults: bool = False,
        **options: Unpack[CallOptions],
    ) -> SheetValues:
        """Value the rows of a spreadsheet, sent as its macros send them. Raises InvalidInput, whose errors name cells.

        request: a line for each row, the name of its sheet and its cells with tabs between, in UTF-8.
        locale: the language of the remarks. Default: as the sheet of the build says, or en-US.
        as_of: the valuation date. Default: that in the sheet of the build, or today.
        settings: how a table of receipts or hours is to be read. Default: recognized.
        currency: that of the amounts in such a table. Default: by their signs or codes, else that of the locale.
        mark_faults: return a remark for each row with a wrong cell, instead of raising.
        """
        declared = None if settings is None else json.encode(settings).decode()
        marked = mark_faults or None
        return self._call(
            operations.CREATE_SHEET_VALUES,
            request,
            options,
            locale=locale,
            as_of=as_of,
            settings=declared,
            currency=currency,
            mark_faults=marked,
        )

    def get_macro(
        self,
        program: MacroProgram,
        server_url: str | None = None,
        locale: str | None = None,
        currency: str | None = None,
        **options: Unpack[CallOptions],
    ) -> str:
        """Get the macro of a spreadsheet program: its code.

        program: the program in which it is installed.
        server_url: the address of the server that the macro asks. Default: the one that is asked here.
        locale: the language of what it writes. Default: en-US.
        currency: that of the amounts in a table of receipts. Default: as the server finds it.
        """
        return self._call(
            operations.GET_MACRO,
            NO_BODY,
            options,
            program=program,
            server_url=server_url,
            locale=locale,
            currency=currency,
        )

    def list_schedules(self, **options: Unpack[CallOptions]) -> tuple[ScheduleRecord, ...]:
        """List the schedules of depreciation, each with its source."""
        return self._call(operations.LIST_SCHEDULES, NO_BODY, options)

    def list_jurisdictions(self, **options: Unpack[CallOptions]) -> tuple[JurisdictionRecord, ...]:
        """List the jurisdictions where a trailer may be registered, each with the number of its definitions."""
        return self._call(operations.LIST_JURISDICTIONS, NO_BODY, options)

    def list_definitions(
        self, jurisdiction: str | None = None, as_of: date | None = None, **options: Unpack[CallOptions]
    ) -> tuple[Definition, ...]:
        """List the published definitions of classes, each with its citation.

        jurisdiction: only those that apply there, of the wider jurisdictions too. Default: all.
        as_of: only those in force on this day. Default: all.
        """
        return self._call(operations.LIST_DEFINITIONS, NO_BODY, options, jurisdiction=jurisdiction, as_of=as_of)

    def list_facts(self, **options: Unpack[CallOptions]) -> tuple[FactDefinition, ...]:
        """List the facts about a build that definitions ask for, each with its unit."""
        return self._call(operations.LIST_FACTS, NO_BODY, options)

    def list_price_indexes(self, **options: Unpack[CallOptions]) -> tuple[PriceIndex, ...]:
        """List the published price indexes, month by month."""
        return self._call(operations.LIST_PRICE_INDEXES, NO_BODY, options)

    def list_wages(self, **options: Unpack[CallOptions]) -> tuple[Wage, ...]:
        """List hourly wages by trade, with percentiles, and what they come to with employer costs and overhead."""
        return self._call(operations.LIST_WAGES, NO_BODY, options)

    def list_labor_depreciation_rules(self, **options: Unpack[CallOptions]) -> tuple[LaborDepreciationRule, ...]:
        """List what statutes, regulations and courts say on depreciating labor, by jurisdiction."""
        return self._call(operations.LIST_LABOR_DEPRECIATION_RULES, NO_BODY, options)

    def list_protections(self, **options: Unpack[CallOptions]) -> tuple[ProtectionMeasure, ...]:
        """List the measures against loss, each with the evidence that proves it."""
        return self._call(operations.LIST_PROTECTIONS, NO_BODY, options)

    def list_questions(self, **options: Unpack[CallOptions]) -> tuple[BankQuestion, ...]:
        """List the questions to settle before, during and after the build."""
        return self._call(operations.LIST_QUESTIONS, NO_BODY, options)

    def get_service(self, **options: Unpack[CallOptions]) -> Service:
        """Get what the server is, and the paths of its documents."""
        return self._call(operations.GET_SERVICE, NO_BODY, options)

    def get_problem_type(self, name: str, **options: Unpack[CallOptions]) -> ProblemType:
        """Get the explanation of a kind of problem. name: the last part of its type, such as invalid-input."""
        return self._call(operations.GET_PROBLEM_TYPE, NO_BODY, options, name=name)

    def get_health(self, **options: Unpack[CallOptions]) -> Health:
        """Get whether the server is running, and its version."""
        return self._call(operations.GET_HEALTH, NO_BODY, options)

    def get_readiness(self, **options: Unpack[CallOptions]) -> Readiness:
        """Get whether the server should be sent requests; raises ServiceUnavailable, which says why, when not."""
        return self._call(operations.GET_READINESS, NO_BODY, options)

    def _answer(
        self,
        operation: Operation[Any],
        body: object,
        options: CallOptions,
        headers: Mapping[str, str] | None = None,
        **arguments: object,
    ) -> Response:
        asked = {name: value for name, value in options.items() if name not in CallOptions.__optional_keys__}
        layers = (self._headers, headers or {}, options.get("headers", {}))
        request = prepare_request(operation, uuid4().hex, body, arguments | asked, layers)
        timeout = valid_timeout(options.get("timeout", self._timeout))
        timing = timing_of(timeout, valid_deadline(options.get("deadline", self._deadline)), monotonic())
        retries = valid_retries(options.get("retries", self._retries)) if operation.repeatable else 0
        for attempt in count():
            began = monotonic()
            outcome = self._sender.send(request, timing)
            log_outcome(operation, request, outcome, monotonic() - began)
            warn_if_deprecated(operation, outcome)
            if isinstance(outcome, Response) and "on_response" in options:
                options["on_response"](outcome)
            pause = pause_before_retry(outcome, attempt, random.random()) if attempt < retries else None
            if pause is None or not timing.allows(pause, monotonic()):
                break
            log_pause(operation, request, pause)
            self._sender.pause(pause)
        if isinstance(outcome, TransportError):
            raise outcome
        return outcome

    def _work(self, function: Callable[P, T], *args: P.args, **kwargs: P.kwargs) -> T:
        return self._sender.work(function, *args, **kwargs)
