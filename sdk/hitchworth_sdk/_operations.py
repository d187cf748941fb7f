"""The operations of the API, one constant each, named after the `operationId` in the API description.

One whose answer has several formats is a dictionary, by media type.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Generic, TypeVar, get_args

from msgspec import MsgspecError, Raw, Struct, json
from msgspec.json import Decoder

from hitchworth_sdk._calls import Docx, FileReport, TextLetter, TextReport, WorkbookFormat
from hitchworth_sdk._exchange import JSON, Operation
from hitchworth_sdk._types import (
    AccessPage,
    AddedEvidence,
    Answer,
    Assessment,
    AttentionList,
    AttentionPage,
    BankQuestion,
    BuildPage,
    Cell,
    CellColumn,
    Component,
    Contract,
    Definition,
    Document,
    DocumentationScore,
    DocumentComparison,
    Estimate,
    EstimateComparison,
    Evidence,
    FactDefinition,
    GapRequest,
    GapStatement,
    Health,
    JurisdictionRecord,
    KeptBuild,
    KeptQuote,
    KeyRecord,
    Labor,
    LaborDepreciationRule,
    Loss,
    MessagePage,
    NewKey,
    NewShare,
    NewWebhook,
    NumberSearch,
    PlateReading,
    Policy,
    Portfolio,
    PriceIndex,
    ProblemType,
    ProgressBill,
    ProtectionMeasure,
    ProtectionReport,
    Quote,
    QuotePage,
    QuoteRevision,
    QuoteRevisionPage,
    QuoteVariance,
    QuoteVerification,
    Readiness,
    ReceiptImport,
    Revision,
    RevisionPage,
    SalesComparison,
    ScheduleRecord,
    SerialNumberRegister,
    Service,
    Settlements,
    SharedBuild,
    ShareRecord,
    SheetValues,
    ValueCurve,
    Verification,
    Wage,
    WebhookMessage,
    WebhookRecord,
    WorkspaceRecord,
)
from hitchworth_sdk.errors import ConfigurationError, Problem

T = TypeVar("T")


class Items(Struct, Generic[T], frozen=True):
    """A list, as the API answers it."""

    items: tuple[T, ...]


def computation(path: str, answer: type[T]) -> Operation[T]:
    """Return an operation that computes. Nothing is stored, so the request may be sent again although it is a POST."""
    return Operation(method="POST", path=path, decode=Decoder(answer).decode, repeatable=True)


def reading(path: str, answer: type[T]) -> Operation[T]:
    """Return an operation that gets one record."""
    return Operation(method="GET", path=path, decode=Decoder(answer).decode, repeatable=True)


def listing(path: str, answer: type[Items[T]]) -> Operation[tuple[T, ...]]:
    """Return an operation that gets a list."""
    decoder = Decoder(answer)
    return Operation(method="GET", path=path, decode=lambda content: decoder.decode(content).items, repeatable=True)


CREATE_ESTIMATE = computation("/v1/estimates", Estimate)
CREATE_ESTIMATE_COMPARISON = computation("/v1/estimate-comparisons", EstimateComparison)
CREATE_DOCUMENT_COMPARISON = computation("/v1/document-comparisons", DocumentComparison)
CREATE_VALUE_CURVE = computation("/v1/value-curves", ValueCurve)
CREATE_SALES_COMPARISON = computation("/v1/sales-comparisons", SalesComparison)
CREATE_CLASSIFICATION = computation("/v1/classifications", Assessment)
CREATE_SETTLEMENTS = computation("/v1/settlements", Settlements)
CREATE_GAP_STATEMENT = computation("/v1/gap-statements", GapStatement)
CREATE_PROTECTION_CHECK = computation("/v1/protection-checks", ProtectionReport)
CREATE_DOCUMENTATION_SCORE = computation("/v1/documentation-scores", DocumentationScore)
CREATE_SERIAL_NUMBER_REGISTER = computation("/v1/serial-numbers", SerialNumberRegister)
CREATE_ATTENTION = computation("/v1/attention", AttentionList)
CREATE_DOCUMENT = computation("/v1/documents", GapRequest)
CREATE_RECEIPT_IMPORT = computation("/v1/receipt-imports", ReceiptImport)
CREATE_SHEET_VALUES = computation("/v1/sheet-values", SheetValues)
CREATE_QUOTE = computation("/v1/quotes", Quote)
CREATE_CONTRACT = computation("/v1/contracts", Contract)
CREATE_ACCEPTED_DOCUMENT = computation("/v1/accepted-quotes", Document)
CREATE_PROGRESS_BILL = computation("/v1/progress-bills", ProgressBill)
CREATE_QUOTE_VARIANCE = computation("/v1/quote-variances", QuoteVariance)


class Formats(dict[str, Operation[T]]):
    """An operation whose answer has several formats, by the media type of each."""

    def __missing__(self, media_type: str) -> Operation[T]:
        raise ConfigurationError(f"no format {media_type!r} here; there are: {', '.join(self)}")


def formats(method: str, path: str, decoders: Mapping[str, Callable[[bytes], T]]) -> Formats[T]:
    """Return an operation with several formats. Nothing is stored, so the request may be sent again."""
    return Formats(
        {
            media_type: Operation(method=method, path=path, decode=decode, media_type=media_type, repeatable=True)
            for media_type, decode in decoders.items()
        }
    )


_REPORT_FORMATS: dict[str, Callable[[bytes], str | bytes]] = {
    **dict.fromkeys(get_args(TextReport), bytes.decode),
    **dict.fromkeys(get_args(FileReport), bytes),
}
_LETTER_FORMATS: dict[str, Callable[[bytes], str | bytes]] = {
    **dict.fromkeys(get_args(TextLetter), bytes.decode),
    **dict.fromkeys(get_args(Docx), bytes),
}
_WORKBOOK_FORMATS: dict[str, Callable[[bytes], bytes]] = dict.fromkeys(get_args(WorkbookFormat), bytes)

CREATE_CONVERSATION_SHEET = formats("POST", "/v1/conversation-sheets", _REPORT_FORMATS)
CREATE_REPORT = formats("POST", "/v1/reports/{report}", _REPORT_FORMATS)
CREATE_LETTER = formats("POST", "/v1/letters/{letter}", _LETTER_FORMATS)
CREATE_QUOTE_REPORT = formats("POST", "/v1/quote-reports/{report}", _REPORT_FORMATS)
CREATE_CLAIM_PACK = Operation(
    method="POST", path="/v1/claim-packs", decode=bytes, media_type="application/zip", repeatable=True
)
FILL_WORKBOOK = formats("POST", "/v1/workbooks", _WORKBOOK_FORMATS)
GET_WORKBOOK_TEMPLATE = formats("GET", "/v1/workbook-template", _WORKBOOK_FORMATS)
GET_MACRO = Operation(
    method="GET", path="/v1/macros/{program}", decode=bytes.decode, media_type="text/plain", repeatable=True
)
LIST_SCHEDULES = listing("/v1/schedules", Items[ScheduleRecord])
LIST_JURISDICTIONS = listing("/v1/jurisdictions", Items[JurisdictionRecord])
LIST_DEFINITIONS = listing("/v1/definitions", Items[Definition])
LIST_FACTS = listing("/v1/facts", Items[FactDefinition])
LIST_PRICE_INDEXES = listing("/v1/price-indexes", Items[PriceIndex])
LIST_WAGES = listing("/v1/wages", Items[Wage])
LIST_LABOR_DEPRECIATION_RULES = listing("/v1/labor-depreciation-rules", Items[LaborDepreciationRule])
LIST_PROTECTIONS = listing("/v1/protections", Items[ProtectionMeasure])
LIST_QUESTIONS = listing("/v1/questions", Items[BankQuestion])
GET_SERVICE = reading("/", Service)
GET_HEALTH = reading("/health", Health)
GET_READINESS = reading("/ready", Readiness)
GET_PROBLEM_TYPE = reading("/problems/{name}", ProblemType)


def creation(path: str, answer: type[T]) -> Operation[T]:
    """Return an operation that creates something. It is sent with a key, so it may be sent again."""
    return Operation(method="POST", path=path, decode=Decoder(answer).decode, repeatable=True, keyed=True)


def change(method: str, path: str, answer: type[T], body_type: str = JSON) -> Operation[T]:
    """Return an operation that changes a build as it was seen. Sent again, it would not find it as it was."""
    return Operation(method=method, path=path, decode=Decoder(answer).decode, body_type=body_type)


_BUILDS, _BUILD = "/v1/builds", "/v1/builds/{build}"
CREATE_BUILD = creation(_BUILDS, KeptBuild)
LIST_BUILDS = reading(_BUILDS, BuildPage)
GET_BUILD = reading(_BUILD, KeptBuild)
REPLACE_BUILD = change("PUT", _BUILD, KeptBuild)
PATCH_BUILD = change("PATCH", _BUILD, KeptBuild, "application/merge-patch+json")
TRASH_BUILD = change("DELETE", _BUILD, Revision)
RECOVER_BUILD = change("POST", f"{_BUILD}/recover", Revision)
LIST_REVISIONS = reading(f"{_BUILD}/revisions", RevisionPage)
GET_REVISION = reading(f"{_BUILD}/revisions/{{revision}}", KeptBuild)
RESTORE_REVISION = change("POST", f"{_BUILD}/revisions/{{revision}}/restore", Revision)
VERIFY_BUILD = reading(f"{_BUILD}/verify", Verification)
ADD_COMPONENT = creation(f"{_BUILD}/components", Revision)
GET_COMPONENT = reading(f"{_BUILD}/components/{{component}}", Component)
REPLACE_COMPONENT = change("PUT", f"{_BUILD}/components/{{component}}", Revision)
REMOVE_COMPONENT = change("DELETE", f"{_BUILD}/components/{{component}}", Revision)
ADD_LABOR = creation(f"{_BUILD}/labor", Revision)
GET_LABOR = reading(f"{_BUILD}/labor/{{entry}}", Labor)
REPLACE_LABOR = change("PUT", f"{_BUILD}/labor/{{entry}}", Revision)
REMOVE_LABOR = change("DELETE", f"{_BUILD}/labor/{{entry}}", Revision)
ADD_POLICY = creation(f"{_BUILD}/policies", Revision)
GET_POLICY = reading(f"{_BUILD}/policies/{{policy}}", Policy)
REPLACE_POLICY = change("PUT", f"{_BUILD}/policies/{{policy}}", Revision)
REMOVE_POLICY = change("DELETE", f"{_BUILD}/policies/{{policy}}", Revision)
ADD_LOSS = creation(f"{_BUILD}/losses", Revision)
GET_LOSS = reading(f"{_BUILD}/losses/{{loss}}", Loss)
REPLACE_LOSS = change("PUT", f"{_BUILD}/losses/{{loss}}", Revision)
REMOVE_LOSS = change("DELETE", f"{_BUILD}/losses/{{loss}}", Revision)
ADD_ANSWER = creation(f"{_BUILD}/answers", Revision)
GET_ANSWER = reading(f"{_BUILD}/answers/{{number}}", Answer)
REPLACE_ANSWER = change("PUT", f"{_BUILD}/answers/{{number}}", Revision)
REMOVE_ANSWER = change("DELETE", f"{_BUILD}/answers/{{number}}", Revision)
SET_FACT = change("PUT", f"{_BUILD}/facts/{{fact}}", Revision)
REMOVE_FACT = change("DELETE", f"{_BUILD}/facts/{{fact}}", Revision)
GET_ESTIMATE = reading(f"{_BUILD}/estimate", Estimate)
GET_CLASSIFICATION = reading(f"{_BUILD}/classification", Assessment)
GET_SETTLEMENTS = reading(f"{_BUILD}/settlements", Settlements)
GET_GAP_STATEMENT = reading(f"{_BUILD}/gap-statement", GapStatement)
GET_PORTFOLIO = reading("/v1/portfolio", Portfolio)
LIST_ATTENTION = reading("/v1/attention", AttentionPage)
GET_PROTECTION_CHECK = reading(f"{_BUILD}/protection-check", ProtectionReport)
GET_DOCUMENTATION_SCORE = reading(f"{_BUILD}/documentation-score", DocumentationScore)
GET_SERIAL_NUMBER_REGISTER = reading(f"{_BUILD}/serial-numbers", SerialNumberRegister)
FIND_SERIAL_NUMBER = reading("/v1/serial-numbers", NumberSearch)
GET_VALUE_CURVE = reading(f"{_BUILD}/value-curve", ValueCurve)
GET_COMPARISON = reading(f"{_BUILD}/comparison", DocumentComparison)
GET_CONVERSATION_SHEET = formats("GET", f"{_BUILD}/conversation-sheet", _REPORT_FORMATS)
GET_REPORT = formats("GET", f"{_BUILD}/reports/{{report}}", _REPORT_FORMATS)
GET_LETTER = formats("GET", f"{_BUILD}/letters/{{letter}}", _LETTER_FORMATS)
GET_CLAIM_PACK = Operation(
    method="GET", path=f"{_BUILD}/claim-pack", decode=bytes, media_type="application/zip", repeatable=True
)

_QUOTES, _QUOTE = "/v1/kept-quotes", "/v1/kept-quotes/{quote}"
_CHANGE_ORDER = f"{_QUOTE}/change-orders/{{number}}"
CREATE_KEPT_QUOTE = creation(_QUOTES, KeptQuote)
LIST_KEPT_QUOTES = reading(_QUOTES, QuotePage)
GET_KEPT_QUOTE = reading(_QUOTE, KeptQuote)
REPLACE_KEPT_QUOTE = change("PUT", _QUOTE, KeptQuote)
PATCH_KEPT_QUOTE = change("PATCH", _QUOTE, KeptQuote, "application/merge-patch+json")
TRASH_KEPT_QUOTE = change("DELETE", _QUOTE, QuoteRevision)
RECOVER_KEPT_QUOTE = change("POST", f"{_QUOTE}/recover", QuoteRevision)
LIST_QUOTE_REVISIONS = reading(f"{_QUOTE}/revisions", QuoteRevisionPage)
GET_QUOTE_REVISION = reading(f"{_QUOTE}/revisions/{{revision}}", KeptQuote)
RESTORE_QUOTE_REVISION = change("POST", f"{_QUOTE}/revisions/{{revision}}/restore", QuoteRevision)
VERIFY_KEPT_QUOTE = reading(f"{_QUOTE}/verify", QuoteVerification)
ACCEPT_KEPT_QUOTE = creation(f"{_QUOTE}/accept", KeptBuild)
ADD_CHANGE_ORDER = creation(f"{_QUOTE}/change-orders", QuoteRevision)
REPLACE_CHANGE_ORDER = change("PUT", _CHANGE_ORDER, QuoteRevision)
WITHDRAW_CHANGE_ORDER = change("DELETE", _CHANGE_ORDER, QuoteRevision)
ACCEPT_CHANGE_ORDER = creation(f"{_CHANGE_ORDER}/accept", KeptQuote)
GET_CONTRACT = reading(f"{_QUOTE}/contract", Contract)
GET_KEPT_QUOTE_VARIANCE = reading(f"{_QUOTE}/variance", QuoteVariance)
GET_KEPT_QUOTE_REPORT = formats("GET", f"{_QUOTE}/reports/{{report}}", _REPORT_FORMATS)


def removal(path: str, answer: type[T]) -> Operation[T]:
    """Return an operation that ends something. Twice has the same effect as once."""
    return Operation(method="DELETE", path=path, decode=Decoder(answer).decode, repeatable=True)


_EVIDENCE = f"{_BUILD}/evidence"
_PHOTOS = ("image/png", "image/heic", "image/webp", "application/pdf")


def file(path: str, *further_types: str) -> Operation[bytes]:
    """Return an operation that reads a file."""
    return Operation(
        method="GET", path=path, decode=bytes, media_type="image/jpeg", further_types=further_types, repeatable=True
    )


ADD_EVIDENCE = creation(_EVIDENCE, AddedEvidence)
LIST_EVIDENCE = listing(_EVIDENCE, Items[Evidence])
GET_EVIDENCE = reading(f"{_EVIDENCE}/{{evidence}}", Evidence)
CHANGE_EVIDENCE = change("PATCH", f"{_EVIDENCE}/{{evidence}}", Revision, "application/merge-patch+json")
REMOVE_EVIDENCE = change("DELETE", f"{_EVIDENCE}/{{evidence}}", Revision)
GET_EVIDENCE_FILE = file(f"{_EVIDENCE}/{{evidence}}/file", *_PHOTOS)
GET_PLATE_READING = reading(f"{_EVIDENCE}/{{evidence}}/reading", PlateReading)
GET_EVIDENCE_THUMBNAIL = file(f"{_EVIDENCE}/{{evidence}}/thumbnail")
_KEYS, _SHARES, _SHARED = "/v1/keys", f"{_BUILD}/shares", "/v1/shared/{link}"
CREATE_KEY = creation(_KEYS, NewKey)
LIST_KEYS = listing(_KEYS, Items[KeyRecord])
ROTATE_KEY = change("POST", f"{_KEYS}/{{key}}/rotate", NewKey)
REVOKE_KEY = removal(f"{_KEYS}/{{key}}", KeyRecord)
CREATE_SHARE = creation(_SHARES, NewShare)
LIST_SHARES = listing(_SHARES, Items[ShareRecord])
REVOKE_SHARE = removal(f"{_SHARES}/{{share}}", ShareRecord)
LIST_ACCESS = reading("/v1/access-log", AccessPage)
GET_WORKSPACE = reading("/v1/workspace", WorkspaceRecord)
EXPORT_WORKSPACE = Operation(
    method="GET", path="/v1/workspace/export", decode=bytes, media_type="application/zip", repeatable=True
)
DELETE_WORKSPACE = change("DELETE", "/v1/workspace", WorkspaceRecord)
GET_SHARED_BUILD = reading(_SHARED, SharedBuild)
GET_SHARED_ESTIMATE = reading(f"{_SHARED}/estimate", Estimate)
GET_SHARED_REPORT = formats("GET", f"{_SHARED}/reports/{{report}}", _REPORT_FORMATS)

CREATE_PERCENT_GOOD_COLUMN = computation("/v1/cells/percent-good", CellColumn)
CREATE_DEPRECIATED_VALUE_COLUMN = computation("/v1/cells/depreciated-value", CellColumn)
CREATE_INDEXED_PRICE_COLUMN = computation("/v1/cells/indexed-price", CellColumn)
_WEBHOOKS, _WEBHOOK = "/v1/webhooks", "/v1/webhooks/{webhook}"
CREATE_WEBHOOK = creation(_WEBHOOKS, NewWebhook)
LIST_WEBHOOKS = listing(_WEBHOOKS, Items[WebhookRecord])
GET_WEBHOOK = reading(_WEBHOOK, WebhookRecord)
DELETE_WEBHOOK = removal(_WEBHOOK, WebhookRecord)
ROTATE_WEBHOOK_SECRET = change("POST", f"{_WEBHOOK}/rotate", NewWebhook)
ENABLE_WEBHOOK = change("POST", f"{_WEBHOOK}/enable", WebhookRecord)
TRY_WEBHOOK = change("POST", f"{_WEBHOOK}/test", WebhookMessage)
LIST_WEBHOOK_MESSAGES = reading(f"{_WEBHOOK}/messages", MessagePage)
GET_WEBHOOK_MESSAGE = reading(f"{_WEBHOOK}/messages/{{message}}", WebhookMessage)
RESEND_WEBHOOK_MESSAGE = change("POST", f"{_WEBHOOK}/messages/{{message}}/resend", WebhookMessage)

_CELLS, _BUILD_CELLS = "/v1/cells", "/v1/cells/builds/{build}"
GET_PERCENT_GOOD = reading(f"{_CELLS}/percent-good", Cell)
GET_DEPRECIATED_VALUE = reading(f"{_CELLS}/depreciated-value", Cell)
GET_INDEXED_PRICE = reading(f"{_CELLS}/indexed-price", Cell)
GET_REPLACEMENT_COST = reading(f"{_BUILD_CELLS}/replacement-cost", Cell)
GET_ACTUAL_CASH_VALUE = reading(f"{_BUILD_CELLS}/actual-cash-value", Cell)
GET_VERDICT = reading(f"{_BUILD_CELLS}/verdict", Cell)
GET_PAYABLE = reading(f"{_BUILD_CELLS}/payable", Cell)
GET_GAP = reading(f"{_BUILD_CELLS}/gap", Cell)
GET_MONEY_AT_STAKE = reading(f"{_BUILD_CELLS}/money-at-stake", Cell)
LIST_SHARED_EVIDENCE = listing(f"{_SHARED}/evidence", Items[Evidence])
GET_SHARED_EVIDENCE_FILE = file(f"{_SHARED}/evidence/{{evidence}}/file", *_PHOTOS)
GET_SHARED_EVIDENCE_THUMBNAIL = file(f"{_SHARED}/evidence/{{evidence}}/thumbnail")


NDJSON = "application/x-ndjson"


@dataclass(frozen=True)
class BatchAnswer(Generic[T]):
    """The answer to one request of a batch: what was asked for, or the problem with it."""

    line: int
    """The place of the request, from 1, or from the number that was given for the first one."""
    id: str | int | None
    """The id that the request had beside it; none for a record."""
    answer: T | None
    problem: Problem | None


def batch(path: str, name: str, answer: type[T]) -> Operation[tuple[BatchAnswer[T], ...]]:
    """Return an operation on lines. Nothing is stored, so they may be sent again."""
    decode_answer = Decoder(answer).decode

    def read(line: bytes) -> BatchAnswer[T]:
        members = json.decode(line, type=dict[str, Raw])
        problem = members.get("problem")
        return BatchAnswer(
            line=json.decode(members["line"], type=int),
            id=json.decode(members["id"], type=str | int | None),
            answer=decode_answer(members[name]) if problem is None else None,
            problem=None if problem is None else json.decode(problem, type=Problem),
        )

    def decode(content: bytes) -> tuple[BatchAnswer[T], ...]:
        try:
            return tuple(map(read, content.splitlines()))
        except KeyError as error:
            raise MsgspecError(f"a line has no {error}") from None

    return Operation(method="POST", path=path, decode=decode, media_type=NDJSON, body_type=NDJSON, repeatable=True)


CREATE_ESTIMATE_BATCH = batch("/v1/estimates/batch", "estimate", Estimate)
CREATE_GAP_STATEMENT_BATCH = batch("/v1/gap-statements/batch", "gap_statement", GapStatement)


def operation_name(client: object, method: Callable[..., object]) -> str:
    """Return the name of a method of a client that carries out one operation.

    Raises ConfigurationError for another method.
    """
    name = getattr(method, "__name__", "")
    is_one = isinstance(globals().get(name.upper()), Operation | Formats)
    if getattr(method, "__self__", None) is not client or not is_one:
        raise ConfigurationError("raw takes a method of the same client for one answer: client.raw(client.get_health)")
    return name
