"""The quotes of a workshop as resources: the address of each operation, and the formats of its response."""

from functools import partial

from hitchworth.operations import costs, quotes, result_tables
from hitchworth.operations.renderings import AS_JSON, AS_REPORT, AS_TABLE
from hitchworth.web.operation import Operation

_post = partial(Operation, method="POST", tag="Quotes", example="quote", cost=costs.of_quote)

OPERATIONS: tuple[Operation, ...] = (
    _post(
        path="/v1/quotes",
        function=quotes.create_quote,
        renderings=(AS_JSON, *AS_TABLE),
        tables=result_tables.QUOTE,
    ),
    _post(
        path="/v1/contracts",
        function=quotes.create_contract,
        renderings=(AS_JSON, *AS_TABLE),
        tables=result_tables.CONTRACT,
    ),
    _post(path="/v1/accepted-quotes", function=quotes.create_accepted_document),
    _post(
        path="/v1/progress-bills",
        function=quotes.create_progress_bill,
        renderings=(AS_JSON, *AS_TABLE),
        tables=result_tables.PROGRESS_BILL,
        example="progress-bill",
    ),
    _post(
        path="/v1/quote-variances",
        function=quotes.create_quote_variance,
        renderings=(AS_JSON, *AS_TABLE),
        tables=result_tables.QUOTE_VARIANCE,
        example="quote-variance",
    ),
    _post(
        path="/v1/quote-reports/{report}", function=quotes.create_quote_report, renderings=AS_REPORT, cost=costs.unknown
    ),
)
