"""The appraisals as resources: the address of each operation, and the formats of its response."""

from functools import partial

from hitchworth.operations import appraisals
from hitchworth.operations.renderings import AS_CHART, AS_JSON, as_tables
from hitchworth.web.operation import Operation

_post = partial(Operation, method="POST", tag="Appraisal")

OPERATIONS: tuple[Operation, ...] = (
    _post(
        path="/v1/estimates",
        function=appraisals.create_estimate,
        renderings=(AS_JSON, *as_tables(lambda estimate: estimate.lines)),
        example="estimate",
    ),
    _post(
        path="/v1/estimate-comparisons",
        function=appraisals.create_estimate_comparison,
        example="estimate-comparison",
        run_in_thread=True,
    ),
    _post(
        path="/v1/document-comparisons",
        function=appraisals.create_document_comparison,
        renderings=(AS_JSON, *as_tables(lambda comparison: comparison.changes)),
        example="document-comparison",
        run_in_thread=True,
    ),
    _post(
        path="/v1/value-curves",
        function=appraisals.create_value_curve,
        renderings=(AS_JSON, *as_tables(lambda curve: curve.points), AS_CHART),
        example="value-curve",
        run_in_thread=True,
    ),
    _post(
        path="/v1/sales-comparisons",
        function=appraisals.create_sales_comparison,
        example="sales-comparison",
    ),
    _post(
        path="/v1/classifications",
        function=appraisals.create_classification,
        example="classification",
    ),
    _post(
        path="/v1/settlements",
        function=appraisals.create_settlements,
        renderings=(AS_JSON, *as_tables(lambda settlements: settlements.matrix)),
        example="settlement",
        run_in_thread=True,
    ),
    _post(
        path="/v1/gap-statements",
        function=appraisals.create_gap_statement,
        example="gap-statement",
        run_in_thread=True,
    ),
    _post(
        path="/v1/protection-checks",
        function=appraisals.create_protection_check,
        example="protection-check",
    ),
)
