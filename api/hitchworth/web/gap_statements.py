"""Gap statements: the whole job in one answer."""

from hitchworth import appraisal
from hitchworth.localization.localize import localize
from hitchworth.model.gap import GapStatement
from hitchworth.model.request import GapRequest
from hitchworth.web.clock import today
from hitchworth.web.operation import Operation


def create_gap_statement(request: GapRequest) -> GapStatement:
    """State the gap between replacing the trailer and what would be paid.

    Estimate, assessment and settlements together, and the questions to settle with the insurer first, ranked by the
    money that hangs on each. Recorded answers are taken into account.
    """
    return localize(appraisal.gap_statement(request, request.as_of or today()), request.locale)


OPERATIONS = (
    Operation(
        method="POST",
        path="/v1/gap-statements",
        tag="Appraisal",
        function=create_gap_statement,
        example="gap-statement",
        run_in_thread=True,
    ),
)
