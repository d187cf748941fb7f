"""Spreadsheets as callers: the macros to install in them, and the values for the rows that a macro sends."""

from hitchworth.operations import costs, macros, result_tables, sheet_values
from hitchworth.operations.renderings import AS_JSON, AS_MACRO, AS_TABLE, TSV
from hitchworth.web.operation import Operation

OPERATIONS: tuple[Operation, ...] = (
    Operation(
        method="POST",
        path="/v1/sheet-values",
        tag="Spreadsheets",
        function=sheet_values.create_sheet_values,
        renderings=(AS_JSON, *AS_TABLE),
        tables=result_tables.SHEET_VALUES,
        headers={"Content-Language": lambda values: values.locale},
        files=(TSV,),
        example="sheets.tsv",
        cost=costs.of_file,
    ),
    Operation(
        method="GET",
        path="/v1/macros/{program}",
        tag="Spreadsheets",
        function=macros.get_macro,
        renderings=AS_MACRO,
        headers={"Content-Language": lambda macro: macro.locale},
        cache="public",
    ),
)
