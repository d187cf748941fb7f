"""The cells of a spreadsheet as resources: one figure or one short text each, as plain text."""

from functools import partial

from hitchworth.operations import cells
from hitchworth.operations.renderings import AS_CELL
from hitchworth.web.operation import Operation

_get = partial(Operation, method="GET", tag="Cells", renderings=AS_CELL)

OPERATIONS: tuple[Operation, ...] = (
    _get(path="/v1/cells/percent-good", function=cells.get_percent_good),
    _get(path="/v1/cells/depreciated-value", function=cells.get_depreciated_value),
    _get(path="/v1/cells/indexed-price", function=cells.get_indexed_price),
)
