"""The reports and letters as resources: the address of each operation, and the formats of its response."""

from functools import partial

from hitchworth.operations import costs, reports
from hitchworth.operations.renderings import AS_LETTER, AS_REPORT
from hitchworth.web.operation import Operation

_post = partial(
    Operation, method="POST", tag="Reports", renderings=AS_REPORT, example="gap-statement", cost=costs.unknown
)

OPERATIONS: tuple[Operation, ...] = (
    _post(path="/v1/conversation-sheets", function=reports.create_conversation_sheet),
    _post(path="/v1/reports/{report}", function=reports.create_report),
    _post(path="/v1/letters/{letter}", function=reports.create_letter, renderings=AS_LETTER, example="letter"),
)
