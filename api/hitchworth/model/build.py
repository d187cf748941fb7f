"""A build: the trailer with its components, its labor, its facts and what is paid on top."""

from datetime import date
from decimal import Decimal
from typing import Annotated, Literal, TypeAlias

from msgspec import Meta, Struct, field

from hitchworth.model.numbers import Amount, Amps, Area, Gauge, Length, Quantity, Rate, Real, Share, Volts, Whole, Years
from hitchworth.model.strings import CurrencyCode, Identifier, Jurisdiction, LongText, ShortText

Method: TypeAlias = Literal["none", "straight_line", "declining_balance", "sum_of_years", "table", "present_worth"]
EvidenceGrade: TypeAlias = Literal["receipt", "written_quote", "own_estimate"]
SalesTaxBasis: TypeAlias = Literal["line", "total"]
ProfitBasis: TypeAlias = Literal["markup", "margin"]
Convention: TypeAlias = Literal["by_day", "full_year", "half_year"]
CircuitRole: TypeAlias = Literal["branch", "main"]
"""branch: from the fuse block to a device; main: from the battery to the fuse block."""

ZERO = Decimal(0)


class PercentGoodPoint(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True, gc=False):
    """One point of a table of percent good: what is left of the replacement cost at an age."""

    age_years: Years
    percent_good: Share


