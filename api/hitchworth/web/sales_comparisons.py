"""Second opinions: what like trailers sold for, and one value from sales and cost."""

from hitchworth import appraisal
from hitchworth.localization.localize import localize
from hitchworth.model.request import SalesComparisonRequest
from hitchworth.model.sales_comparison import SalesComparison
from hitchworth.web.clock import today
from hitchworth.web.operation import Operation


def create_sales_comparison(request: SalesComparisonRequest) -> SalesComparison:
    """Support an agreed value by comparable sales.

    Each comparable is adjusted to the build in a grid: date of sale by a price index, age, size, condition, equipment,
    each with its formula and reason, and with the net and gross adjustment. What the comparables indicate is weighed
    and reconciled with the cost approach; weights add up to 1, and contributions to the value.
    """
    return localize(appraisal.sales_comparison(request, request.as_of or today()), request.locale)


OPERATIONS = (
    Operation(
        method="POST",
        path="/v1/sales-comparisons",
        tag="Appraisal",
        function=create_sales_comparison,
        example="sales-comparison",
    ),
)
