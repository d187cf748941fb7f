"""The appraisals as resources: the address of each operation, and the formats of its response."""

from functools import partial

from hitchworth.operations import appraisals, costs, result_tables
from hitchworth.operations.renderings import AS_CHART, AS_JSON, AS_TABLE
from hitchworth.web.operation import Operation

_post = partial(Operation, method="POST", tag="Appraisal")

OPERATIONS: tuple[Operation, ...] = (
    _post(
        path="/v1/estimates",
        function=appraisals.create_estimate,
        cost=costs.of_estimate,
        renderings=(AS_JSON, *AS_TABLE),
        tables=result_tables.ESTIMATE,
        example="estimate",
    ),
    _post(
        path="/v1/estimate-comparisons",
        function=appraisals.create_estimate_comparison,
        cost=costs.of_estimate_comparison,
        renderings=(AS_JSON, *AS_TABLE),
        tables=result_tables.ESTIMATE_COMPARISON,
        example="estimate-comparison",
    ),
    _post(
        path="/v1/document-comparisons",
        function=appraisals.create_document_comparison,
        cost=costs.of_document_comparison,
        renderings=(AS_JSON, *AS_TABLE),
        tables=result_tables.DOCUMENT_COMPARISON,
        example="document-comparison",
    ),
    _post(
        path="/v1/value-curves",
        function=appraisals.create_value_curve,
        cost=costs.of_value_curve,
        renderings=(AS_JSON, *AS_TABLE, AS_CHART),
        tables=result_tables.VALUE_CURVE,
        example="value-curve",
    ),
    _post(
        path="/v1/sales-comparisons",
        function=appraisals.create_sales_comparison,
        cost=costs.of_sales_comparison,
        renderings=(AS_JSON, *AS_TABLE),
        tables=result_tables.SALES_COMPARISON,
        example="sales-comparison",
    ),
    _post(
        path="/v1/classifications",
        function=appraisals.create_classification,
        cost=costs.of_classification,
        renderings=(AS_JSON, *AS_TABLE),
        tables=result_tables.ASSESSMENT,
        example="classification",
    ),
    _post(
        path="/v1/settlements",
        function=appraisals.create_settlements,
        cost=costs.of_settlements,
        renderings=(AS_JSON, *AS_TABLE),
        tables=result_tables.SETTLEMENTS,
        example="settlement",
    ),
    _post(
        path="/v1/gap-statements",
        function=appraisals.create_gap_statement,
        cost=costs.of_gap_statement,
        renderings=(AS_JSON, *AS_TABLE),
        tables=result_tables.GAP_STATEMENT,
        example="gap-statement",
    ),
    _post(
        path="/v1/documentation-scores",
        function=appraisals.create_documentation_score,
        cost=costs.of_documentation,
        renderings=(AS_JSON, *AS_TABLE),
        tables=result_tables.DOCUMENTATION,
        example="documented",
    ),
    _post(
        path="/v1/protection-checks",
        function=appraisals.create_protection_check,
        cost=costs.of_protection_check,
        renderings=(AS_JSON, *AS_TABLE),
        tables=result_tables.PROTECTION,
        example="protection-check",
    ),
)
