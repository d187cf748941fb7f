"""Imports as resources: a file as the body, what it becomes in a build as the response."""

from hitchworth.operations import costs, imports
from hitchworth.operations.renderings import FILES
from hitchworth.web.operation import Operation

OPERATIONS: tuple[Operation, ...] = (
    Operation(
        method="POST",
        path="/v1/receipt-imports",
        tag="Appraisal",
        function=imports.create_receipt_import,
        files=FILES,
        example="receipts.csv",
        cost=costs.of_file,
    ),
)
