"""Settlements: what each policy pays for each loss."""

from hitchworth import appraisal
from hitchworth.localization.localize import localize
from hitchworth.model.request import SettlementRequest
from hitchworth.model.settlement import Settlements
from hitchworth.web.clock import today
from hitchworth.web.content_negotiation import AS_JSON
from hitchworth.web.operation import Operation
from hitchworth.web.tables import as_tables


def create_settlements(request: SettlementRequest) -> Settlements:
    """Settle losses under policies.

    Every policy against every loss: the steps, each with the amount that stands after it, what is payable, and the gap
    to the replacement cost, taken apart by cause. A term that is null is settled at its least favorable plausible
    answer, and the settlement says so. As CSV or TSV: what each policy pays for each loss.
    """
    return localize(appraisal.settle(request, request.as_of or today()), request.locale, request.build.currency)


OPERATIONS = (
    Operation(
        method="POST",
        path="/v1/settlements",
        tag="Appraisal",
        function=create_settlements,
        renderings=(AS_JSON, *as_tables(lambda answer: answer.matrix)),
        example="settlement",
        run_in_thread=True,
    ),
)
