"""The API: every operation, in the order of its description."""

from hitchworth.web import (
    appraisals,
    attention,
    batches,
    build_parts,
    builds,
    cells,
    claim_packs,
    evidence,
    imports,
    kept_appraisals,
    kept_quotes,
    portfolio,
    quotes,
    reference_data,
    reports,
    serial_numbers,
    service,
    sheets,
    webhooks,
    workbooks,
    workspace_access,
)
from hitchworth.web.operation import Operation

OPERATIONS: tuple[Operation, ...] = (
    *appraisals.OPERATIONS,
    *batches.OPERATIONS,
    *reports.OPERATIONS,
    *quotes.OPERATIONS,
    *builds.OPERATIONS,
    *build_parts.OPERATIONS,
    *evidence.OPERATIONS,
    *kept_appraisals.OPERATIONS,
    *claim_packs.OPERATIONS,
    *kept_quotes.OPERATIONS,
    *serial_numbers.OPERATIONS,
    *attention.OPERATIONS,
    *portfolio.OPERATIONS,
    *cells.OPERATIONS,
    *workspace_access.OPERATIONS,
    *webhooks.OPERATIONS,
    *imports.OPERATIONS,
    *workbooks.OPERATIONS,
    *sheets.OPERATIONS,
    *reference_data.OPERATIONS,
    *service.OPERATIONS,
)


def operations_by_path() -> dict[str, tuple[Operation, ...]]:
    """Return the operations of each path."""
    paths = dict.fromkeys(operation.path for operation in OPERATIONS)
    return {path: tuple(operation for operation in OPERATIONS if operation.path == path) for path in paths}
