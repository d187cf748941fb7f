"""The API: every operation, in the order of its description."""

from hitchworth.web import (
    appraisals,
    build_parts,
    builds,
    cells,
    evidence,
    imports,
    kept_appraisals,
    quotes,
    reference_data,
    reports,
    service,
    workbooks,
    workspace_access,
)
from hitchworth.web.operation import Operation

OPERATIONS: tuple[Operation, ...] = (
    *appraisals.OPERATIONS,
    *reports.OPERATIONS,
    *quotes.OPERATIONS,
    *builds.OPERATIONS,
    *build_parts.OPERATIONS,
    *evidence.OPERATIONS,
    *kept_appraisals.OPERATIONS,
    *cells.OPERATIONS,
    *workspace_access.OPERATIONS,
    *imports.OPERATIONS,
    *workbooks.OPERATIONS,
    *reference_data.OPERATIONS,
    *service.OPERATIONS,
)


def operations_by_path() -> dict[str, tuple[Operation, ...]]:
    """Return the operations of each path."""
    paths = dict.fromkeys(operation.path for operation in OPERATIONS)
    return {path: tuple(operation for operation in OPERATIONS if operation.path == path) for path in paths}
