"""The appraisals: a build, policies and losses in; figures, verdicts and questions out.

The docstrings of the functions are the descriptions of the API. Where a request names no date, today's is used.
"""

from collections.abc import Callable
from functools import wraps

from msgspec.structs import replace

from hitchworth import appraisal
from hitchworth.localization.localize import LocalizedRecord, localize
from hitchworth.model.assessment import Assessment
from hitchworth.model.document_changes import DocumentComparison
from hitchworth.model.documentation import DocumentationScore
from hitchworth.model.estimate import Estimate
from hitchworth.model.estimate_comparison import EstimateComparison
from hitchworth.model.gap import GapStatement
from hitchworth.model.protection import ProtectionReport
from hitchworth.model.request import (
    ClassificationRequest,
    DocumentComparisonRequest,
    EstimateComparisonRequest,
    EstimateRequest,
    GapRequest,
    ProtectionRequest,
    SalesComparisonRequest,
    SettlementRequest,
    ValueCurveRequest,
)
from hitchworth.model.sales_comparison import SalesComparison
from hitchworth.model.settlement import Settlements
from hitchworth.model.value_curve import ValueCurve
from hitchworth.operations.clock import today
from hitchworth.operations.requests import Request, completed, currency_of


def _localized(compute: Callable[[Request], LocalizedRecord]) -> Callable[[Request], LocalizedRecord]:
    """Put the texts of the result into the locale and the currency of the request."""

    @wraps(compute)
    def operation(request: Request) -> LocalizedRecord:
        return localize(compute(request), request.locale, currency_of(request))

    return operation


@_localized
def create_estimate(request: EstimateRequest) -> Estimate:
    """Value a build.

    Every line of the build on the valuation date: historical cost, replacement cost new, percent good, depreciation and
    actual cash value. Also the totals, a band of uncertainty, and notes on what was assumed. As a table: the lines,
    or the categories.
    """
    return appraisal.estimate(request.build, request.as_of or today(), request.options)


@_localized
def create_estimate_comparison(request: EstimateComparisonRequest) -> EstimateComparison:
    """Compare two estimates.

    The lines added, the lines removed, and what changed in the lines that are in both: quantity, price, indirect costs,
    schedule, condition and age. Each effect starts from the result of the one before it, in the order given. The
    effects add up exactly to the change in replacement cost and in actual cash value, and so do the lines. Lines are
    matched by id.
    """
    before, after = request.before.as_of or today(), request.after.as_of or today()
    return appraisal.compare(request, before, after)


@_localized
def create_document_comparison(request: DocumentComparisonRequest) -> DocumentComparison:
    """Compare two documents.

    What changed, in words: components, labor, policies and their terms, losses, answers, facts and settings, each with
    its values before and after. Entries are matched by id or name; their order, and how a number is written, do not
    count. The estimates of both are compared as well, where the builds have one currency, and each changed line says
    what it changes of replacement cost and actual cash value.
    """
    before, after = completed(request.before), completed(request.after)
    return appraisal.compare_documents(request, before, after, before.as_of or today(), after.as_of or today())


@_localized
def create_value_curve(request: ValueCurveRequest) -> ValueCurve:
    """Value a build over time.

    Replacement cost, actual cash value and insurance to value on each date. Also every day from the first date to the
    last on which the limit stops covering the value or covers it again, exact to the day, with how it was found. Also
    available as a table of the dates, and as a chart (SVG).
    """
    return appraisal.value_curve(request)


@_localized
def create_sales_comparison(request: SalesComparisonRequest) -> SalesComparison:
    """Support an agreed value with comparable sales.

    A grid adjusts each comparable to the build: date of sale (by a price index), age, size, condition and equipment.
    Each adjustment has its formula and its reason; each comparable has its net and gross adjustment. The indicated
    values are weighted and reconciled with the cost approach. The weights add up to 1, the contributions to the value.
    """
    return appraisal.sales_comparison(request, request.as_of or today())


@_localized
def create_classification(request: ClassificationRequest) -> Assessment:
    """Classify a build.

    Compares the registered class with how the trailer is used, element by element, under the published definitions that
    apply where it is registered. A fact that is not known stays unknown. It is listed if it could change the verdict.
    """
    return appraisal.classify(request, request.as_of or today())


@_localized
def create_settlements(request: SettlementRequest) -> Settlements:
    """Settle losses under policies.

    Every policy with every loss: each step with its running amount, what is payable, and the gap to the replacement
    cost, broken down by cause. A term that is null is settled at its least favorable plausible answer, and the
    settlement says so. As a table: what each policy pays for each loss, the gap by cause, or the steps.
    """
    return appraisal.settle(request, request.as_of or today())


@_localized
def create_gap_statement(request: GapRequest) -> GapStatement:
    """State the gap between replacing the trailer and what insurance would pay.

    The estimate, the assessment and the settlements in one response, with the questions to settle with the insurer
    first, ranked by the money at stake. Recorded answers are taken into account. As a table: the settlements, the gap
    by cause, the steps, the questions, or the lines of the estimate.
    """
    return appraisal.gap_statement(request, request.as_of or today())


def create_documentation_score(request: EstimateRequest) -> DocumentationScore:
    """Score how well a trailer is documented.

    The share of the replacement cost of the parts that has a receipt, a photo, a serial number, and the ten records
    most worth finding first, by money. Photos and receipts are those of the document's evidence; a receipt counts as
    well where it is stated as what proves a cost. As a table: the records, or the shares.
    """
    estimate = appraisal.estimate(request.build, request.as_of or today(), replace(request.options, workings=False))
    return appraisal.documentation_score(request.build, request.evidence, estimate)


@_localized
def create_protection_check(request: ProtectionRequest) -> ProtectionReport:
    """Check the protection measures and circuits of a build.

    The perils that the measures slow and what proves each measure, the layers with no measure in place, the question to
    ask the insurer about each measure, how long a device takes to pay for itself through the discount entered, and
    checks of the low-voltage circuits. A check compares with trade practice and approves nothing: the local code and
    licensed people decide.
    """
    return appraisal.protection_report(request.build, request.policies, request.as_of or today())
