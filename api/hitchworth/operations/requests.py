"""Requests: read from JSON, checked, and completed: reference rates are put in, refunds taken off."""

from collections.abc import Iterator
from typing import Any, TypeVar

from msgspec.structs import replace

from hitchworth import validation
from hitchworth.appraisal import with_refunds_applied
from hitchworth.model.attention import AttentionRequest
from hitchworth.model.build import Build
from hitchworth.model.document import Document
from hitchworth.model.fault import Fault
from hitchworth.model.options import Options
from hitchworth.model.quote_document import QuoteDocument
from hitchworth.model.request import (
    ClassificationRequest,
    DocumentComparisonRequest,
    EstimateComparisonRequest,
    EstimateRequest,
    GapRequest,
    ProgressBillRequest,
    ProtectionRequest,
    QuoteRequest,
    QuoteVarianceRequest,
    SalesComparisonRequest,
    SerialNumberRequest,
    SettlementRequest,
    ValueCurveRequest,
)
from hitchworth.operations.clock import today
from hitchworth.operations.exchange_rates import with_reference_rates
from hitchworth.reports.photo import FORMATS, MAX_PIXELS, UnreadablePhotoError, printable

Request = TypeVar(
    "Request",
    Document,
    QuoteDocument,
    EstimateRequest,
    EstimateComparisonRequest,
    ValueCurveRequest,
    SalesComparisonRequest,
    ClassificationRequest,
    SettlementRequest,
    GapRequest,
    ProtectionRequest,
    SerialNumberRequest,
    DocumentComparisonRequest,
    QuoteRequest,
    QuoteVarianceRequest,
    ProgressBillRequest,
    AttentionRequest,
)


def read_request(body: bytes, kind: type[Request]) -> Request:
    """Read a request from JSON.

    Raises MalformedBodyError when the body is not JSON, and InvalidInputError with every fault of the body at once; or,
    in a body without other faults, with the place of each line that lacks an exchange rate.
    """
    return completed(read_as_written(body, kind))


def read_as_written(body: bytes, kind: type[Request]) -> Request:
    """Read a request from JSON without completing it. Raises as read_request does, but for exchange rates."""
    return validation.read(body, kind, today())


def currency_of(request: Request) -> str | None:
    """Return the currency of a request's amounts; None for a classification, which has none."""
    match request:
        case ClassificationRequest():
            return None
        case EstimateComparisonRequest() | DocumentComparisonRequest():
            return request.before.build.currency
        case _:
            return request.build.currency


def completed(request: Request) -> Request:
    """Return the request with refunds applied to its builds, and with reference rates if it asks for them.

    Its photo and logo can be printed. Raises InvalidInputError with the place of each line that lacks an exchange rate.
    """
    faults: list[Fault] = []
    if isinstance(request, DocumentComparisonRequest):
        faults.extend(_faults_of_documents(request))
    with_rates = _with_reference_rates(request, faults)
    if isinstance(request, Document | ClassificationRequest) and request.photo is not None:
        faults.extend(photo_faults(request.photo, "/photo", "photo"))
    if isinstance(request, QuoteDocument) and request.pricing.workshop and request.pricing.workshop.logo is not None:
        faults.extend(photo_faults(request.pricing.workshop.logo, "/pricing/workshop/logo", "logo"))
    if faults:
        raise validation.InvalidInputError(faults)
    return _with_refunds_applied(with_rates)


def _faults_of_documents(request: DocumentComparisonRequest) -> Iterator[Fault]:
    """Yield what keeps one of two documents from being completed."""
    for name, document in (("before", request.before), ("after", request.after)):
        try:
            completed(document)
        except validation.InvalidInputError as error:
            yield from (replace(fault, pointer=f"/{name}{fault.pointer}") for fault in error.faults)


def _with_refunds_applied(request: Request) -> Request:
    match request:
        case EstimateComparisonRequest(before=before, after=after):
            return replace(
                request,
                before=replace(before, build=with_refunds_applied(before.build)),
                after=replace(after, build=with_refunds_applied(after.build)),
            )
        case DocumentComparisonRequest():  # what is compared is what was written
            return request
        case QuoteVarianceRequest(build=build, built=built):
            return replace(request, build=with_refunds_applied(build), built=with_refunds_applied(built))
        case ClassificationRequest():
            described = request.build and with_refunds_applied(request.build)
            return replace(request, build=described)
        case _:
            return replace(request, build=with_refunds_applied(request.build))


def _with_reference_rates(request: Request, faults: list[Fault]) -> Request:
    match request:
        case EstimateComparisonRequest(options=Options(exchange_rates="ecb"), before=before, after=after):
            return replace(
                request,
                before=replace(before, build=with_reference_rates(before.build, "/before/build", faults)),
                after=replace(after, build=with_reference_rates(after.build, "/after/build", faults)),
            )
        case QuoteDocument(options=Options(exchange_rates="ecb")):
            return replace(request, **_rated_parts(request, faults))
        case ProtectionRequest() | SerialNumberRequest():  # they value nothing
            return request
        case (
            Document(options=Options(exchange_rates="ecb"), build=build)
            | ValueCurveRequest(options=Options(exchange_rates="ecb"), build=build)
            | SalesComparisonRequest(options=Options(exchange_rates="ecb"), build=build)
        ):
            return replace(request, build=with_reference_rates(build, "/build", faults))
        case _:
            return request


def _rated_parts(request: QuoteDocument, faults: list[Fault]) -> dict[str, Any]:
    """Return build, change orders and, where there is one, the trailer as built with the rates put in."""
    changes = []
    for index, order in enumerate(request.changes):
        entries = Build(name=request.build.name, currency=request.build.currency, components=order.components)
        rated = with_reference_rates(entries, f"/changes/{index}", faults)
        changes.append(replace(order, components=rated.components))
    parts = {"build": with_reference_rates(request.build, "/build", faults), "changes": tuple(changes)}
    if isinstance(request, QuoteVarianceRequest):
        parts["built"] = with_reference_rates(request.built, "/built", faults)
    return parts


def photo_faults(photo: bytes, pointer: str, name: str) -> Iterator[Fault]:
    """Yield why a picture cannot be printed."""
    try:
        printable(photo)
    except UnreadablePhotoError as error:
        yield Fault(
            pointer=pointer,
            detail=f"The {name} cannot be printed: {error}",
            expected=f"a {', '.join(FORMATS[:-1])} or {FORMATS[-1]} file of at most {MAX_PIXELS:,} pixels",
            found=f"{len(photo):,} bytes",
        )
