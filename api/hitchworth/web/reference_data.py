"""The reference data as resources: the address of each list, as JSON and as a table."""

from collections.abc import Callable
from typing import Any

from hitchworth.model.listing import Items
from hitchworth.operations import reference_data
from hitchworth.operations.renderings import AS_JSON, AS_TABLE
from hitchworth.operations.tables import ResultTable
from hitchworth.web.operation import Operation


def _list(path: str, function: Callable[..., Items[Any]], tables: tuple[ResultTable, ...]) -> Operation:
    return Operation(
        method="GET",
        path=path,
        tag="Reference data",
        function=function,
        renderings=(AS_JSON, *AS_TABLE),
        tables=tables,
        cache="public",
    )


OPERATIONS: tuple[Operation, ...] = (
    _list("/v1/schedules", reference_data.list_schedules, reference_data.SCHEDULES),
    _list("/v1/jurisdictions", reference_data.list_jurisdictions, reference_data.JURISDICTIONS),
    _list("/v1/definitions", reference_data.list_definitions, reference_data.DEFINITIONS),
    _list("/v1/facts", reference_data.list_facts, reference_data.FACTS),
    _list("/v1/price-indexes", reference_data.list_price_indexes, reference_data.PRICE_INDEXES),
    _list("/v1/wages", reference_data.list_wages, reference_data.WAGES),
    _list(
        "/v1/labor-depreciation-rules",
        reference_data.list_labor_depreciation_rules,
        reference_data.LABOR_DEPRECIATION_RULES,
    ),
    _list("/v1/protections", reference_data.list_protections, reference_data.PROTECTIONS),
    _list("/v1/questions", reference_data.list_questions, reference_data.QUESTIONS),
)
