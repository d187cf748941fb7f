"""What is computed from kept builds, as resources under each of them."""

from functools import partial

from hitchworth.operations import costs, kept_appraisals, kept_reports, result_tables
from hitchworth.operations.renderings import AS_CHART, AS_JSON, AS_LETTER, AS_REPORT, AS_TABLE
from hitchworth.web.builds import BUILD, read
from hitchworth.web.operation import Operation

_computed = partial(read, cost=costs.unknown)

OPERATIONS: tuple[Operation, ...] = (
    _computed(
        path=BUILD + "/estimate",
        function=kept_appraisals.get_estimate,
        renderings=(AS_JSON, *AS_TABLE),
        tables=result_tables.ESTIMATE,
    ),
    _computed(
        path=BUILD + "/classification",
        function=kept_appraisals.get_classification,
        renderings=(AS_JSON, *AS_TABLE),
        tables=result_tables.ASSESSMENT,
    ),
    _computed(
        path=BUILD + "/settlements",
        function=kept_appraisals.get_settlements,
        renderings=(AS_JSON, *AS_TABLE),
        tables=result_tables.SETTLEMENTS,
    ),
    _computed(
        path=BUILD + "/gap-statement",
        function=kept_appraisals.get_gap_statement,
        renderings=(AS_JSON, *AS_TABLE),
        tables=result_tables.GAP_STATEMENT,
    ),
    _computed(
        path=BUILD + "/value-curve",
        function=kept_appraisals.get_value_curve,
        renderings=(AS_JSON, *AS_TABLE, AS_CHART),
        tables=result_tables.VALUE_CURVE,
    ),
    _computed(
        path=BUILD + "/protection-check",
        function=kept_appraisals.get_protection_check,
        renderings=(AS_JSON, *AS_TABLE),
        tables=result_tables.PROTECTION,
    ),
    _computed(
        path=BUILD + "/documentation-score",
        function=kept_appraisals.get_documentation_score,
        renderings=(AS_JSON, *AS_TABLE),
        tables=result_tables.DOCUMENTATION,
    ),
    _computed(
        path=BUILD + "/comparison",
        function=kept_appraisals.get_comparison,
        renderings=(AS_JSON, *AS_TABLE),
        tables=result_tables.DOCUMENT_COMPARISON,
    ),
    _computed(path=BUILD + "/conversation-sheet", function=kept_reports.get_conversation_sheet, renderings=AS_REPORT),
    _computed(path=BUILD + "/reports/{report}", function=kept_reports.get_report, renderings=AS_REPORT),
    _computed(path=BUILD + "/letters/{letter}", function=kept_reports.get_letter, renderings=AS_LETTER),
)
