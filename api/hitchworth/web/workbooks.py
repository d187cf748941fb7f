"""Files as resources: a workbook to fill in, one that comes back with its results, and a document from any file."""

from hitchworth.operations import costs, document_files, workbooks
from hitchworth.operations.renderings import AS_DOCUMENT, AS_WORKBOOK, DOCUMENT_FILES, ODS, XLSX
from hitchworth.web.operation import Operation

OPERATIONS: tuple[Operation, ...] = (
    Operation(
        method="GET",
        path="/v1/workbook-template",
        tag="Appraisal",
        function=workbooks.get_workbook_template,
        renderings=AS_WORKBOOK,
        headers={"Content-Language": lambda workbook: workbook.locale},
        cost=costs.unknown,
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
        cost=costs.of_file,
    ),
    Operation(
        method="POST",
        path="/v1/documents",
        tag="Appraisal",
        function=document_files.create_document,
        renderings=(AS_DOCUMENT,),
        files=DOCUMENT_FILES,
        example="camper.yaml",
        cost=costs.of_file,
    ),
)
