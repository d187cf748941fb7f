"""What is computed from kept builds, as resources under each of them."""

from hitchworth.operations import kept_appraisals, kept_reports
from hitchworth.operations.renderings import AS_CHART, AS_JSON, AS_LETTER, AS_REPORT, as_tables
from hitchworth.web.builds import BUILD, read
from hitchworth.web.operation import Operation

OPERATIONS: tuple[Operation, ...] = (
    read(
        path=BUILD + "/estimate",
        function=kept_appraisals.get_estimate,
        renderings=(AS_JSON, *as_tables(lambda estimate: estimate.lines)),
    ),
    read(path=BUILD + "/classification", function=kept_appraisals.get_classification),
    read(
        path=BUILD + "/settlements",
        function=kept_appraisals.get_settlements,
        renderings=(AS_JSON, *as_tables(lambda settlements: settlements.matrix)),
    ),
    read(path=BUILD + "/gap-statement", function=kept_appraisals.get_gap_statement),
    read(
        path=BUILD + "/value-curve",
        function=kept_appraisals.get_value_curve,
        renderings=(AS_JSON, *as_tables(lambda curve: curve.points), AS_CHART),
    ),
    read(path=BUILD + "/protection-check", function=kept_appraisals.get_protection_check),
    read(path=BUILD + "/comparison", function=kept_appraisals.get_comparison),
    read(path=BUILD + "/conversation-sheet", function=kept_reports.get_conversation_sheet, renderings=AS_REPORT),
    read(path=BUILD + "/reports/{report}", function=kept_reports.get_report, renderings=AS_REPORT),
    read(path=BUILD + "/letters/{letter}", function=kept_reports.get_letter, renderings=AS_LETTER),
)
