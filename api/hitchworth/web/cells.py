"""The cells of a spreadsheet as resources: one figure or one short text each, or a column of them."""

from functools import partial

from hitchworth.model.cell import DepreciatedValueQuery, IndexedPriceQuery, PercentGoodQuery
from hitchworth.operations import cell_columns, cells, costs, kept_cells
from hitchworth.operations.renderings import AS_CELL, AS_COLUMN, JSON
from hitchworth.web.operation import Operation

_get = partial(Operation, method="GET", tag="Cells", renderings=AS_CELL)
_kept = partial(_get, scope="read", cache="private", cost=costs.unknown, waits=True)

_column = partial(
    Operation,
    method="POST",
    tag="Cells",
    renderings=AS_COLUMN,
    tables=cell_columns.COLUMN,
    files=("text/csv", JSON),
    cost=costs.of_column,
)

BUILD_CELLS = "/v1/cells/builds/{build}"

OPERATIONS: tuple[Operation, ...] = (
    _get(path="/v1/cells/percent-good", function=cells.get_percent_good),
    _get(path="/v1/cells/depreciated-value", function=cells.get_depreciated_value),
    _get(path="/v1/cells/indexed-price", function=cells.get_indexed_price),
    _column(
        path="/v1/cells/percent-good",
        function=cell_columns.create_percent_good_column,
        rows=PercentGoodQuery,
        example="percent-good.csv",
    ),
    _column(
        path="/v1/cells/depreciated-value",
        function=cell_columns.create_depreciated_value_column,
        rows=DepreciatedValueQuery,
        example="depreciated-value.csv",
    ),
    _column(
        path="/v1/cells/indexed-price",
        function=cell_columns.create_indexed_price_column,
        rows=IndexedPriceQuery,
        example="indexed-price.csv",
    ),
    _kept(path=BUILD_CELLS + "/replacement-cost", function=kept_cells.get_replacement_cost),
    _kept(path=BUILD_CELLS + "/actual-cash-value", function=kept_cells.get_actual_cash_value),
    _kept(path=BUILD_CELLS + "/verdict", function=kept_cells.get_verdict),
    _kept(path=BUILD_CELLS + "/payable", function=kept_cells.get_payable),
    _kept(path=BUILD_CELLS + "/gap", function=kept_cells.get_gap),
    _kept(path=BUILD_CELLS + "/money-at-stake", function=kept_cells.get_money_at_stake),
)
