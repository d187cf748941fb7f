"""An estimate: every line of the build valued on one date, and what they add up to."""

from datetime import date
from decimal import Decimal
from typing import Annotated, Literal, TypeAlias

from msgspec import Meta, Struct

from hitchworth.model.entry import PriceContent
from hitchworth.model.indirect_costs import ProfitBasis, SalesTaxBasis
from hitchworth.model.note import Note
from hitchworth.model.numbers import RoundedAmount
from hitchworth.model.provenance import Provenance
from hitchworth.model.schedule import Schedule
from hitchworth.model.workings import Working

LineKind: TypeAlias = Literal["component", "labor"]
"""What a line of the estimate is.

component: a part
labor: hours of work
"""

ValueFinding: TypeAlias = Literal["labor_kept", "labor_depreciated", "own_labor_not_counted", "market_value"]
"""A way of finding the actual cash value.

labor_kept: by cost, own and hired labor counted in full
labor_depreciated: by cost, labor depreciated with the components that it serves
own_labor_not_counted: by cost, your own hours left out and hired labor depreciated
market_value: what such trailers sell for
"""

LaborLaw: TypeAlias = Literal["not_depreciated", "depreciated", "by_policy_wording", "unsettled"]
"""What is published on depreciating labor in an actual cash value.

not_depreciated: labor may not be depreciated
depreciated: labor may be depreciated
by_policy_wording: it depends on the wording of the policy
unsettled: courts or regulators have not settled it
"""


class EstimateLine(Struct, frozen=True, kw_only=True):
    """One component or labor entry, valued. Amounts are in the build's currency, each rounded once."""

    id: Annotated[str, Meta(description="Id of the component or labor entry.")]
    kind: Annotated[LineKind, Meta(description="What the line is.")]
    description: Annotated[str, Meta(description="The component's description, or the task of the labor.")]
    category: Annotated[str, Meta(description="The category, as given.")]
    historical_cost: Annotated[
        RoundedAmount, Meta(description="What was paid: quantity x unit cost + tax + freight, or hours x rate.")
    ]
    direct_cost: Annotated[
        RoundedAmount,
        Meta(
            description="What the same thing costs on the valuation date, freight included, before overhead, profit "
            "and sales tax."
        ),
    ]
    replacement_cost: Annotated[
        RoundedAmount,
        Meta(description="Replacement cost new: direct cost with the line's part of overhead, profit and sales tax."),
    ]
    includes: Annotated[
        PriceContent,
        Meta(
            description="What the price or the rate behind direct_cost includes already; only the rest was added to it."
        ),
    ]
    untaxed_cost: Annotated[
        RoundedAmount,
        Meta(
            description="The part of the replacement cost that bears sales tax when it is replaced and does not carry "
            "it: the direct cost of material without tax, and of labor with tax_labor. Of a total loss, a policy that "
            "pays sales tax pays it on this part."
        ),
    ]
    age_years: Annotated[
        Decimal, Meta(description="Age in years on the valuation date, shown to three places and computed exactly.")
    ]
    schedule: Annotated[
        str,
        Meta(
            description="Name of the schedule that was applied; the method of one that was written out with the line; "
            "none for labor that is not depreciated."
        ),
    ]
    percent_good: Annotated[
        Decimal,
        Meta(
            description="Share of the replacement cost that is left, condition included: 1 less depreciation. Shown to "
            "six places and computed exactly."
        ),
    ]
    depreciation: Annotated[
        RoundedAmount,
        Meta(description="Wear, replacement cost x (1 - percent good), with the cost to cure, and obsolescence."),
    ]
    actual_cash_value: Annotated[RoundedAmount, Meta(description="Replacement cost less depreciation.")]
    variance_share: Annotated[
        Decimal,
        Meta(
            description="The line's share of the band's variance, to four places. Better evidence for the line with "
            "the greatest share narrows the band most."
        ),
    ]
    workings: Annotated[
        tuple[Working, ...],
        Meta(description="With options.workings: the formula of each figure. Otherwise empty."),
    ] = ()
    obsolescence: Annotated[
        RoundedAmount, Meta(description="The part of depreciation that is functional or economic obsolescence.")
    ] = Decimal(0)


