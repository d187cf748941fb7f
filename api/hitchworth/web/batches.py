"""The batches as resources: the address of each operation."""

from hitchworth.operations import batches, costs
from hitchworth.operations.batch_tables import ESTIMATE_BATCH, GAP_STATEMENT_BATCH
from hitchworth.operations.renderings import AS_LINES, AS_TABLE, NDJSON
from hitchworth.web.operation import Operation

OPERATIONS: tuple[Operation, ...] = (
    Operation(
        method="POST",
        path="/v1/estimates/batch",
        tag="Appraisal",
        function=batches.create_estimate_batch,
        cost=costs.of_estimate_lines,
        renderings=(AS_LINES, AS_TABLE[0]),
        tables=(ESTIMATE_BATCH,),
        files=(NDJSON,),
        streams=True,
        example="estimate-batch.ndjson",
    ),
    Operation(
        method="POST",
        path="/v1/gap-statements/batch",
        tag="Appraisal",
        function=batches.create_gap_statement_batch,
        cost=costs.unknown,
        renderings=(AS_LINES, AS_TABLE[0]),
        tables=(GAP_STATEMENT_BATCH,),
        files=(NDJSON,),
        streams=True,
        example="gap-statement-batch.ndjson",
    ),
)
