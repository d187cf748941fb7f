"""The quotes of a workshop as resources: the address of each operation, and the formats of its response."""

from functools import partial

from hitchworth.operations import quotes
from hitchworth.operations.renderings import AS_JSON, AS_REPORT, as_tables
from hitchworth.web.operation import Operation

_post = partial(Operation, method="POST", tag="Quotes", example="quote", run_in_thread=True)

OPERATIONS: tuple[Operation, ...] = (
    _post(
        path="/v1/quotes",
        function=quotes.create_quote,
        renderings=(AS_JSON, *as_tables(lambda quote: quote.lines)),
    ),
    _post(
        path="/v1/contracts",
        function=quotes.create_contract,
        renderings=(AS_JSON, *as_tables(lambda contract: contract.changes)),
    ),
    _post(path="/v1/accepted-quotes", function=quotes.create_accepted_document),
    _post(
        path="/v1/progress-bills",
        function=quotes.create_progress_bill,
        renderings=(AS_JSON, *as_tables(lambda bill: bill.lines)),
        example="progress-bill",
    ),
    _post(
        path="/v1/quote-variances",
        function=quotes.create_quote_variance,
        renderings=(AS_JSON, *as_tables(lambda variance: variance.lines)),
        example="quote-variance",
    ),
    _post(path="/v1/quote-reports/{report}", function=quotes.create_quote_report, renderings=AS_REPORT),
)
