"""The sales comparison approach: what similar trailers sold for, adjusted to this one, beside the cost approach."""

from datetime import date
from decimal import Decimal
from typing import Annotated, Literal, TypeAlias

from msgspec import Meta, Struct

from hitchworth.model.note import Note
from hitchworth.model.numbers import Amount, Quantity, RoundedAmount, Share, Years
from hitchworth.model.strings import Identifier, ShortText

ConditionStep: TypeAlias = Literal["poor", "fair", "average", "good", "excellent"]
"""Condition in five equal steps, as the adjustment grid counts them.

poor: the lowest step
fair: one step above poor
average: the middle
good: one step below excellent
excellent: the highest step
"""

Standing: TypeAlias = Literal["inferior", "superior"]
"""How a comparable compares with the trailer that is valued.

inferior: worse, so the adjustment is added to its price
superior: better, so the adjustment is subtracted from its price
"""

GridElement: TypeAlias = Literal["date_of_sale", "age", "size", "condition", "equipment", "other"]
"""What an adjustment is for.

date_of_sale: the change of prices from the sale to the valuation date
age: a difference in age
size: a difference in size
condition: a difference in condition
equipment: equipment that only one of the two has
other: an adjustment of your own
"""

Approach: TypeAlias = Literal["cost", "sales_comparison"]
"""An approach to value.

cost: replacement cost new less depreciation
sales_comparison: what similar trailers sold for, adjusted
"""

Equipment = Annotated[tuple[Identifier, ...], Meta(max_length=100)]


