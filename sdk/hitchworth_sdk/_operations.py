"""The operations of the API, one constant each, named after the `operationId` in the API description."""

from collections.abc import Callable
from typing import Generic, TypeVar

from msgspec import Struct
from msgspec.json import Decoder

from hitchworth_sdk._exchange import Operation
from hitchworth_sdk._types import (
    Assessment,
    BankQuestion,
    Definition,
    Estimate,
    EstimateComparison,
    FactDefinition,
    GapStatement,
    Health,
    JurisdictionRecord,
    LaborDepreciationRule,
    PriceIndex,
    ProblemType,
    ProtectionMeasure,
    ProtectionReport,
    Readiness,
    SalesComparison,
    ScheduleRecord,
    Service,
    Settlements,
    ValueCurve,
    Wage,
)

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
CREATE_VALUE_CURVE = computation("/v1/value-curves", ValueCurve)
CREATE_SALES_COMPARISON = computation("/v1/sales-comparisons", SalesComparison)
CREATE_CLASSIFICATION = computation("/v1/classifications", Assessment)
CREATE_SETTLEMENTS = computation("/v1/settlements", Settlements)
CREATE_GAP_STATEMENT = computation("/v1/gap-statements", GapStatement)
CREATE_PROTECTION_CHECK = computation("/v1/protection-checks", ProtectionReport)


def report(path: str, media_type: str, decode: Callable[[bytes], T]) -> Operation[T]:
    """Return the operation that makes a report in one format."""
    return Operation(method="POST", path=path, decode=decode, media_type=media_type, repeatable=True)


_SHEETS, _REPORTS, _LETTERS = "/v1/conversation-sheets", "/v1/reports/{report}", "/v1/letters/{letter}"
_TEXTS = ("text/html", "text/markdown")
_FILES = ("application/pdf", "application/vnd.openxmlformats-officedocument.wordprocessingml.document")

TEXT_SHEETS = {kind: report(_SHEETS, kind, bytes.decode) for kind in _TEXTS}
FILE_SHEETS = {kind: report(_SHEETS, kind, bytes) for kind in _FILES}
TEXT_REPORTS = {kind: report(_REPORTS, kind, bytes.decode) for kind in _TEXTS}
FILE_REPORTS = {kind: report(_REPORTS, kind, bytes) for kind in _FILES}
TEXT_LETTER = report(_LETTERS, "text/plain", bytes.decode)
FILE_LETTER = report(_LETTERS, _FILES[1], bytes)
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
