"""What needs attention, as resources."""

from hitchworth.operations import attention
from hitchworth.operations.attention import ATTENTION
from hitchworth.operations.renderings import AS_JSON, as_tables
from hitchworth.web.builds import next_page
from hitchworth.web.operation import Operation

_FORMATS = (AS_JSON, *as_tables(lambda found: found.items))

OPERATIONS: tuple[Operation, ...] = (
    Operation(
        method="POST",
        path=ATTENTION,
        tag="Appraisal",
        function=attention.create_attention,
        renderings=_FORMATS,
        example="attention",
        run_in_thread=True,
    ),
    Operation(
        method="GET",
        path=ATTENTION,
        tag="Kept builds",
        function=attention.list_attention,
        renderings=_FORMATS,
        scope="read",
        cache="private",
        headers={"Link": next_page},
        run_in_thread=True,
    ),
)