class Traits(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What trailers are compared by. What is null is not known, and is not compared."""

    age_years: Annotated[Years | None, Meta(description="Age. Null: not known.")] = None
    size: Annotated[
        Quantity | None,
        Meta(description="Length or floor area, in adjustments.size_unit, the same for all trailers. Null: not known."),
    ] = None
    condition: Annotated[ConditionStep | None, Meta(description="Condition. Null: not known.")] = None
    equipment: Annotated[
        Equipment | None,
        Meta(description="Equipment it has, by names of your own. Null: not known, so not compared."),
    ] = None


class AdjustmentRule(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What a difference is worth: an amount, or a rate of the price after the adjustment for the date of sale."""

    reason: Annotated[ShortText, Meta(description="What supports it: a pair of sales, a price list, depreciated cost.")]
    amount: Annotated[
        Amount | None,
        Meta(description="Worth of one unit of difference, in the build's currency. Null: given as a rate."),
    ] = None
    rate: Annotated[
        Share | None,
        Meta(
            description="Worth of one unit of difference, of the price adjusted for the date of sale. Null: an amount."
        ),
    ] = None


class EquipmentValue(AdjustmentRule, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What one piece of equipment adds to the price of a trailer."""

    item: Annotated[Identifier, Meta(description="The equipment, by the name that the trailers list it under.")]


class CustomAdjustment(AdjustmentRule, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """An adjustment of one comparable for something that the grid has no row for."""

    element: Annotated[ShortText, Meta(description="What the adjustment is for, in your words.")]
    comparable_is: Annotated[Standing, Meta(description="How the comparable compares with the trailer that is valued.")]


class Weight(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """How much something counts beside the others, and why."""

    weight: Annotated[Quantity, Meta(description="Weight in proportion to the others'; 0 leaves it out.")]
    reason: Annotated[ShortText, Meta(description="Why it has this weight.")]


class Comparable(Traits, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A similar trailer that was sold. Its age and condition are those of the day of sale."""

    description: Annotated[ShortText, Meta(description="What it is, in your words; unique in the request.")]
    price: Annotated[Amount, Meta(description="Sale price, in the build's currency, more than 0.")]
    sold_on: Annotated[date, Meta(description="Day of the sale. After the valuation date the sale does not count.")]
    source: Annotated[ShortText, Meta(description="Where the sale is on record.")]
    adjustments: Annotated[
        tuple[CustomAdjustment, ...], Meta(max_length=20, description="Adjustments of your own for this comparable.")
    ] = ()
    weight: Annotated[Weight | None, Meta(description="How much this comparable counts. Null: 1.")] = None


class AdjustmentTerms(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The rows of the adjustment grid. A difference without its row is not adjusted, and a note says so."""

    price_index: Annotated[
        Identifier | None,
        Meta(
            description="Name of a price index that trends a price from its month of sale to the valuation month. "
            "Null: no adjustment for the date of sale."
        ),
    ] = None
    per_year: Annotated[AdjustmentRule | None, Meta(description="For each year of age. Null: no such row.")] = None
    size_unit: Annotated[Identifier, Meta(description="What size counts: m, ft, m2, sq ft.")] = "m"
    per_size_unit: Annotated[AdjustmentRule | None, Meta(description="For each unit of size. Null: no such row.")] = (
        None
    )
    per_condition_step: Annotated[
        AdjustmentRule | None, Meta(description="For each step of condition. Null: no such row.")
    ] = None
    equipment: Annotated[
        tuple[EquipmentValue, ...], Meta(max_length=100, description="What each piece of equipment is worth.")
    ] = ()


class ApproachWeights(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """How much each approach counts in the reconciliation."""

    cost: Annotated[Weight | None, Meta(description="Weight of the cost approach. Null: 1.")] = None
    sales_comparison: Annotated[
        Weight | None, Meta(description="Weight of the sales comparison approach. Null: 1.")
    ] = None


class Adjustment(Struct, frozen=True, kw_only=True):
    """One adjustment of one comparable."""

    element: Annotated[GridElement, Meta(description="What the adjustment is for.")]
    amount: Annotated[
        RoundedAmount,
        Meta(description="Added where the comparable is inferior; negative, so subtracted, where it is superior."),
    ]
    working: Annotated[str, Meta(description="The formula with its numbers.")]
    reason: Annotated[str, Meta(description="What supports it, as given; for the date of sale, the price index.")]
    parameters: Annotated[dict[str, str], Meta(description="The values in the label, by name, as unformatted text.")]
    label: Annotated[str, Meta(description="The adjustment in words, in the language of the request's locale.")] = ""


class ComparedSale(Struct, frozen=True, kw_only=True):
    """One column of the grid. Price + net adjustment = indicated value."""

    description: Annotated[str, Meta(description="The comparable, as given.")]
    source: Annotated[str, Meta(description="Where the sale is on record, as given.")]
    sold_on: Annotated[date, Meta(description="Day of the sale.")]
    price: Annotated[RoundedAmount, Meta(description="Sale price.")]
    adjustments: Annotated[tuple[Adjustment, ...], Meta(description="The adjustments, row by row.")]
    net_adjustment: Annotated[RoundedAmount, Meta(description="The adjustments added up; may be negative.")]
    gross_adjustment: Annotated[RoundedAmount, Meta(description="The adjustments added up without regard to sign.")]
    net_share: Annotated[Decimal, Meta(description="Net adjustment / price, to four places; may be negative.")]
    gross_share: Annotated[Decimal, Meta(description="Gross adjustment / price, to four places.")]
    indicated_value: Annotated[RoundedAmount, Meta(description="Price + net adjustment.")]
    weight: Annotated[
        Decimal,
        Meta(
            description="Its share of all weights, to four places; they add up to 1. 0: the comparable does not count."
        ),
    ]
    weight_reason: Annotated[
        str, Meta(description="Why it has this weight: as given, or that it is weighed like the others.")
    ]
    contribution: Annotated[RoundedAmount, Meta(description="Its part of the value by sales comparison.")]


class SalesComparisonApproach(Struct, frozen=True, kw_only=True):
    """What the comparables indicate together."""

    comparables: Annotated[tuple[ComparedSale, ...], Meta(description="The comparables, in the order given.")]
    low: Annotated[
        RoundedAmount | None, Meta(description="Lowest indicated value that counts. Null: no comparable counts.")
    ]
    high: Annotated[
        RoundedAmount | None, Meta(description="Highest indicated value that counts. Null: no comparable counts.")
    ]
    indicated_value: Annotated[
        RoundedAmount | None, Meta(description="Their weighted mean. Null: no comparable counts.")
    ]


class CostApproach(Struct, frozen=True, kw_only=True):
    """Replacement cost new less depreciation, as the estimate has it."""

    replacement_cost: Annotated[RoundedAmount, Meta(description="Replacement cost new.")]
    depreciation: Annotated[RoundedAmount, Meta(description="Depreciation.")]
    indicated_value: Annotated[RoundedAmount, Meta(description="Replacement cost less depreciation.")]


class ReconciledApproach(Struct, frozen=True, kw_only=True):
    """One approach in the reconciliation. The contributions add up to the reconciled value."""

    approach: Annotated[Approach, Meta(description="The approach.")]
    indicated_value: Annotated[RoundedAmount, Meta(description="The value that it indicates.")]
    weight: Annotated[Decimal, Meta(description="Its share of all weights, to four places; they add up to 1.")]
    reason: Annotated[str, Meta(description="Why it has this weight: as given, or that it is weighed like the others.")]
    contribution: Annotated[RoundedAmount, Meta(description="Its part of the reconciled value.")]
    label: Annotated[str, Meta(description="The approach in words, in the language of the request's locale.")] = ""


class SalesComparison(Struct, frozen=True, kw_only=True):
    """The value by sales comparison beside the value by cost, and one value from both, to support an agreed value."""

    as_of: Annotated[date, Meta(description="Valuation date.")]
    currency: Annotated[str, Meta(description="The build's currency, ISO 4217; every amount is in it.")]
    cost: Annotated[CostApproach, Meta(description="The value by cost.")]
    sales_comparison: Annotated[SalesComparisonApproach, Meta(description="The value by sales of similar trailers.")]
    reconciliation: Annotated[
        tuple[ReconciledApproach, ...], Meta(description="The approaches that indicate a value, with their weights.")
    ]
    reconciled_value: Annotated[RoundedAmount, Meta(description="The weighted mean of the approaches.")]
    notes: Annotated[
        tuple[Note, ...], Meta(description="What was not compared or adjusted, and which adjustments are large.")
    ]
    statement: Annotated[str, Meta(description="The values and their weights in a sentence.")] = ""
    caution: Annotated[str, Meta(description="What to keep in mind before relying on it.")] = ""
