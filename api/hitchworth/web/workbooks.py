"""Workbooks as resources: a template to fill in, and a workbook that comes back with its results."""

from hitchworth.operations import workbooks
from hitchworth.operations.renderings import AS_WORKBOOK, ODS, XLSX
from hitchworth.web.operation import Operation

OPERATIONS: tuple[Operation, ...] = (
    Operation(
        method="GET",
        path="/v1/workbook-template",
        tag="Appraisal",
        function=workbooks.get_workbook_template,
        renderings=AS_WORKBOOK,
        headers={"Content-Language": lambda workbook: workbook.locale},
        run_in_thread=True,
    ),
    Operation(
        method="POST",
        path="/v1/workbooks",
        tag="Appraisal",
        function=workbooks.fill_workbook,
        renderings=AS_WORKBOOK,
        headers={
            "Content-Language": lambda workbook: workbook.locale,
            "Fault-Count": lambda workbook: str(workbook.fault_count),
        },
        files=(XLSX, ODS),
        run_in_thread=True,
    ),
)
