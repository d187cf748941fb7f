"""An estimate: every line of the build valued on one date, and what they add up to."""

from datetime import date
from decimal import Decimal
from typing import Annotated, Literal, TypeAlias

from msgspec import Meta, Struct

from hitchworth.model.note import Note

LineKind: TypeAlias = Literal["component", "labor"]


class EstimateLine(Struct, frozen=True, kw_only=True):
    """One component or labor entry, valued. Amounts are in the estimate's currency, rounded once."""

    id: str
    kind: LineKind
    description: str
    category: str
    historic_cost: Annotated[Decimal, Meta(description="What was paid, with tax and freight.")]
    direct_cost: Annotated[Decimal, Meta(description="Replacement cost before overhead, profit and sales tax.")]
    replacement_cost: Annotated[
        Decimal, Meta(description="Replacement cost new, with this line's part of the on-costs.")
    ]
    age_years: Annotated[Decimal, Meta(description="To three places; carried exactly.")]
    schedule: Annotated[str, Meta(description="Name of the schedule that was applied.")]
    percent_good: Annotated[
        Decimal, Meta(description="1 less depreciation, condition included, to six places; carried exactly.")
    ]
    depreciation: Decimal
    actual_cash_value: Decimal
    workings: Annotated[
        tuple[str, ...],
        Meta(
            description="With options.workings: the formulas of historic, direct and replacement cost, age, percent "
            "good, depreciation and actual cash value, in this order, with their numbers."
        ),
    ] = ()


class CategoryTotal(Struct, frozen=True, kw_only=True):
    """The lines of one category, added up."""

    category: str
    replacement_cost: Decimal
    depreciation: Decimal
    actual_cash_value: Decimal


class Totals(Struct, frozen=True, kw_only=True):
    """The lines added up.

    Direct cost + overhead + profit + sales tax = replacement cost; less depreciation = actual cash value.
    """

    historic_cost: Decimal
    direct_cost: Decimal
    overhead: Decimal
    profit: Decimal
    sales_tax: Decimal
    replacement_cost: Decimal
    depreciation: Decimal
    actual_cash_value: Decimal


class Band(Struct, frozen=True, kw_only=True):
    """How far to trust the replacement cost: it lies between low and high with the stated confidence."""

    low: Decimal
    likely: Decimal
    high: Decimal
    confidence: Decimal


class Documentation(Struct, frozen=True, kw_only=True):
    """Replacement cost of the components by the grade of their evidence."""

    receipt: Decimal
    written_quote: Decimal
    own_estimate: Decimal


class LaborValue(Struct, frozen=True, kw_only=True):
    """Actual cash value of the whole build under each rule of labor depreciation."""

    none: Decimal
    with_component: Decimal
    own: Decimal


class Estimate(Struct, frozen=True, kw_only=True):
    """What the trailer costs to replace on a date, and what it is worth after wear."""

    as_of: date
    currency: str
    lines: tuple[EstimateLine, ...]
    categories: tuple[CategoryTotal, ...]
    totals: Totals
    labor_rules: LaborValue
    band: Band
    documentation: Documentation
    notes: tuple[Note, ...]
