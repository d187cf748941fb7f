"""What a spreadsheet cell asks for, and the one figure or short text that it gets."""

from datetime import date
from decimal import Decimal
from typing import Annotated

from msgspec import Meta, Struct

from hitchworth.model.fault import Fault
from hitchworth.model.numbers import Amount, Multiple, Share, Years
from hitchworth.model.receipt_import import DecimalMark
from hitchworth.model.schedule import Convention, Method
from hitchworth.model.strings import CurrencyCode, Identifier

Mark = Annotated[
    DecimalMark,
    Meta(
        description="Decimal mark of the text; there are never thousands separators. With comma, the numbers of the "
        "query may have one too."
    ),
]
CellDate = Annotated[date | None, Meta(description="Valuation date. Default: today, where the server is.")]
CellCurrency = Annotated[CurrencyCode, Meta(description="ISO 4217 code; the amount is rounded to its minor unit.")]


class CellQuery(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What every cell may say."""

    as_of: CellDate = None
    decimal: Mark = "point"


class PercentGoodQuery(CellQuery, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A schedule and an age. The schedule is that of a category, one by its name, or one written out."""

    category: Annotated[
        Identifier | None,
        Meta(
            description="A category of GET /v1/schedules, whose schedule it follows. Null: by schedule or method.",
            examples=["refrigerator"],
        ),
    ] = None
    schedule: Annotated[
        Identifier | None, Meta(description="Name of a schedule of GET /v1/schedules. Null: by category or method.")
    ] = None
    method: Annotated[
        Method | None,
        Meta(description="Method of a schedule that is written out; a table cannot be. Null: by category or schedule."),
    ] = None
    life_years: Annotated[
        Years | None,
        Meta(
            description="With a method: economic life, more than 0. Null: none is given; only declining_balance with "
            "a rate needs none."
        ),
    ] = None
    residual: Annotated[Share, Meta(description="With a method: what is left at the end of the life.")] = Decimal(0)
    factor: Annotated[
        Multiple | None, Meta(description="With declining_balance: multiple of the straight-line rate. Default: 2.")
    ] = None
    rate: Annotated[
        Share | None,
        Meta(description="With declining_balance: a fixed yearly rate, instead of a factor. Null: by factor."),
    ] = None
    discount_rate: Annotated[
        Share | None, Meta(description="With present_worth: the yearly rate of interest. Null: with another method.")
    ] = None
    convention: Annotated[
        Convention | None, Meta(description="With a method: the age that the schedule counts. Default: by_day.")
    ] = None
    age_years: Annotated[
        Years | None,
        Meta(
            description="Age, or effective age, instead of in_service_on. Null: by in_service_on.",
            examples=[Decimal(3)],
        ),
    ] = None
    in_service_on: Annotated[
        date | None, Meta(description="Day from which age counts, instead of age_years. Null: by age_years.")
    ] = None
    condition: Annotated[Share, Meta(description="Observed condition, which multiplies percent good.")] = Decimal(1)


class DepreciatedValueQuery(PercentGoodQuery, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A replacement cost new, a schedule and an age."""

    cost: Annotated[Amount, Meta(description="Replacement cost new.", examples=[Decimal("899.00")])]
    currency: CellCurrency = "USD"


class IndexedPriceQuery(CellQuery, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A price that was paid, and the published index that trends it."""

    cost: Annotated[Amount, Meta(description="What was paid.", examples=[Decimal("899.00")])]
    paid_on: Annotated[date, Meta(description="Day of the purchase.", examples=[date(2024, 3, 9)])]
    price_index: Annotated[
        Identifier, Meta(description="Name of an index of GET /v1/price-indexes.", examples=["us_vehicle_accessories"])
    ]
    currency: CellCurrency = "USD"


class Cell(Struct, frozen=True, kw_only=True):
    """One figure or one short text for a cell of a spreadsheet."""

    text: Annotated[str, Meta(description="The figure with the decimal mark asked for, or the text.")]
    value: Annotated[Decimal | None, Meta(description="The figure; null where the cell is a text.")] = None


class ColumnCell(Cell, frozen=True, kw_only=True):
    """The cell of one row of a column: its figure, or what is wrong with the row."""

    errors: Annotated[
        tuple[Fault, ...], Meta(description="The faults of the row, which `text` tells in a line. Empty: none.")
    ] = ()


class CellColumn(Struct, frozen=True, kw_only=True):
    """The cells of many rows."""

    cells: Annotated[tuple[ColumnCell, ...], Meta(description="A cell for each row, in their order.")]