class CustomSchedule(Struct, frozen=True, kw_only=True):
    """A schedule that was written out with a line and not named; labor may follow that of its component."""

    line: Annotated[str, Meta(description="Id of the line that follows it.")]
    kind: Annotated[LineKind, Meta(description="What the line is.")]
    schedule: Annotated[Schedule, Meta(description="The schedule, as given.")]


class CategoryTotal(Struct, frozen=True, kw_only=True):
    """The lines of one category, added up."""

    category: Annotated[str, Meta(description="The category, as given.")]
    replacement_cost: Annotated[RoundedAmount, Meta(description="Replacement cost new of its lines.")]
    depreciation: Annotated[RoundedAmount, Meta(description="Depreciation of its lines.")]
    actual_cash_value: Annotated[RoundedAmount, Meta(description="Replacement cost less depreciation.")]


class Totals(Struct, frozen=True, kw_only=True):
    """The lines added up.

    Direct cost + overhead + profit + sales tax = replacement cost; less depreciation = actual cash value.
    """

    historical_cost: Annotated[RoundedAmount, Meta(description="What was paid for all lines, with tax and freight.")]
    direct_cost: Annotated[
        RoundedAmount,
        Meta(description="Cost of all lines on the valuation date, before overhead, profit and sales tax."),
    ]
    overhead: Annotated[
        RoundedAmount, Meta(description="Overhead on the lines whose price or rate does not include it.")
    ]
    profit: Annotated[RoundedAmount, Meta(description="Profit on the lines whose price or rate does not include it.")]
    sales_tax: Annotated[RoundedAmount, Meta(description="Sales tax on what carries no tax of its own.")]
    replacement_cost: Annotated[
        RoundedAmount, Meta(description="Replacement cost new: direct cost + overhead + profit + sales tax.")
    ]
    depreciation: Annotated[RoundedAmount, Meta(description="Depreciation of all lines: wear and obsolescence.")]
    actual_cash_value: Annotated[RoundedAmount, Meta(description="Replacement cost less depreciation.")]
    functional_obsolescence: Annotated[
        RoundedAmount, Meta(description="The part of depreciation that is functional obsolescence.")
    ] = Decimal(0)
    economic_obsolescence: Annotated[
        RoundedAmount, Meta(description="The part of depreciation that is economic obsolescence.")
    ] = Decimal(0)


class IndirectCostTerms(Struct, frozen=True, kw_only=True):
    """The rates of the indirect costs, and the base of each: a total is rate x base, rounded once.

    As a margin, profit is base x rate / (1 - rate). Overhead and profit, and a sales tax on the total, are split over
    the lines by largest remainder.
    """

    overhead_rate: Annotated[Decimal, Meta(description="Rate of overhead: 0.1 is 10 percent.")]
    overhead_base: Annotated[
        RoundedAmount,
        Meta(
            description="Direct cost, without the sales tax in it, of the lines whose price or rate does not include "
            "overhead."
        ),
    ]
    profit_rate: Annotated[Decimal, Meta(description="Rate of profit: 0.1 is 10 percent.")]
    profit_basis: Annotated[ProfitBasis, Meta(description="What profit_rate is a share of.")]
    compounded: Annotated[bool, Meta(description="Whether profit is on overhead too.")]
    profit_base: Annotated[
        RoundedAmount,
        Meta(
            description="Direct cost, without the sales tax in it, of the lines whose price or rate does not include "
            "profit; when compounded, with the overhead."
        ),
    ]
    sales_tax_rate: Annotated[Decimal, Meta(description="Rate of sales tax: 0.0875 is 8.75 percent.")]
    sales_tax_basis: Annotated[
        SalesTaxBasis, Meta(description="Whether sales tax is computed line by line or on the total.")
    ]
    sales_tax_base: Annotated[
        RoundedAmount,
        Meta(description="Direct cost of the components that carry no tax of their own; with tax_labor, of labor too."),
    ]
    tax_labor: Annotated[
        bool | None, Meta(description="Whether sales tax is on labor too; null: not stated, none added.")
    ]


