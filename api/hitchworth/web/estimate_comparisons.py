"""Comparisons of estimates: two dates, two revisions, the quote and the trailer as built."""

from hitchworth import appraisal
from hitchworth.localization.localize import localize
from hitchworth.model.estimate_comparison import EstimateComparison
from hitchworth.model.request import EstimateComparisonRequest
from hitchworth.web.clock import today
from hitchworth.web.operation import Operation


def create_estimate_comparison(request: EstimateComparisonRequest) -> EstimateComparison:
    """Compare two estimates.

    What was added and removed, and what moved the lines that are in both: quantity, price, on-costs, schedule,
    condition, age, each taken at what those before it in the order left. By effect and by line the parts add up exactly
    to the differences of replacement cost and actual cash value. Lines are told by their ids.
    """
    before, after = request.before.as_of or today(), request.after.as_of or today()
    return localize(appraisal.compare(request, before, after), request.locale)


OPERATIONS = (
    Operation(
        method="POST",
        path="/v1/estimate-comparisons",
        tag="Appraisal",
        function=create_estimate_comparison,
        example="estimate-comparison",
        run_in_thread=True,
    ),
)
