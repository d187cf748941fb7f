"""What needs attention, as resources."""

from hitchworth.operations import attention, costs, kept_attention, result_tables
from hitchworth.operations.kept_attention import ATTENTION
from hitchworth.operations.renderings import AS_JSON, AS_TABLE
from hitchworth.web.kept_documents import next_page
from hitchworth.web.operation import Operation

OPERATIONS: tuple[Operation, ...] = (
    Operation(
        method="POST",
        path=ATTENTION,
        tag="Appraisal",
        function=attention.create_attention,
        renderings=(AS_JSON, *AS_TABLE),
        tables=result_tables.ATTENTION,
        example="attention",
        cost=costs.of_attention,
    ),
    Operation(
        method="GET",
        path=ATTENTION,
        tag="Kept builds",
        function=kept_attention.list_attention,
        renderings=(AS_JSON, *AS_TABLE),
        tables=result_tables.ATTENTION,
        scope="read",
        cache="private",
        headers={"Link": next_page},
        cost=costs.unknown,
        waits=True,
    ),
)