class Schedule(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """How a thing loses value with age. Percent good never falls below the residual and never rises with age."""

    method: Method
    life_years: Annotated[
        Years | None,
        Meta(description="Economic life. Not for none and table; declining balance at a rate needs it to switch only."),
    ] = None
    residual: Annotated[Share, Meta(description="Share of the replacement cost that is left at the end of life.")] = (
        ZERO
    )
    factor: Annotated[Rate | None, Meta(description="Declining balance: yearly rate = factor / life. Default 2.")] = (
        None
    )
    rate: Annotated[
        Share | None, Meta(description="Declining balance at a fixed yearly rate, instead of a factor.")
    ] = None
    switch_to_straight_line: Annotated[
        bool, Meta(description="Declining balance goes over to straight line of what remains once that is more.")
    ] = False
    convention: Annotated[Convention, Meta(description="What the first year counts for.")] = "by_day"
    points: Annotated[
        tuple[PercentGoodPoint, ...], Meta(max_length=200, description="Method table: falling with age.")
    ] = ()
    interpolation: Annotated[Literal["step", "linear"], Meta(description="Between two points of a table.")] = "step"
    discount_rate: Annotated[Share | None, Meta(description="Present worth: the yearly rate of interest.")] = None


class Component(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A part that was bought or made for the trailer, and what was paid for it."""

    id: Identifier
    description: ShortText
    category: Annotated[Identifier, Meta(description="One of GET /v1/schedules, or a name of your own.")]
    quantity: Quantity
    unit_cost: Annotated[Amount, Meta(description="Price of one unit, without tax and freight.")]
    acquired_on: date
    unit: Annotated[Identifier, Meta(description="What quantity counts: piece, m, m2, kg.")] = "piece"
    currency: Annotated[CurrencyCode | None, Meta(description="Of unit_cost, tax, freight. Default: the build's.")] = (
        None
    )
    exchange_rate: Annotated[
        Quantity | None, Meta(description="Units of the build's currency for one unit of this line's currency.")
    ] = None
    exchange_rate_source: Annotated[
        ShortText | None, Meta(description="Where the rate is from, and of which day; the notes repeat it.")
    ] = None
    tax: Annotated[
        Amount | None, Meta(description="Tax that was paid on the line. Then no sales tax is added to it.")
    ] = None
    freight: Amount = ZERO
    in_service_on: Annotated[
        date | None,
        Meta(description="Age counts from here; before acquired_on for a second-hand part. Default: acquired_on."),
    ] = None
    removed_on: Annotated[date | None, Meta(description="The component is out of the trailer from this date on.")] = (
        None
    )
    replacement_unit_cost: Annotated[
        Amount | None, Meta(description="A fresh quote for one unit of like kind and quality, in the line's currency.")
    ] = None
    quoted_on: Annotated[
        date | None,
        Meta(description="Day of the quote. From an earlier month a price_index brings it to the valuation date."),
    ] = None
    quoted_exchange_rate: Annotated[
        Quantity | None, Meta(description="The rate for the quote, as of its day. Default: exchange_rate.")
    ] = None
    price_index: Annotated[
        Identifier | None, Meta(description="A series by name: trends what was paid, or a quote from an earlier month.")
    ] = None
    schedule: Annotated[
        Identifier | Schedule | None, Meta(description="A schedule, or the name of one. Default: by category.")
    ] = None
    condition: Annotated[Share, Meta(description="Observed condition; multiplies percent good.")] = Decimal(1)
    effective_age_years: Annotated[Years | None, Meta(description="Instead of the age by date.")] = None
    effective_age_on: Annotated[
        date | None,
        Meta(description="Day for which the effective age was judged; it grows from then on. Default: it stays."),
    ] = None
    low: Annotated[Amount | None, Meta(description="Least plausible replacement cost of the line.")] = None
    likely: Annotated[
        Amount | None,
        Meta(description="Most plausible replacement cost of the line, for the band. Default: the one computed."),
    ] = None
    high: Annotated[Amount | None, Meta(description="Greatest plausible replacement cost of the line.")] = None
    evidence_grade: EvidenceGrade = "own_estimate"
    serial_number: Identifier | None = None
    model_number: Identifier | None = None
    supplier: ShortText | None = None
    note: LongText = ""


class Labor(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Hours of work on the trailer, own or hired."""

    id: Identifier
    task: ShortText
    hours: Quantity
    rate: Annotated[Amount, Meta(description="What an hour was paid. 0 for unpaid own hours.")]
    performed_on: date
    category: Identifier = "labor"
    market_rate: Annotated[
        Amount | None,
        Meta(description="What a shop asks for an hour today; replacement labor is valued at it. Default: rate."),
    ] = None
    market_rate_on: Annotated[
        date | None,
        Meta(description="Day of the market rate; a price_index brings it from there to the valuation date."),
    ] = None
    price_index: Annotated[
        Identifier | None,
        Meta(
            description="A series of wages or shop rates: trends the rate that was paid, or a market rate with its day."
        ),
    ] = None
    hired: bool = False
    component_id: Annotated[Identifier | None, Meta(description="The component that the work serves.")] = None
    schedule: Identifier | Schedule | None = None


class IndirectCosts(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What is added to the direct cost of parts and labor when the trailer is built again."""

    overhead_rate: Rate = ZERO
    profit_rate: Rate = ZERO
    compounded: Annotated[
        bool,
        Meta(description="Profit also on overhead: 10 + 10 % on 10,000 are 12,100, not 12,000."),
    ] = False
    profit_basis: Annotated[
        ProfitBasis,
        Meta(
            description="Markup: profit_rate of the cost. Margin: profit_rate of the price, cost x rate / (1 - rate)."
        ),
    ] = "markup"
    freight_lump_sum: Annotated[
        Amount, Meta(description="Freight for all components together, split over them by what was paid for each.")
    ] = ZERO
    sales_tax_rate: Annotated[
        Rate, Meta(description="On material that carries no tax of its own, and on fresh quotes.")
    ] = ZERO
    sales_tax_basis: SalesTaxBasis = "line"
    tax_labor: bool = False


class Base(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The bought trailer or the frame that the build stands on."""

    kind: Annotated[Identifier, Meta(description="What it is in words of the trade: flatbed trailer, own frame.")]
    comparable_price: Annotated[
        Amount | None,
        Meta(
            description="New price of a plain trailer of the registered class, equal in size. Default: base components."
        ),
    ] = None


class IndexMonth(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True, gc=False):
    """One month of a price index."""

    month: Annotated[str, Meta(pattern="^[0-9]{4}-(0[1-9]|1[0-2])$", description="A month: YYYY-MM.")]
    value: Quantity


class Protection(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A measure against loss that is fitted, and what proves it."""

    name: Annotated[Identifier, Meta(description="One of GET /v1/protections, or a name of your own.")]
    installed_on: date | None = None
    evidence: LongText = ""
    cost: Annotated[Amount | None, Meta(description="What it cost, fitted, in the build's currency.")] = None
    annual_discount: Annotated[
        Amount | None, Meta(description="Discount a year that the insurer grants for it, in the build's currency.")
    ] = None
    discount_rate: Annotated[
        Share | None, Meta(description="Instead of an amount: the discount as a share of the policy's premium.")
    ] = None
    policy: Annotated[
        Identifier | None, Meta(description="The policy that grants it. Default: the only one on the table.")
    ] = None


class Circuit(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A circuit of the low-voltage supply: its load, its copper conductor, its fuse. Null is not known."""

    name: Identifier
    load_amps: Annotated[Amps, Meta(description="What everything on it draws together at most.")]
    length_m: Annotated[Length, Meta(description="Length of the run one way.")]
    awg: Annotated[
        Gauge | None,
        Meta(description="Conductor size, American wire gauge. 0 is 1/0, -1 is 2/0, -2 is 3/0, -3 is 4/0."),
    ] = None
    area_mm2: Annotated[Area | None, Meta(description="Instead of a gauge: the conductor's area.")] = None
    fuse_amps: Annotated[Amps | None, Meta(description="Rating of the fuse or breaker near its source.")] = None
    dedicated_fuse: Annotated[
        bool | None, Meta(description="The fuse serves this circuit alone. Default: yes, when a fuse is given.")
    ] = None
    volts: Volts = Decimal(12)
    role: CircuitRole = "branch"
    critical: Annotated[
        bool, Meta(description="Its device must not fail or dim. A main circuit counts as critical.")
    ] = False
    fuse_block_covered: bool | None = None
    no_sharp_bends: bool | None = None
    chafe_protection: bool | None = None


class Measurement(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A fact as somebody measured it: with its unit, or only planned."""

    value: bool | Whole | Real | ShortText | None
    unit: Identifier | None = None
    planned: Annotated[bool, Meta(description="Not so yet: the trailer is still being built.")] = False


FactValue: TypeAlias = bool | Whole | Real | ShortText | Measurement | None
"""A bare value is in the unit of the vocabulary (GET /v1/facts); null is a fact not yet known."""


class Build(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A camping trailer, built or being built."""

    name: ShortText
    currency: CurrencyCode
    jurisdiction: Annotated[Jurisdiction | None, Meta(description="Where it is registered: US-WA, GB, DE.")] = None
    registered_class: Annotated[Identifier | None, Meta(description="The class that the document names.")] = None
    vin: Annotated[Identifier | None, Meta(description="Identification number on plate and document.")] = None
    base: Base | None = None
    market_value: Annotated[
        Amount | None,
        Meta(
            description="What trailers like this one sell for, from a sales comparison or an appraisal. Null: not known."
        ),
    ] = None
    completed_on: Annotated[
        date | None,
        Meta(description="The day it is finished; before it, it is under construction. Null: it is finished."),
    ] = None
    facts: Annotated[dict[Identifier, FactValue], Meta(max_length=300)] = field(default_factory=dict)
    use: Annotated[dict[Identifier, bool | ShortText | None], Meta(max_length=50)] = field(default_factory=dict)
    components: Annotated[tuple[Component, ...], Meta(max_length=10_000)] = ()
    labor: Annotated[tuple[Labor, ...], Meta(max_length=10_000)] = ()
    indirect_costs: IndirectCosts = IndirectCosts()
    schedules: Annotated[
        dict[Identifier, Schedule], Meta(max_length=200, description="Schedules of your own, by name.")
    ] = field(default_factory=dict)
    price_indexes: Annotated[dict[Identifier, tuple[IndexMonth, ...]], Meta(max_length=50)] = field(
        default_factory=dict
    )
    protections: Annotated[tuple[Protection, ...], Meta(max_length=200)] = ()
    circuits: Annotated[tuple[Circuit, ...], Meta(max_length=200)] = ()
