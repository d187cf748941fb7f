"""What computing an answer takes, estimated from the request: in lines valued, the work of one line of an estimate.

An estimate is for sorting requests: what is short is computed at once, what is long waits for others that are. It is
not exact, and nobody pays by it.
"""

from math import inf, prod

from hitchworth.model.attention import AttentionRequest
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
from hitchworth.model.schedule import Schedule
from hitchworth.validation.settling_work import settling_work

_REQUEST = 15
"""Reading the smallest request, and writing its answer."""
_FILE = 1000
_BYTES_A_LINE = 10
"""A line in a file is longer, but reading a spreadsheet takes several times its valuation."""
_ROW = 8
"""A row of a column of cells: it is checked like a request of its own."""
_DATE = 3
"""A date of a value curve, beside its lines."""
_MOST_CHANGED = 100_000
"""The most lines that are valued for the changes of a curve."""
_MOST_SEARCHED = 800_000
"""The most lines that are valued in the search for the days on which a limit begins or ceases to cover the value."""
_DAYS_SEARCHED = 400
"""As many days are searched, of a small build."""
_POINTS_A_LINE, _MONTHS_A_LINE = 5, 15
"""So many points of a schedule that is written out, and months of an index of one's own, take as long as a line."""
_SUBJECTS_A_LINE = 25
"""So many subjects of evidence take as long as a line."""
_FACTS_A_LINE = 30
_PLACE = 80
"""The definitions of a place."""
_COMPARABLE = 10
_MEASURE = 10
_COMBINATIONS_A_LINE = 5
"""A line is priced so many times in the time in which it is valued once."""
_STATEMENT = 200
"""The questions, and what to do after a loss."""
_QUESTIONS = 1.2
"""A gap statement beside the settlements in it: what every plausible answer comes to."""


def unknown(_: object) -> float:
    """Cost of what is read first or made into papers: as much as anything."""
    return inf


def of_file(body: bytes) -> float:
    """Cost of what is made from a file: a table or a document in any format."""
    return _FILE + len(body) / _BYTES_A_LINE


def of_column(body: bytes) -> float:
    """Cost of the cells of many rows, in CSV or in JSON."""
    return _FILE + _ROW * max(body.count(b"\n"), body.count(b"{"))


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
    """Cost of a value curve. The lines are valued on each date and day of change, and in the search for crossings."""
    lines = len(request.build.components) + len(request.build.labor)
    valued = len(request.dates) * (_DATE + lines) + min(lines * _DAYS_SEARCHED, _MOST_CHANGED)
    return _REQUEST + _lines(request.build) + valued + (_search(request.build) if request.limit is not None else 0)


def of_sales_comparison(request: SalesComparisonRequest) -> float:
    """Cost of a sales comparison."""
    return _REQUEST + _lines(request.build) + _COMPARABLE * len(request.comparables)


def of_classification(request: ClassificationRequest) -> float:
    """Cost of a classification: the definitions of each place, the faults of the build."""
    described = request.build is None or request.build.jurisdiction is not None
    places = described + len(request.travels_to)
    facts = len(request.facts) / _FACTS_A_LINE
    return _REQUEST + _PLACE * places + facts + (_lines(request.build) if request.build else 0) + _photo(request.photo)


def of_settlements(request: Document) -> float:
    """Cost of settlements: the build on each day of a loss, each policy for each loss."""
    days = len({loss.occurred_on for loss in request.losses})
    return _REQUEST + _document(request) + (1 + 2 * days) * _lines(request.build) + settling_work(request)


def of_gap_statement(request: Document) -> float:
    """Cost of a gap statement."""
    return _STATEMENT + _QUESTIONS * of_settlements(request)


def of_attention(request: AttentionRequest) -> float:
    """Cost of what needs attention: a gap statement, and the search of two courses of prices for each limit."""
    return of_gap_statement(request) + (2 * _search(request.build) if request.policies else 0)


def of_protection_check(request: ProtectionRequest) -> float:
    """Cost of a protection check."""
    build = request.build
    measures = _MEASURE * (len(build.protections or ()) + len(build.circuits))
    return _REQUEST + _document(request) + _lines(build) + measures


def of_documentation(request: EstimateRequest | SerialNumberRequest) -> float:
    """Cost of a documentation score and of a register of serial numbers."""
    subjects = sum(len(each.subjects) for each in request.evidence)
    return _REQUEST + _document(request) + _lines(request.build) + len(request.evidence) + subjects / _SUBJECTS_A_LINE


def of_quote(request: QuoteDocument) -> float:
    """Cost of a quote: every combination of its options is priced."""
    groups = request.pricing.option_groups
    combinations = prod(len(group.alternatives) + (not group.required) for group in groups)
    changed = sum(len(order.components) + len(order.labor) for order in request.changes)
    return (
        _STATEMENT + _document(request) + (_lines(request.build) + changed) * (1 + combinations / _COMBINATIONS_A_LINE)
    )


def _lines(build: Build) -> float:
    """Return the lines of a build, and what is written out in it in lines."""
    schedules = [part.schedule for part in build.components] + [entry.schedule for entry in build.labor]
    points = sum(len(each.points) for each in schedules if isinstance(each, Schedule))
    points += sum(len(each.points) for each in build.schedules.values())
    months = sum(map(len, build.price_indexes.values()))
    return len(schedules) + points / _POINTS_A_LINE + months / _MONTHS_A_LINE


def _search(build: Build) -> float:
    """Cost of the search for the days on which limits begin or cease to cover the value."""
    return min((len(build.components) + len(build.labor)) * _DAYS_SEARCHED, _MOST_SEARCHED)


def _document(request: Document) -> float:
    """Cost of checking what else is in a document."""
    return _photo(request.photo) + len(request.policies) + len(request.losses) + len(request.answers)


def _photo(photo: bytes | None) -> float:
    """Cost of a photo: a few bytes may stand for many pixels."""
    return 0 if photo is None else inf
