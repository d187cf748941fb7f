"""Settlements: what each policy pays for each loss."""

from msgspec.structs import replace

from hitchworth import appraisal
from hitchworth.model.request import SettlementRequest
from hitchworth.model.settlement import Settlements
from hitchworth.web.clock import today
from hitchworth.web.operations import Operation
from hitchworth.wording.worded import worded


def create_settlements(request: SettlementRequest) -> Settlements:
    """Settle losses under policies.

    Every policy against every loss: the steps, each with the amount that stands after it, what is payable, and the gap
    to the replacement cost, taken apart by cause. A term that is null is settled at its least favourable plausible
    answer, and the settlement says so.
    """
    answer = appraisal.settle(request, request.as_of or today())
    return replace(answer, settlements=worded(answer.settlements, request.locale, request.build.currency))


OPERATIONS = (
    Operation(
        method="POST",
        path="/v1/settlements",
        tag="Appraisal",
        function=create_settlements,
        example="settlement",
        slow=True,
    ),
)
