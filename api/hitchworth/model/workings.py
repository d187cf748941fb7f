"""The workings of an estimate: the formula of each figure of a line."""

from typing import Annotated, Literal, TypeAlias

from msgspec import Meta, Struct

Figure: TypeAlias = Literal[
    "historical_cost",
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
    "obsolescence",
    "actual_cash_value",
]
"""The figure of a line that a formula computes.

historical_cost: what was paid, with tax and freight
direct_cost: replacement cost before overhead, profit and sales tax
overhead: the line's part of the overhead
profit: the line's part of the profit
sales_tax: the line's sales tax
replacement_cost: replacement cost new
age_years: the age on the valuation date
counted_age: the age that the schedule counts, where its convention makes another
share_at_start: percent good at the point of the schedule before the age
share_at_end: percent good at the point of the schedule after the age
percent_good: percent good, condition included
depreciation: replacement cost x (1 - percent good), and the cost to cure in full; with it, obsolescence
obsolescence: what functional and economic obsolescence take after wear
actual_cash_value: replacement cost less depreciation
"""

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
    "share_by_sum_of_years",
    "share_by_present_worth",
    "share_at_residual",
    "good_undepreciated",
    "good_by_none",
    "good_by_straight_line",
    "good_by_declining_balance",
    "good_by_sum_of_years",
    "good_by_table_stepped",
    "good_by_table_interpolated",
    "good_by_present_worth",
    "good_by_age_life",
    "good_since_bought_used",
    "good_by_price_paid",
    "depreciation",
    "depreciation_with_cure",
    "obsolescence",
    "actual_cash_value",
    "actual_cash_value_with_obsolescence",
]
"""The rule that a formula follows; `text` says it in the language of the answer.

price_as_paid: quantity x unit cost + tax + freight
price_by_quote: quantity x quote + freight; with tax at the rate that was paid, where the build has no rate
price_by_quote_and_index: the quote, trended by a price index from its month to the valuation date
price_by_index: what was paid, trended by a price index
hours_as_paid: hours x rate paid
hours_at_market_rate: hours x market rate
hours_by_index: hours x rate, trended by an index
overhead_split: overhead on the lines that do not include it, split over them by direct cost
profit_split: profit on the lines that do not include it, split over them by its base
sales_tax_split: sales tax on the taxable total, split over the lines
sales_tax_by_line: sales tax on the line
replacement_cost: direct cost + overhead + profit + sales tax
age_in_days: days in service / 365.25
age_in_months: complete months in service / 12
age_in_years: complete years in service
age_effective: the effective age given
age_effective_grown: the effective age given + the time since then
counted_full_year: every year begun counts in full
counted_half_year: every year begun counts in full, the first one for half
share_by_declining_balance: what each year's rate leaves, multiplied year by year
share_by_straight_line: straight line over the remaining life, after the switch
share_by_sum_of_years: by the sum of the years' digits
share_by_present_worth: by the present worth of the remaining life
share_at_residual: the residual, below which the schedule does not go
good_undepreciated: labor that is not depreciated
good_by_none: not depreciated
good_by_straight_line: straight line, times condition
good_by_declining_balance: declining balance, times condition
good_by_sum_of_years: sum of the years' digits, times condition
good_by_table_stepped: the last point of the table that was reached, times condition
good_by_table_interpolated: between two points of the table, times condition
good_by_present_worth: present worth of the remaining life, times condition
good_by_age_life: remaining life / (age + remaining life), times condition
good_since_bought_used: by the schedule at the age / the same at the age of the purchase, times condition
good_by_price_paid: by the schedule since the purchase x price paid / price new, times condition
depreciation: replacement cost x (1 - percent good)
depreciation_with_cure: cost to cure + (replacement cost - cost to cure) x (1 - percent good)
obsolescence: each share of what wear and the shares before it have left
actual_cash_value: replacement cost less depreciation
actual_cash_value_with_obsolescence: replacement cost less wear and obsolescence
"""


class Working(Struct, frozen=True, kw_only=True):
    """The formula of one figure of a line, with its numbers, so that a person can redo it."""

    figure: Annotated[Figure, Meta(description="The figure that the formula computes.")]
    rule: Annotated[WorkingRule, Meta(description="The rule that the formula follows.")]
    formula: Annotated[
        str, Meta(description='Numbers and signs, "x" for times, "^" for a power, the result after the equals sign.')
    ]
    text: Annotated[str, Meta(description="The rule in words, in the language of the request's locale.")] = ""
