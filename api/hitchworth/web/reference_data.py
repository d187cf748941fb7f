"""The reference data as resources: the address of each list, as JSON and as a table."""

from collections.abc import Callable
from typing import Any

from hitchworth.model.listing import Items
from hitchworth.operations import reference_data
from hitchworth.operations.renderings import AS_JSON, as_tables
from hitchworth.web.operation import Operation


def _items(response: Items[Any]) -> tuple[Any, ...]:
    return response.items


def _list(
    path: str, function: Callable[..., Items[Any]], rows: Callable[[Items[Any]], tuple[Any, ...]] = _items
) -> Operation:
    return Operation(
        method="GET",
        path=path,
        tag="Reference data",
        function=function,
        renderings=(AS_JSON, *as_tables(rows)),
        cache="public",
    )


OPERATIONS: tuple[Operation, ...] = (
    _list("/v1/schedules", reference_data.list_schedules),
    _list("/v1/jurisdictions", reference_data.list_jurisdictions),
    _list("/v1/definitions", reference_data.list_definitions),
    _list("/v1/facts", reference_data.list_facts),
    _list("/v1/price-indexes", reference_data.list_price_indexes, reference_data.price_index_months),
    _list("/v1/wages", reference_data.list_wages),
    _list("/v1/labor-depreciation-rules", reference_data.list_labor_depreciation_rules),
    _list("/v1/protections", reference_data.list_protections),
    _list("/v1/questions", reference_data.list_questions),
)
