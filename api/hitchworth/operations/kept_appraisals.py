"""What is computed from a kept build: the same as from its document sent as a body, to the byte.

The docstrings of the functions are the descriptions of the API.
"""

from calendar import monthrange
from collections.abc import Callable, Iterator
from datetime import MAXYEAR, date
from functools import partial
from itertools import count, islice, takewhile
from typing import Annotated, TypeAlias

from msgspec import Meta, Struct

from hitchworth import validation
from hitchworth.model.assessment import Assessment
from hitchworth.model.caller import Caller
from hitchworth.model.document import Document
from hitchworth.model.document_changes import DocumentComparison
from hitchworth.model.documentation import DocumentationScore
from hitchworth.model.estimate import Estimate
from hitchworth.model.fault import Fault
from hitchworth.model.gap import GapStatement
from hitchworth.model.numbers import Amount
from hitchworth.model.protection import ProtectionReport
from hitchworth.model.request import (
    ClassificationRequest,
    DocumentComparisonRequest,
    EstimateRequest,
    GapRequest,
    ProtectionRequest,
    SettlementRequest,
    ValueCurveRequest,
)
from hitchworth.model.settlement import Settlements
from hitchworth.model.value_curve import ValueBasis, ValueCurve
from hitchworth.operations import appraisals
from hitchworth.operations.builds import AtRevision, BuildParameter
from hitchworth.operations.clock import today
from hitchworth.operations.documents import dated, read_kept, request_at
from hitchworth.operations.requests import Request, completed
from hitchworth.store import Store

AsOf: TypeAlias = Annotated[
    date | None, Meta(description="Valuation date. Null: today, where the server is.", examples=[date(2026, 6, 1)])
]

MAX_DAYS = 400
"""As many as a value curve may have dates."""


class Version(Struct, frozen=True, kw_only=True):
    """Which state of a build, and on which day."""

    as_of: AsOf = None
    revision: AtRevision = None


class CurveDates(Struct, frozen=True, kw_only=True):
    """On which days a value curve has the value, and what it is compared with."""

    first: Annotated[
        date | None, Meta(description="The first day. Null: today, where the server is.", examples=[date(2026, 6, 1)])
    ] = None
    last: Annotated[
        date | None,
        Meta(description="The day after which there is no more. Null: ten years after the first."),
    ] = None
    months: Annotated[
        int, Meta(ge=1, le=120, description="Months from one day to the next. Default: 12.", examples=[24])
    ] = 12
    limit: Annotated[Amount | None, Meta(description="The policy's limit. Null: values only.")] = None
    basis: Annotated[
        ValueBasis, Meta(description="The value that the limit has to cover. Default: actual_cash_value.")
    ] = "actual_cash_value"


Side: TypeAlias = Annotated[str, Meta(pattern="^([1-9][0-9]{0,8}|[0-9]{4}-[0-9]{2}-[0-9]{2})$")]


class Sides(Struct, frozen=True, kw_only=True):
    """What is compared with what."""

    from_: Annotated[
        Side | None,
        Meta(
            description="The first estimate: a revision, or a date, which is the present revision valued on that date. "
            "Null: the revision before the present one.",
            examples=["1"],
        ),
    ] = None
    to: Annotated[
        Side | None,
        Meta(description="The second estimate, in the same way. Null: the present revision.", examples=["2"]),
    ] = None
    as_of: Annotated[
        date | None,
        Meta(
            description="Valuation date of what is named by its revision. Null: today, where the server is.",
            examples=[date(2026, 6, 1)],
        ),
    ] = None


def get_estimate(store: Store, caller: Caller, build: BuildParameter, version: Version) -> Estimate:
    """Value a kept build.

    The answer to POST /v1/estimates for its document.
    """
    return appraisals.create_estimate(_request(store, caller, build, version, EstimateRequest))


def get_classification(store: Store, caller: Caller, build: BuildParameter, version: Version) -> Assessment:
    """Classify a kept build.

    The answer to POST /v1/classifications for its document.
    """
    return appraisals.create_classification(_request(store, caller, build, version, ClassificationRequest))


def get_settlements(store: Store, caller: Caller, build: BuildParameter, version: Version) -> Settlements:
    """Settle the losses of a kept build under its policies.

    The answer to POST /v1/settlements for its document.
    """
    return appraisals.create_settlements(_request(store, caller, build, version, SettlementRequest))


