"""An estimate: every line of the build valued on one date, and what they add up to."""

from datetime import date
from decimal import Decimal
from typing import Annotated, Literal, TypeAlias

from msgspec import Meta, Struct

from hitchworth.model.assessment import Provenance
from hitchworth.model.build import ProfitBasis, SalesTaxBasis, Schedule
from hitchworth.model.note import Note

LineKind: TypeAlias = Literal["component", "labor"]
LaborLaw: TypeAlias = Literal["not_depreciated", "depreciated", "by_policy_wording", "unsettled"]
Figure: TypeAlias = Literal[
    "historic_cost",
    "direct_cost",
    "overhead",
    "profit",
    "sales_tax",
    "replacement_cost",
    "age_years",
    "counted_age",
    "share_at_start",
    "share_at_end",
    "percent_good",
    "depreciation",
    "actual_cash_value",
]

WorkingRule: TypeAlias = Literal[
    "price_as_paid",
    "price_by_quote",
    "price_by_quote_and_index",
    "price_by_index",
    "hours_as_paid",
    "hours_at_market_rate",
    "hours_by_index",
    "overhead_split",
    "profit_split",
    "sales_tax_split",
    "sales_tax_by_line",
    "replacement_cost",
    "age_in_days",
    "age_in_months",
    "age_in_years",
    "age_effective",
    "age_effective_grown",
    "counted_full_year",
    "counted_half_year",
    "share_by_declining_balance",
    "share_by_straight_line",
    "share_by_digits",
    "share_by_annuities",
    "share_at_residual",
    "good_undepreciated",
    "good_by_none",
    "good_by_straight_line",
    "good_by_declining_balance",
    "good_by_sum_of_years",
    "good_by_table_stepped",
    "good_by_table_interpolated",
    "good_by_present_worth",
    "depreciation",
    "actual_cash_value",
]


class Working(Struct, frozen=True, kw_only=True):
    """How a figure of a line comes about: the formula with its numbers, and what it says in words of the trade."""

    figure: Figure
    rule: WorkingRule
    formula: Annotated[
        str, Meta(description='Numbers and signs, "x" for times, "^" for a power, the result after the equals sign.')
    ]
    text: str = ""


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
    variance_share: Annotated[
        Decimal,
        Meta(
            description="The line's part of the band's variance, to four places: where it is greatest, better evidence "
            "narrows the band most."
        ),
    ]
    workings: Annotated[
        tuple[Working, ...],
        Meta(description="With options.workings: each figure's formula, so that it can be redone by hand."),
    ] = ()


class CustomSchedule(Struct, frozen=True, kw_only=True):
    """A schedule that was given with a line, in full, and that the line follows; labor may follow its component's."""

    line: str
    kind: LineKind
    schedule: Schedule


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


class IndirectCostTerms(Struct, frozen=True, kw_only=True):
    """By which terms the on-costs were reckoned, and on what: each total is its rate of its base, rounded once.

    As a margin, profit is base x rate / (1 - rate). Overhead and profit, and a sales tax on the total, are split over
    the lines by largest remainder.
    """

    overhead_rate: Decimal
    overhead_base: Annotated[Decimal, Meta(description="Direct cost of all lines.")]
    profit_rate: Decimal
    profit_basis: ProfitBasis
    compounded: bool
    profit_base: Annotated[Decimal, Meta(description="Direct cost; compounded, with the overhead.")]
    sales_tax_rate: Decimal
    sales_tax_basis: SalesTaxBasis
    sales_tax_base: Annotated[
        Decimal, Meta(description="Direct cost of material that holds no tax yet, and by choice of labor.")
    ]
    tax_labor: bool


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


class ValueByLaborRule(Struct, frozen=True, kw_only=True):
    """Actual cash value of the whole build under each rule of labor depreciation."""

    none: Decimal
    with_component: Decimal
    own: Decimal


class Work(Struct, frozen=True, kw_only=True):
    """Hours of one kind, own or hired: what was paid for them, and what they cost to have done again."""

    hours: Decimal
    paid: Decimal
    at_market: Annotated[Decimal, Meta(description="Hours at the market rate, before on-costs.")]
    replacement_cost: Annotated[Decimal, Meta(description="The same with overhead, profit and tax.")]


class LaborSummary(Struct, frozen=True, kw_only=True):
    """The work in the trailer."""

    own: Work
    hired: Work
    own_labor_added: Annotated[
        Decimal,
        Meta(description="Replacement cost of the own hours, less what was paid for them: what no receipt shows."),
    ]


class LaborDepreciationRule(Struct, frozen=True, kw_only=True):
    """What is published on depreciating labor where the trailer is registered. Property insurance; ask the insurer."""

    jurisdiction: str
    law: LaborLaw
    text: Annotated[str, Meta(description="What it says, in our own words.")]
    citation: str
    provenance: Provenance


class WholeTrailerValue(Struct, frozen=True, kw_only=True):
    """The whole trailer valued by one schedule, beside the sum of its lines."""

    schedule: str
    title: str
    source: Annotated[str, Meta(description="Where the schedule is published; empty for common practice and your own.")]
    base: Annotated[Decimal, Meta(description="Replacement cost new of all lines.")]
    age_years: Decimal
    percent_good: Decimal
    value: Decimal
    actual_cash_value: Annotated[Decimal, Meta(description="By the lines.")]
    difference: Annotated[Decimal, Meta(description="Value less that.")]


class Estimate(Struct, frozen=True, kw_only=True):
    """What the trailer costs to replace on a date, and what it is worth after wear."""

    as_of: date
    currency: str
    lines: tuple[EstimateLine, ...]
    categories: tuple[CategoryTotal, ...]
    totals: Totals
    indirect_costs: IndirectCostTerms
    value_by_labor_rule: ValueByLaborRule
    labor: LaborSummary
    band: Band
    documentation: Documentation
    notes: tuple[Note, ...]
    labor_depreciation_rule: Annotated[
        LaborDepreciationRule | None, Meta(description="Null where no published rule is known here.")
    ] = None
    custom_schedules: Annotated[
        tuple[CustomSchedule, ...], Meta(description="The schedules that lines follow without a name, as given.")
    ] = ()
    whole_trailer_value: Annotated[
        WholeTrailerValue | None, Meta(description="With options.whole_trailer_schedule.")
    ] = None
