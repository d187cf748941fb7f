"""The methods of a client for cells: one figure or one short text, as a spreadsheet asks for it."""

from collections.abc import Sequence
from datetime import date
from typing import Literal, Unpack

from hitchworth_sdk import _operations as operations
from hitchworth_sdk._calls import Caller, CallOptions
from hitchworth_sdk._exchange import NO_BODY
from hitchworth_sdk._kept_builds import Seen, id_of
from hitchworth_sdk._numbers import Number
from hitchworth_sdk._types import (
    Cell,
    CellColumn,
    Convention,
    DepreciatedValueQuery,
    IndexedPriceQuery,
    Method,
    PercentGoodQuery,
)


class CellOptions(CallOptions, total=False):
    """What every cell may say, besides what any call may do differently."""

    as_of: date | None
    """Valuation date. Default: today, where the server is."""
    decimal: Literal["point", "comma"]
    """The decimal mark of the text. Default: point."""


class PercentGoodOptions(CellOptions, total=False):
    """A schedule (of a category, by its name, or written out by its method) and an age."""

    category: str | None
    schedule: str | None
    method: Method | None
    """Method of a schedule that is written out; a table cannot be."""
    life_years: Number | None
    residual: Number
    factor: Number | None
    rate: Number | None
    discount_rate: Number | None
    convention: Convention | None
    age_years: Number | None
    in_service_on: date | None
    condition: Number


class Cells(Caller):
    """The methods of a client for cells. Those of a kept build need a server with a database."""

    def get_percent_good(self, **options: Unpack[PercentGoodOptions]) -> Cell:
        """Get the share of the value that is left at an age, to six places."""
        return self._call(operations.GET_PERCENT_GOOD, NO_BODY, options, None)

    def get_depreciated_value(
        self, cost: Number, *, currency: str = "USD", **options: Unpack[PercentGoodOptions]
    ) -> Cell:
        """Get what is left of a replacement cost at an age."""
        return self._call(operations.GET_DEPRECIATED_VALUE, NO_BODY, options, None, cost=cost, currency=currency)

    def get_indexed_price(
        self,
        cost: Number,
        paid_on: date,
        price_index: str,
        *,
        currency: str = "USD",
        **options: Unpack[CellOptions],
    ) -> Cell:
        """Get a price that was paid, trended to a date by a published price index."""
        terms = {"cost": cost, "paid_on": paid_on, "price_index": price_index, "currency": currency}
        return self._call(operations.GET_INDEXED_PRICE, NO_BODY, options, None, **terms)

    def create_percent_good_column(
        self, request: Sequence[PercentGoodQuery] | bytes, **options: Unpack[CellOptions]
    ) -> CellColumn:
        """Compute percent good for many rows: a cell for each, in their order; a wrong one has its errors.

        request: the rows, or a CSV of them.
        """
        return self._call(operations.CREATE_PERCENT_GOOD_COLUMN, request, options)

    def create_depreciated_value_column(
        self, request: Sequence[DepreciatedValueQuery] | bytes, **options: Unpack[CellOptions]
    ) -> CellColumn:
        """Compute what is left of a replacement cost for many rows: a cell for each, in their order.

        request: the rows, or a CSV of them.
        """
        return self._call(operations.CREATE_DEPRECIATED_VALUE_COLUMN, request, options)

    def create_indexed_price_column(
        self, request: Sequence[IndexedPriceQuery] | bytes, **options: Unpack[CellOptions]
    ) -> CellColumn:
        """Trend the prices of many rows: a cell for each, in their order.

        request: the rows, or a CSV of them.
        """
        return self._call(operations.CREATE_INDEXED_PRICE_COLUMN, request, options)

    def get_replacement_cost(self, build: Seen | str, **options: Unpack[CellOptions]) -> Cell:
        """Get the replacement cost new of a kept build."""
        return self._call(operations.GET_REPLACEMENT_COST, NO_BODY, options, None, build=id_of(build))

    def get_actual_cash_value(self, build: Seen | str, **options: Unpack[CellOptions]) -> Cell:
        """Get the actual cash value of a kept build."""
        return self._call(operations.GET_ACTUAL_CASH_VALUE, NO_BODY, options, None, build=id_of(build))

    def get_verdict(self, build: Seen | str, **options: Unpack[CellOptions]) -> Cell:
        """Get how the registered class of a kept build compares with its built use."""
        return self._call(operations.GET_VERDICT, NO_BODY, options, None, build=id_of(build))

    def get_payable(self, build: Seen | str, policy: str, loss: str, **options: Unpack[CellOptions]) -> Cell:
        """Get what a policy of a kept build pays for one of its losses."""
        return self._call(operations.GET_PAYABLE, NO_BODY, options, None, build=id_of(build), policy=policy, loss=loss)

    def get_gap(self, build: Seen | str, policy: str, loss: str, **options: Unpack[CellOptions]) -> Cell:
        """Get the gap that a policy of a kept build leaves at one of its losses."""
        return self._call(operations.GET_GAP, NO_BODY, options, None, build=id_of(build), policy=policy, loss=loss)

    def get_money_at_stake(
        self, build: Seen | str, question: str | None = None, **options: Unpack[CellOptions]
    ) -> Cell:
        """Get the money that hangs on a question about a kept build. Default: the one with the most."""
        return self._call(operations.GET_MONEY_AT_STAKE, NO_BODY, options, None, build=id_of(build), question=question)
