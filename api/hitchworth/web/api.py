"""The API: every operation, in the order of the document."""

from hitchworth.web import (
    classifications,
    conversation_sheets,
    estimate_comparisons,
    estimates,
    gap_statements,
    protection_checks,
    reference_data,
    sales_comparisons,
    service,
    settlements,
    value_curves,
)
from hitchworth.web.operation import Operation

OPERATIONS: tuple[Operation, ...] = (
    *estimates.OPERATIONS,
    *estimate_comparisons.OPERATIONS,
    *value_curves.OPERATIONS,
    *sales_comparisons.OPERATIONS,
    *classifications.OPERATIONS,
    *settlements.OPERATIONS,
    *gap_statements.OPERATIONS,
    *conversation_sheets.OPERATIONS,
    *protection_checks.OPERATIONS,
    *reference_data.OPERATIONS,
    *service.OPERATIONS,
)


def by_path() -> dict[str, tuple[Operation, ...]]:
    """The operations of each address."""
    paths = dict.fromkeys(operation.path for operation in OPERATIONS)
    return {path: tuple(operation for operation in OPERATIONS if operation.path == path) for path in paths}
