"""Second opinions: what like trailers sold for, and one value from sales and cost."""

from hitchworth import appraisal
from hitchworth.model.opinion import SecondOpinion
from hitchworth.model.request import SecondOpinionRequest
from hitchworth.web.clock import today
from hitchworth.web.operations import Operation
from hitchworth.wording.worded import worded


def create_second_opinion(request: SecondOpinionRequest) -> SecondOpinion:
    """Support an agreed value by comparable sales.

    Each comparable is adjusted to the build in a grid: date of sale by a price index, age, size, condition, equipment,
    each with its formula and reason, and with the net and gross adjustment. What the comparables indicate is weighed
    and reconciled with the cost approach; weights add up to 1, and contributions to the value.
    """
    return worded(appraisal.second_opinion(request, request.as_of or today()), request.locale)


OPERATIONS = (
    Operation(
        method="POST",
        path="/v1/second-opinions",
        tag="Appraisal",
        function=create_second_opinion,
        example="second-opinion",
    ),
)
