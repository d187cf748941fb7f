"""What computing an answer takes, estimated from the request: in lines valued, the work of one line of an estimate.

An estimate is for sorting requests: what is short is computed at once, what is long waits for others that are. It is
not exact, and nobody pays by it.
"""

from math import inf, prod

from hitchworth.model.build import Build
from hitchworth.model.document import Document
from hitchworth.model.quote_document import QuoteDocument
from hitchworth.model.request import (
    ClassificationRequest,
    DocumentComparisonRequest,
    EstimateComparisonRequest,
    EstimateRequest,
    ProtectionRequest,
    SalesComparisonRequest,
    SerialNumberRequest,
    ValueCurveRequest,
)

_REQUEST = 15
"""Reading the smallest request, and writing its answer."""
_FILE = 1000
_BYTES_A_LINE = 10
"""A line in a file is longer, but reading a spreadsheet takes several times its valuation."""
_DATE = 3
"""A date of a value curve, beside a fifth of its lines."""
_PLACE = 80
"""The definitions of a place."""
_COMPARABLE = 10
_MEASURE = 10
_STATEMENT = 200
"""The questions, and what to do after a loss."""
_SETTLEMENT = 1500
"""A policy of which nothing is known, settled for one loss under every plausible answer."""


def unknown(_: object) -> float:
    """Cost of what is read first or made into papers: as much as anything."""
    return inf


def of_file(body: bytes) -> float:
    """Cost of what is made from a file: a table or a document in any format."""
    return _FILE + len(body) / _BYTES_A_LINE


def of_estimate_lines(size: int) -> float:
    """Cost of lines of a batch of estimates, so many bytes of them."""
    return size / _BYTES_A_LINE


def of_estimate(request: EstimateRequest) -> float:
    """Cost of an estimate."""
    return _REQUEST + _document(request) + _lines(request.build)


def of_estimate_comparison(request: EstimateComparisonRequest) -> float:
    """Cost of comparing two estimates."""
    return _REQUEST + 2 * (_lines(request.before.build) + _lines(request.after.build))


def of_document_comparison(request: DocumentComparisonRequest) -> float:
    """Cost of comparing two documents."""
    sides = request.before, request.after
    return _REQUEST + sum(_document(side) + 4 * _lines(side.build) for side in sides)


def of_value_curve(request: ValueCurveRequest) -> float:
    """Cost of a value curve. The lines are worn anew on each date; the days of crossing are searched for."""
    lines = _lines(request.build)
    return _REQUEST + lines + len(request.dates) * (_DATE + lines / 5)


def of_sales_comparison(request: SalesComparisonRequest) -> float:
    """Cost of a sales comparison."""
    return _REQUEST + _lines(request.build) + _COMPARABLE * len(request.comparables)


def of_classification(request: ClassificationRequest) -> float:
    """Cost of a classification: the definitions of each place, the faults of the build."""
    described = request.build is None or request.build.jurisdiction is not None
    places = described + len(request.travels_to)
    return _REQUEST + _PLACE * places + (_lines(request.build) if request.build else 0) + _photo(request.photo)


def of_settlements(request: Document) -> float:
    """Cost of settlements: the build on each day of a loss, each policy for each loss."""
    days = len({loss.occurred_on for loss in request.losses})
    settled = _SETTLEMENT * len(request.policies) * len(request.losses)
    return _REQUEST + _document(request) + (1 + 2 * days) * _lines(request.build) + settled


def of_gap_statement(request: Document) -> float:
    """Cost of a gap statement."""
    return _STATEMENT + of_settlements(request)


def of_protection_check(request: ProtectionRequest) -> float:
    """Cost of a protection check."""
    build = request.build
    measures = _MEASURE * (len(build.protections or ()) + len(build.circuits))
    return _REQUEST + _document(request) + _lines(build) + measures


def of_documentation(request: EstimateRequest | SerialNumberRequest) -> float:
    """Cost of a documentation score and of a register of serial numbers."""
    return _REQUEST + _document(request) + _lines(request.build) + len(request.evidence)


def of_quote(request: QuoteDocument) -> float:
    """Cost of a quote: every combination of its options is priced."""
    combinations = prod(len(group.alternatives) + 1 for group in request.pricing.option_groups)
    changed = sum(len(order.components) + len(order.labor) for order in request.changes)
    return _STATEMENT + _document(request) + 2 * (_lines(request.build) + changed) * (1 + combinations)


def _lines(build: Build) -> int:
    return len(build.components) + len(build.labor)


def _document(request: Document) -> float:
    """Cost of checking what else is in a document."""
    return _photo(request.photo) + len(request.policies) + len(request.losses) + len(request.answers)


def _photo(photo: bytes | None) -> float:
    """Cost of a photo: a few bytes may stand for many pixels."""
    return 0 if photo is None else inf