def get_gap_statement(store: Store, caller: Caller, build: BuildParameter, version: Version) -> GapStatement:
    """State the gap of a kept build.

    The answer to POST /v1/gap-statements for its document.
    """
    return appraisals.create_gap_statement(_request(store, caller, build, version, GapRequest))


def get_protection_check(store: Store, caller: Caller, build: BuildParameter, version: Version) -> ProtectionReport:
    """Check the protection measures and circuits of a kept build.

    The answer to POST /v1/protection-checks for its document.
    """
    return appraisals.create_protection_check(_request(store, caller, build, version, ProtectionRequest))


def get_documentation_score(
    store: Store, caller: Caller, build: BuildParameter, version: Version
) -> DocumentationScore:
    """Score how well a kept build is documented.

    The answer to POST /v1/documentation-scores for its document.
    """
    return appraisals.create_documentation_score(_request(store, caller, build, version, EstimateRequest))


def get_value_curve(
    store: Store, caller: Caller, build: BuildParameter, dates: CurveDates, revision: AtRevision = None
) -> ValueCurve:
    """Value a kept build over time.

    The answer to POST /v1/value-curves for its build, on the first day and every so many months after it.
    """
    document = _document(store, caller, build, revision)
    request = request_at(document, ValueCurveRequest, dates=_days(dates), limit=dates.limit, basis=dates.basis)
    return appraisals.create_value_curve(request)


def get_comparison(store: Store, caller: Caller, build: BuildParameter, sides: Sides) -> DocumentComparison:
    """Compare two revisions or two dates of a kept build.

    The answer to POST /v1/document-comparisons for the two: what was added, removed and changed, in words, and what
    that changes of the values. Options and locale are those of the second.
    """
    present = store.builds.present(caller.workspace, build).revision
    before, after = sides.from_ or str(max(1, present - 1)), sides.to or str(present)
    document_of = partial(_document, store, caller, build)
    first, first_day = _side(document_of, "from", before, sides.as_of)
    second, second_day = _side(document_of, "to", after, sides.as_of)
    request = DocumentComparisonRequest(
        before=dated(first, first_day), after=dated(second, second_day), locale=second.locale
    )
    validation.check(request, today())
    return appraisals.create_document_comparison(completed(request))


def _request(store: Store, caller: Caller, build: str, version: Version, kind: type[Request]) -> Request:
    return request_at(_document(store, caller, build, version.revision), kind, version.as_of)


def _document(store: Store, caller: Caller, build: str, revision: int | None) -> Document:
    return read_kept(store.builds.read(caller.workspace, build, revision)[1])


def _side(
    document_of: Callable[[int | None], Document], name: str, side: str, as_of: date | None
) -> tuple[Document, date | None]:
    """Return what is compared, and its valuation date. Raises InvalidInputError when there is no such date."""
    if "-" not in side:
        return document_of(int(side)), as_of
    try:
        return document_of(None), date.fromisoformat(side)
    except ValueError:
        fault = Fault(pointer=f"/{name}", detail="There is no such date", expected="a revision, or a date", found=side)
        raise validation.InvalidInputError([fault]) from None


def _days(dates: CurveDates) -> tuple[date, ...]:
    """Return the days of a curve. A day that a month does not have is its last.

    Raises InvalidInputError when there are none, or too many.
    """
    first = dates.first or today()
    last = dates.last or _later(first, 120) or date.max
    steps = takewhile(lambda day: day <= last, _days_from(first, dates.months))
    days = tuple(islice(steps, MAX_DAYS + 1))
    if 1 <= len(days) <= MAX_DAYS:
        return days
    found = f"{len(days):,} days" if days else str(last)
    fault = Fault(
        pointer="/last", detail="No curve has these days", expected=f"1 to {MAX_DAYS} days from the first", found=found
    )
    raise validation.InvalidInputError([fault])


def _days_from(first: date, months: int) -> Iterator[date]:
    """Yield the first day and every so many months after it, as far as the calendar goes."""
    for step in count():
        day = _later(first, months * step)
        if day is None:
            return
        yield day


def _later(day: date, months: int) -> date | None:
    """Return the day so many months later; None beyond the calendar."""
    year, month = divmod(day.year * 12 + day.month - 1 + months, 12)
    if year > MAXYEAR:
        return None
    return date(year, month + 1, min(day.day, monthrange(year, month + 1)[1]))
