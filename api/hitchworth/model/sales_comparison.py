"""A second opinion: what like trailers sold for, adjusted to this one, and reconciled with the cost approach."""

from datetime import date
from decimal import Decimal
from typing import Annotated, Literal, TypeAlias

from msgspec import Meta, Struct

from hitchworth.model.note import Note
from hitchworth.model.numbers import Amount, Quantity, Share, Years
from hitchworth.model.strings import Identifier, ShortText

ConditionStep: TypeAlias = Literal["poor", "fair", "average", "good", "excellent"]
Standing: TypeAlias = Literal["inferior", "superior"]
GridElement: TypeAlias = Literal["date_of_sale", "age", "size", "condition", "equipment", "other"]
Approach: TypeAlias = Literal["cost", "sales_comparison"]

Equipment = Annotated[tuple[Identifier, ...], Meta(max_length=100, description="Names of your own.")]


class Traits(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What trailers are compared by. What is null is not known, and is not compared."""

    age_years: Years | None = None
    size: Annotated[
        Quantity | None, Meta(description="Length or floor area, of all trailers alike, in adjustments.size_unit.")
    ] = None
    condition: ConditionStep | None = None
    equipment: Equipment | None = None


class AdjustmentRule(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What a difference is worth: an amount, or a rate of the price after the adjustment for the date of sale."""

    reason: Annotated[ShortText, Meta(description="What supports it: a pair of sales, a price list, depreciated cost.")]
    amount: Amount | None = None
    rate: Share | None = None


class EquipmentValue(AdjustmentRule, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What one piece of equipment adds to the price of a trailer."""

    item: Identifier


class CustomAdjustment(AdjustmentRule, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """An adjustment of one comparable for what the grid has no row for."""

    element: ShortText
    comparable_is: Annotated[
        Standing, Meta(description="Inferior to the trailer that is valued: added. Superior: taken off.")
    ]


class Weight(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """How much something counts beside the others, and why."""

    weight: Quantity
    reason: ShortText


class Comparable(Traits, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A like trailer that was sold. Its age and condition are those of the day of sale."""

    description: ShortText
    price: Annotated[Amount, Meta(description="In the build's currency.")]
    sold_on: date
    source: Annotated[ShortText, Meta(description="Where the sale is on record.")]
    adjustments: Annotated[tuple[CustomAdjustment, ...], Meta(max_length=20)] = ()
    weight: Annotated[Weight | None, Meta(description="Default: 1.")] = None


class AdjustmentTerms(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The rows of the adjustment grid. A difference without its row is not adjusted, and a note says so."""

    price_index: Annotated[
        Identifier | None, Meta(description="Brings a price from its month of sale to the valuation month.")
    ] = None
    per_year: Annotated[AdjustmentRule | None, Meta(description="For each year of age.")] = None
    size_unit: Annotated[Identifier, Meta(description="What size counts: m, ft, m2, sq ft.")] = "m"
    per_size_unit: AdjustmentRule | None = None
    per_condition_step: Annotated[
        AdjustmentRule | None, Meta(description="For each step of poor, fair, average, good, excellent.")
    ] = None
    equipment: Annotated[tuple[EquipmentValue, ...], Meta(max_length=100)] = ()


class ApproachWeights(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """How much each approach counts in the reconciliation. Default: 1 each."""

    cost: Weight | None = None
    sales_comparison: Weight | None = None


class Adjustment(Struct, frozen=True, kw_only=True):
    """One adjustment of one comparable: added where the comparable is inferior, taken off where it is superior."""

    element: GridElement
    amount: Decimal
    working: Annotated[str, Meta(description="The formula with its numbers.")]
    reason: str
    parameters: dict[str, str]
    label: str = ""


class ComparedSale(Struct, frozen=True, kw_only=True):
    """One column of the grid. Price + net adjustment = indicated value."""

    description: str
    source: str
    sold_on: date
    price: Decimal
    adjustments: tuple[Adjustment, ...]
    net_adjustment: Decimal
    gross_adjustment: Annotated[Decimal, Meta(description="The adjustments added up without regard to sign.")]
    net_share: Annotated[Decimal, Meta(description="Net adjustment over price, to four places.")]
    gross_share: Annotated[Decimal, Meta(description="Gross adjustment over price, to four places.")]
    indicated_value: Decimal
    weight: Annotated[Decimal, Meta(description="The weights of all comparables add up to 1.")]
    weight_reason: str
    contribution: Annotated[Decimal, Meta(description="Its part of the value by sales comparison.")]


class SalesComparisonApproach(Struct, frozen=True, kw_only=True):
    """What the comparables indicate together."""

    comparables: tuple[ComparedSale, ...]
    low: Annotated[Decimal | None, Meta(description="Least indicated value that counts.")]
    high: Decimal | None
    indicated_value: Annotated[
        Decimal | None, Meta(description="Their weighted mean; null where no comparable can count.")
    ]


class CostApproach(Struct, frozen=True, kw_only=True):
    """Replacement cost new less depreciation, as the estimate has it."""

    replacement_cost: Decimal
    depreciation: Decimal
    indicated_value: Decimal


class ReconciledApproach(Struct, frozen=True, kw_only=True):
    """One approach in the reconciliation. The contributions add up to the reconciled value."""

    approach: Approach
    indicated_value: Decimal
    weight: Annotated[Decimal, Meta(description="The weights of the approaches add up to 1.")]
    reason: str
    contribution: Decimal
    label: str = ""


class SalesComparison(Struct, frozen=True, kw_only=True):
    """The value by sales comparison beside the value by cost, and one value from both: it supports an agreed value."""

    as_of: date
    currency: str
    cost: CostApproach
    sales_comparison: SalesComparisonApproach
    reconciliation: tuple[ReconciledApproach, ...]
    reconciled_value: Decimal
    notes: tuple[Note, ...]
    statement: str = ""
    caution: str = ""
