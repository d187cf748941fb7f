"""The kept builds of a workspace together, as a resource."""

from hitchworth.operations import costs, portfolios, result_tables
from hitchworth.operations.portfolios import PORTFOLIO
from hitchworth.operations.renderings import AS_JSON, AS_TABLE
from hitchworth.web.operation import Operation

OPERATIONS: tuple[Operation, ...] = (
    Operation(
        method="GET",
        path=PORTFOLIO,
        tag="Kept builds",
        function=portfolios.get_portfolio,
        renderings=(AS_JSON, *AS_TABLE),
        tables=result_tables.PORTFOLIO,
        scope="read",
        cache="private",
        cost=costs.unknown,
    ),
)