class Band(Struct, frozen=True, kw_only=True):
    """How uncertain the replacement cost is: it is between low and high with the stated confidence."""

    low: Annotated[RoundedAmount, Meta(description="Lower end of the band.")]
    likely: Annotated[
        RoundedAmount,
        Meta(description="Sum of the lines' likely costs; the replacement cost, unless a line states a likely cost."),
    ]
    high: Annotated[RoundedAmount, Meta(description="Upper end of the band.")]
    confidence: Annotated[
        Decimal, Meta(description="Probability that the band holds the true cost: 0.9 is 90 percent.")
    ]
    not_priced: Annotated[
        tuple[str, ...],
        Meta(
            description="Ids of the lines whose price new or rate is not known: parts bought used without a quote, "
            "own hours without any rate. The true cost is higher by what they lack, so the band does not hold it."
        ),
    ] = ()


class CostByEvidence(Struct, frozen=True, kw_only=True):
    """Replacement cost of the components by the grade of their evidence."""

    receipt: Annotated[RoundedAmount, Meta(description="Of the components with a receipt.")]
    written_quote: Annotated[RoundedAmount, Meta(description="Of the components with a written quote.")]
    own_estimate: Annotated[RoundedAmount, Meta(description="Of the components that rest on your own estimate.")]


class ValueByLaborRule(Struct, frozen=True, kw_only=True):
    """Actual cash value of the whole build under each rule of labor depreciation."""

    none: Annotated[RoundedAmount, Meta(description="Labor is not depreciated.")]
    with_component: Annotated[RoundedAmount, Meta(description="Labor depreciates with the component that it serves.")]
    own: Annotated[RoundedAmount, Meta(description="Labor depreciates by its own schedule.")]


class ValueEnd(Struct, frozen=True, kw_only=True):
    """What the whole is worth as one way of finding actual cash value has it."""

    found_by: Annotated[ValueFinding, Meta(description="How it is found.")]
    value: Annotated[RoundedAmount, Meta(description="What the trailer is worth.")]


class ValueRange(Struct, frozen=True, kw_only=True):
    """Between which ends the actual cash value lies, however an insurer finds it.

    The market value is one of them where it is entered with the build or follows from its sales.
    """

    high: Annotated[RoundedAmount, Meta(description="The greatest of them.")]
    low: Annotated[RoundedAmount, Meta(description="The least of them.")]
    ends: Annotated[tuple[ValueEnd, ...], Meta(description="Each way of finding it.")]


class PlainTrailer(Struct, frozen=True, kw_only=True):
    """A plain trailer of the registered class: how it wears where no base part says so, and its plausible prices."""

    percent_good: Annotated[
        Decimal, Meta(description="What age and condition leave of its price, to six places; 1 where no age is known.")
    ]
    plausible_prices: Annotated[
        tuple[RoundedAmount, ...],
        Meta(description="Plausible prices new, the least first, where the price is not known. Otherwise empty."),
    ] = ()


class LaborTotal(Struct, frozen=True, kw_only=True):
    """Hours of one kind, own or hired: what was paid for them, and what they cost to have done again."""

    hours: Annotated[Decimal, Meta(description="Hours worked up to the valuation date.")]
    paid: Annotated[RoundedAmount, Meta(description="What was paid for them.")]
    at_market: Annotated[
        RoundedAmount, Meta(description="The hours at their market rate, before overhead, profit and sales tax.")
    ]
    replacement_cost: Annotated[RoundedAmount, Meta(description="The same with overhead, profit and sales tax.")]


class LaborSummary(Struct, frozen=True, kw_only=True):
    """The work in the trailer."""

    own: Annotated[LaborTotal, Meta(description="Your own hours.")]
    hired: Annotated[LaborTotal, Meta(description="Hired hours.")]
    own_labor_added: Annotated[
        RoundedAmount,
        Meta(
            description="Replacement cost of your own hours less what was paid for them: value that no receipt shows. "
            "Negative where more was paid."
        ),
    ]


