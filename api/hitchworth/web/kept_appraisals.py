"""What is computed from kept builds, as resources under each of them."""

from hitchworth.operations import kept_appraisals, kept_reports, result_tables
from hitchworth.operations.renderings import AS_CHART, AS_JSON, AS_LETTER, AS_REPORT, AS_TABLE
from hitchworth.web.builds import BUILD, read
from hitchworth.web.operation import Operation

OPERATIONS: tuple[Operation, ...] = (
    read(
        path=BUILD + "/estimate",
        function=kept_appraisals.get_estimate,
        renderings=(AS_JSON, *AS_TABLE),
        tables=result_tables.ESTIMATE,
    ),
    read(
        path=BUILD + "/classification",
        function=kept_appraisals.get_classification,
        renderings=(AS_JSON, *AS_TABLE),
        tables=result_tables.ASSESSMENT,
    ),
    read(
        path=BUILD + "/settlements",
        function=kept_appraisals.get_settlements,
        renderings=(AS_JSON, *AS_TABLE),
        tables=result_tables.SETTLEMENTS,
    ),
    read(
        path=BUILD + "/gap-statement",
        function=kept_appraisals.get_gap_statement,
        renderings=(AS_JSON, *AS_TABLE),
        tables=result_tables.GAP_STATEMENT,
    ),
    read(
        path=BUILD + "/value-curve",
        function=kept_appraisals.get_value_curve,
        renderings=(AS_JSON, *AS_TABLE, AS_CHART),
        tables=result_tables.VALUE_CURVE,
    ),
    read(
        path=BUILD + "/protection-check",
        function=kept_appraisals.get_protection_check,
        renderings=(AS_JSON, *AS_TABLE),
        tables=result_tables.PROTECTION,
    ),
    read(
        path=BUILD + "/documentation-score",
        function=kept_appraisals.get_documentation_score,
        renderings=(AS_JSON, *AS_TABLE),
        tables=result_tables.DOCUMENTATION,
    ),
    read(
        path=BUILD + "/comparison",
        function=kept_appraisals.get_comparison,
        renderings=(AS_JSON, *AS_TABLE),
        tables=result_tables.DOCUMENT_COMPARISON,
    ),
    read(path=BUILD + "/conversation-sheet", function=kept_reports.get_conversation_sheet, renderings=AS_REPORT),
    read(path=BUILD + "/reports/{report}", function=kept_reports.get_report, renderings=AS_REPORT),
    read(path=BUILD + "/letters/{letter}", function=kept_reports.get_letter, renderings=AS_LETTER),
)