class LaborDepreciationRule(Struct, frozen=True, kw_only=True):
    """What is published on depreciating labor where the trailer is registered. It is about property insurance; ask the
    insurer whether it holds for the policy.
    """

    jurisdiction: Annotated[str, Meta(description="Where the rule applies: US-CA.")]
    law: Annotated[LaborLaw, Meta(description="What the rule says, as one of four cases.")]
    text: Annotated[str, Meta(description="What the rule says, in our own words.")]
    citation: Annotated[str, Meta(description="The statute, regulation or decision.")]
    provenance: Annotated[Provenance, Meta(description="Where the entry comes from.")]


class WholeTrailerValue(Struct, frozen=True, kw_only=True):
    """The whole trailer valued by one schedule, beside the sum of its lines."""

    schedule: Annotated[str, Meta(description="Name of the schedule that was applied.")]
    title: Annotated[str, Meta(description="Its title; empty for a schedule of your own.")]
    source: Annotated[
        str, Meta(description="Where it is published; empty for common practice and for a schedule of your own.")
    ]
    base: Annotated[RoundedAmount, Meta(description="Replacement cost new of all lines.")]
    age_years: Annotated[Decimal, Meta(description="Age of the whole trailer in years, to three places.")]
    percent_good: Annotated[Decimal, Meta(description="Share that is left by the schedule, to six places.")]
    value: Annotated[RoundedAmount, Meta(description="Base x percent good.")]
    actual_cash_value: Annotated[RoundedAmount, Meta(description="Actual cash value by the lines.")]
    difference: Annotated[
        RoundedAmount,
        Meta(description="Value less actual cash value by the lines; negative where the lines give more."),
    ]


class Estimate(Struct, frozen=True, kw_only=True):
    """What the trailer costs to replace on a date, and what it is worth after depreciation."""

    as_of: Annotated[date, Meta(description="Valuation date.")]
    currency: Annotated[str, Meta(description="The build's currency, ISO 4217; every amount is in it.")]
    lines: Annotated[
        tuple[EstimateLine, ...],
        Meta(
            description="The entries that are in the trailer on the date: components, then labor, in the order given."
        ),
    ]
    categories: Annotated[
        tuple[CategoryTotal, ...], Meta(description="The lines added up by category, in order of first appearance.")
    ]
    totals: Annotated[Totals, Meta(description="The lines added up.")]
    indirect_costs: Annotated[IndirectCostTerms, Meta(description="The rates of the indirect costs with their bases.")]
    value_by_labor_rule: Annotated[
        ValueByLaborRule, Meta(description="Actual cash value under each rule of labor depreciation.")
    ]
    labor: Annotated[LaborSummary, Meta(description="The work, own and hired.")]
    band: Annotated[Band, Meta(description="How uncertain the replacement cost is.")]
    cost_by_evidence: Annotated[
        CostByEvidence, Meta(description="Replacement cost of the components by the grade of their evidence.")
    ]
    notes: Annotated[tuple[Note, ...], Meta(description="What was assumed, left out or could not be applied.")]
    labor_depreciation_rule: Annotated[
        LaborDepreciationRule | None,
        Meta(
            description="The rule on depreciating labor where the trailer is registered. Null: no published one is "
            "known."
        ),
    ] = None
    custom_schedules: Annotated[
        tuple[CustomSchedule, ...], Meta(description="The schedules that were written out with lines.")
    ] = ()
    value_range: Annotated[
        ValueRange | None, Meta(description="The ends between which the actual cash value lies. Null: not computed.")
    ] = None
    plain_trailer: Annotated[
        PlainTrailer | None,
        Meta(
            description="How a plain trailer of the registered class wears, and what it may cost. Null: not computed."
        ),
    ] = None
    whole_trailer_value: Annotated[
        WholeTrailerValue | None,
        Meta(description="With options.whole_trailer_schedule; null without it, or where there is no component."),
    ] = None
    locale: Annotated[str, Meta(description="Locale of the texts: the one requested, or the nearest available.")] = ""
