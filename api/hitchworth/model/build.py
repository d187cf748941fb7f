"""A build: the trailer with its components, its labor, its facts and the indirect costs."""

from datetime import date
from decimal import Decimal
from typing import Annotated, Literal, TypeAlias

from msgspec import Meta, Struct, field

from hitchworth.model.numbers import (
    Amount,
    Amps,
    Area,
    FaultAmps,
    Gauge,
    InsulationClass,
    Length,
    ModelYear,
    Multiple,
    Quantity,
    Rate,
    Real,
    Share,
    SignedAmount,
    SignedQuantity,
    Volts,
    Whole,
    Years,
)
from hitchworth.model.strings import (
    CurrencyCode,
    EmailAddress,
    Identifier,
    Jurisdiction,
    LongText,
    PhoneNumber,
    ShortText,
)

Method: TypeAlias = Literal["none", "straight_line", "declining_balance", "sum_of_years", "table", "present_worth"]
"""How percent good falls with age.

none: not depreciated
straight_line: the same share each year, down to the residual at the end of the life
declining_balance: each year the same rate of what is left, at a fixed rate or at factor / life
sum_of_years: sum of the years' digits, most in the first year
table: a table of percent good by age
present_worth: present worth of 1 a year for the remaining life over that for the whole life, at discount_rate
"""

Interpolation: TypeAlias = Literal["step", "linear"]
"""Percent good between two points of a table.

step: that of the last point reached
linear: in proportion to the age between the two points
"""

Convention: TypeAlias = Literal["by_day", "full_year", "half_year"]
"""The age that a schedule counts.

by_day: the age itself
full_year: every year begun counts in full
half_year: every year begun counts in full, the first one for half
"""

EvidenceGrade: TypeAlias = Literal["receipt", "written_quote", "own_estimate"]
"""What proves a cost. It sets the range of the line's replacement cost where low and high are not given.

receipt: a receipt or invoice; 5 percent below to 5 percent above
written_quote: a written quote from a seller; 10 percent below to 15 percent above
own_estimate: your own estimate; 20 percent below to 30 percent above
"""

RateEvidence: TypeAlias = Literal["receipt", "written_quote", "own_estimate", "guess"]
"""What proves a rate for an hour. It sets the range of the line's replacement cost where low and high are not given.

receipt: an invoice for the work; 5 percent below to 5 percent above
written_quote: a written quote from a shop, or the rate that it posts; 10 percent below to 15 percent above
own_estimate: your own estimate from what several shops ask; 20 percent below to 30 percent above
guess: no shop was asked; 50 percent below to 150 percent above, one guess for all entries at the same rate
"""

PriceContent: TypeAlias = Literal["nothing", "overhead", "overhead_and_profit", "all"]
"""What a price or a rate includes already. Only the rest is added to it.

nothing: a wage, or material at its price: overhead, profit and sales tax are added
overhead: a wage with the employer's costs and overhead: profit and sales tax are added
overhead_and_profit: what a shop asks, or a finished product: only sales tax is added
all: the same with sales tax: nothing is added
"""

SalesTaxBasis: TypeAlias = Literal["line", "total"]
"""Whether sales tax is computed line by line or on the total.

line: on each line, and each is rounded
total: on the taxable total, rounded once and split over the lines
"""

ProfitBasis: TypeAlias = Literal["markup", "margin"]
"""What profit_rate is a share of.

markup: of the cost; profit = cost x rate
margin: of the price; profit = cost x rate / (1 - rate)
"""

ObsolescenceKind: TypeAlias = Literal["functional", "economic"]
"""What takes value from the trailer beside wear.

functional: what it is, such as its layout, or more than buyers pay for (superadequacy)
economic: what lies outside it, such as a market that wants no such trailer
"""

BatteryChemistry: TypeAlias = Literal["lead_acid", "lithium"]
"""The battery that feeds a main circuit.

lead_acid: flooded, absorbed glass mat or gel
lithium: lithium iron phosphate or another lithium chemistry
"""

CircuitRole: TypeAlias = Literal["branch", "main"]
"""Where a circuit runs.

branch: from the fuse block to a device
main: from the battery to the fuse block
"""

ZERO = Decimal(0)


class PercentGoodPoint(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True, gc=False):
    """One point of a table of percent good."""

    age_years: Annotated[Years, Meta(description="The age.")]
    percent_good: Annotated[Share, Meta(description="What is left of the replacement cost at this age.")]


class Schedule(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """How a thing loses value with age. Percent good never falls below the residual and never rises with age."""

    method: Annotated[Method, Meta(description="How percent good falls with age.")]
    life_years: Annotated[
        Years | None,
        Meta(
            description="Economic life, more than 0. Required for straight_line, sum_of_years, present_worth and "
            "declining_balance; with a fixed rate only to switch to straight line."
        ),
    ] = None
    residual: Annotated[
        Share,
        Meta(description="What is left of the replacement cost at the end of the life; percent good stays there."),
    ] = ZERO
    factor: Annotated[
        Multiple | None,
        Meta(
            description="For declining_balance: multiple of the straight-line rate, more than 0: 2 is double "
            "declining. Null without a rate: 2."
        ),
    ] = None
    rate: Annotated[
        Share | None, Meta(description="For declining_balance: a fixed yearly rate, instead of a factor.")
    ] = None
    switch_to_straight_line: Annotated[
        bool,
        Meta(
            description="For declining_balance: switch to straight line over the remaining life once that takes more "
            "in a year."
        ),
    ] = False
    convention: Annotated[Convention, Meta(description="The age that the schedule counts.")] = "by_day"
    points: Annotated[
        tuple[PercentGoodPoint, ...],
        Meta(
            max_length=200,
            description="For table: its points in the order of age, percent good never rising. Without a point at age "
            "0 the table begins there at 1.",
        ),
    ] = ()
    interpolation: Annotated[Interpolation, Meta(description="For table: percent good between two points.")] = "step"
    discount_rate: Annotated[
        Share | None, Meta(description="For present_worth, required: the yearly rate of interest.")
    ] = None


LowCost = Annotated[
    Amount | None,
    Meta(
        description="Least plausible replacement cost of the line, in the build's currency, for the band. Null: by "
        "evidence_grade."
    ),
]
LikelyCost = Annotated[
    Amount | None,
    Meta(
        description="Most plausible replacement cost of the line, in the build's currency, for the band only. Null: "
        "the replacement cost computed."
    ),
]
HighCost = Annotated[
    Amount | None,
    Meta(
        description="Greatest plausible replacement cost of the line, in the build's currency, for the band. Null: by "
        "evidence_grade."
    ),
]


class Component(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A part that was bought or made for the trailer, and what was paid for it."""

    id: Annotated[Identifier, Meta(description="Your name for the line, unique among components and labor.")]
    description: Annotated[ShortText, Meta(description="What it is, in your words; printed on reports.")]
    category: Annotated[
        Identifier,
        Meta(
            description="A category of GET /v1/schedules, or a name of your own; capitals, plurals and punctuation do "
            "not matter. It chooses the schedule, and sublimits name it. A category that is not listed follows the "
            "general schedule, and a note says so."
        ),
    ]
    quantity: Annotated[SignedQuantity, Meta(description="How many units, in `unit`. Below 0 only on a refund.")]
    unit_cost: Annotated[
        SignedAmount,
        Meta(
            description="Price paid for one unit, in the line's currency, without tax and freight. Below 0 only on a "
            "refund."
        ),
    ]
    acquired_on: Annotated[date, Meta(description="Day of purchase. Before it the component is not in the trailer.")]
    unit: Annotated[
        Identifier, Meta(description="What the quantity counts: piece, m, m2, kg. Printed, not computed.")
    ] = "piece"
    currency: Annotated[
        CurrencyCode | None,
        Meta(
            description="ISO 4217 code of the line's currency: of unit_cost, tax, freight and replacement_unit_cost. "
            "Null: the build's."
        ),
    ] = None
    exchange_rate: Annotated[
        Quantity | None,
        Meta(
            description="Units of the build's currency for one unit of the line's currency on the day of purchase. "
            "Required for a line in another currency, unless options.exchange_rates is ecb."
        ),
    ] = None
    exchange_rate_source: Annotated[
        ShortText | None, Meta(description="Where the exchange rate is from, and of which day; the notes repeat it.")
    ] = None
    tax: Annotated[
        SignedAmount | None,
        Meta(
            description="Tax paid on the whole line, in the line's currency; 0 says that none was paid. Once it is "
            "given, no sales tax is added to the line. A current quote is taxed at the build's sales_tax_rate, or "
            "without one at the rate that was paid. Null: not known, so sales tax is added to the replacement cost."
        ),
    ] = None
    freight: Annotated[Amount, Meta(description="Freight paid for the whole line, in the line's currency.")] = ZERO
    price_includes: Annotated[
        PriceContent | None,
        Meta(
            description="What the price includes already: the quote, or without one the price paid. Null: overhead and "
            "profit for a trailer that was bought as a base (category trailer, or chassis unless base.kind says that "
            "the frame is one's own), else nothing."
        ),
    ] = None
    bought_used: Annotated[
        bool | None,
        Meta(
            description="unit_cost is the price of a used part. Its price new is then wanted as replacement_unit_cost. "
            "Without it, what was paid stands for what the part was worth on that day, and it wears on from there. "
            "Null: it is where in_service_on is before acquired_on."
        ),
    ] = None
    in_service_on: Annotated[
        date | None,
        Meta(
            description="Age counts from this day. For a used part, the day on which it was first put to use, before "
            "acquired_on. Null: from acquired_on."
        ),
    ] = None
    removed_on: Annotated[
        date | None, Meta(description="From this day on the component is out of the trailer. Null: still in it.")
    ] = None
    refund_of: Annotated[
        Identifier | None,
        Meta(
            description="For a refund: id of the component that it takes back. So many units of it as the refund's "
            "quantity says leave the trailer on the refund's acquired_on, with their share of tax and freight; what "
            "was paid back for them is kept on record and not computed. Null: no refund."
        ),
    ] = None
    replacement_unit_cost: Annotated[
        Amount | None,
        Meta(
            description="A current quote for one unit of like kind and quality, in the line's currency, without tax "
            "and freight. It takes the place of unit_cost in the replacement cost. Null: no quote."
        ),
    ] = None
    quoted_on: Annotated[
        date | None,
        Meta(
            description="Day of the quote. After the valuation date the quote is not used. From an earlier month the "
            "price_index trends it to the valuation date. Null: taken as of the valuation date, and a note says so."
        ),
    ] = None
    quoted_exchange_rate: Annotated[
        Quantity | None,
        Meta(description="The exchange rate of the quote, as of its day, more than 0. Null: exchange_rate."),
    ] = None
    price_index: Annotated[
        Identifier | None,
        Meta(
            description="Name of a price index, of build.price_indexes or GET /v1/price-indexes. It trends what was "
            "paid, or an earlier quote, to the valuation date. Null: prices stay as they were."
        ),
    ] = None
    schedule: Annotated[
        Identifier | Schedule | None,
        Meta(
            description="The schedule of depreciation: a name of build.schedules or GET /v1/schedules, or a schedule "
            "written out. Null: the schedule of the category."
        ),
    ] = None
    condition: Annotated[
        Share,
        Meta(
            description="Observed condition, which multiplies percent good and may take it below the residual. 1: "
            "typical for its age."
        ),
    ] = Decimal(1)
    effective_age_years: Annotated[
        Years | None,
        Meta(description="Effective age: the age that its condition shows, instead of the age by date. Null: by date."),
    ] = None
    effective_age_on: Annotated[
        date | None,
        Meta(
            description="Day for which the effective age, or the remaining life, was judged; the age grows from that "
            "day on. Null: they are those of every valuation date."
        ),
    ] = None
    remaining_life_years: Annotated[
        Years | None,
        Meta(
            description="Remaining economic life, as judged: percent good is then remaining life / (effective age + "
            "remaining life), the age-life method, instead of the schedule. Without an effective age, the age by date "
            "counts. Null: by the schedule."
        ),
    ] = None
    cost_to_cure: Annotated[
        Amount | None,
        Meta(
            description="What it costs to put right what is worth putting right, in the build's currency: depreciated "
            "in full, and the rest by age (the modified age-life method). Judge age and condition as if it were put "
            "right. Null: nothing."
        ),
    ] = None
    low: LowCost = None
    likely: LikelyCost = None
    high: HighCost = None
    evidence_grade: Annotated[
        EvidenceGrade | None,
        Meta(description="What proves the cost. Null: not stated; counted as your own estimate, and printed as such."),
    ] = None
    serial_number: Annotated[
        Identifier | None, Meta(description="Serial number, for the police report. Null: not on record.")
    ] = None
    model_number: Annotated[Identifier | None, Meta(description="Maker's model number. Null: not on record.")] = None
    number_location: Annotated[
        ShortText | None,
        Meta(
            description="Where its numbers are stamped, engraved or on a label: left rear leg, inside the door. Null: "
            "not on record."
        ),
    ] = None
    supplier: Annotated[ShortText | None, Meta(description="Who sold it. Null: not on record.")] = None
    note: Annotated[LongText, Meta(description="Your remarks; printed, not computed.")] = ""


class Labor(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Hours of work on the trailer, your own or hired."""

    id: Annotated[Identifier, Meta(description="Your name for the entry, unique among components and labor.")]
    task: Annotated[ShortText, Meta(description="What was done, in your words; printed on reports.")]
    hours: Annotated[Quantity, Meta(description="Hours worked.")]
    rate: Annotated[
        Amount, Meta(description="What was paid for an hour, in the build's currency. 0 for unpaid hours of your own.")
    ]
    performed_on: Annotated[
        date, Meta(description="Day of the work. Before it the entry does not count; age counts from it.")
    ]
    category: Annotated[
        Identifier, Meta(description="A category of GET /v1/schedules, or a name of your own; sublimits may name it.")
    ] = "labor"
    market_rate: Annotated[
        Amount | None,
        Meta(
            description="What a shop asks for an hour, in the build's currency; replacement cost is computed with it. "
            "A wage (GET /v1/wages) is far less: ask shops. Null: rate."
        ),
    ] = None
    rate_includes: Annotated[
        PriceContent | None,
        Meta(
            description="What the market rate includes already, or without one the rate. Null: overhead and profit for "
            "a market rate and for hired work, else nothing."
        ),
    ] = None
    market_rate_on: Annotated[
        date | None,
        Meta(
            description="Day of the market rate. After the valuation date the rate is not used; the price_index trends "
            "it from this day. Null: as of the valuation date."
        ),
    ] = None
    price_index: Annotated[
        Identifier | None,
        Meta(
            description="Name of an index of wages or shop rates. It trends the rate paid, or a market rate with its "
            "day, to the valuation date. Null: rates stay as they were."
        ),
    ] = None
    hired: Annotated[
        bool | None,
        Meta(
            description="True: hired work with an invoice. False: your own work. Null: not stated; it counts as your "
            "own, and a note says so where something was paid for it."
        ),
    ] = None
    low: LowCost = None
    likely: LikelyCost = None
    high: HighCost = None
    evidence_grade: Annotated[
        RateEvidence | None,
        Meta(description="What proves the rate. Null: a receipt for hired work, a guess for your own."),
    ] = None
    component_id: Annotated[
        Identifier | None,
        Meta(description="Id of the component that the work serves, whose depreciation it may follow. Null: none."),
    ] = None
    schedule: Annotated[
        Identifier | Schedule | None,
        Meta(
            description="The schedule for labor that depreciates by its own: a name, or a schedule written out. Null: "
            "that of the category."
        ),
    ] = None


class IndirectCosts(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What building the trailer again costs on top of the direct cost of components and labor."""

    overhead_rate: Annotated[
        Rate,
        Meta(
            description="Overhead, on the cost before sales tax of the lines whose price or rate does not include it."
        ),
    ] = ZERO
    profit_rate: Annotated[
        Rate,
        Meta(
            description="Profit, as profit_basis says, on the cost before sales tax of the lines whose price or rate "
            "does not include it."
        ),
    ] = ZERO
    compounded: Annotated[
        bool,
        Meta(
            description="Profit is on overhead too: 10 percent and 10 percent on 10,000 make 12,100. False: on direct "
            "cost only, 12,000."
        ),
    ] = False
    profit_basis: Annotated[ProfitBasis, Meta(description="What profit_rate is a share of.")] = "markup"
    freight_lump_sum: Annotated[
        Amount,
        Meta(
            description="Freight for all components together, in the build's currency, split over them by what was "
            "paid for each."
        ),
    ] = ZERO
    sales_tax_rate: Annotated[
        Rate,
        Meta(
            description="Sales tax on components without a tax of their own, and on current quotes, freight included."
        ),
    ] = ZERO
    sales_tax_basis: Annotated[
        SalesTaxBasis, Meta(description="Whether sales tax is computed line by line or on the total.")
    ] = "line"
    tax_labor: Annotated[
        bool | None,
        Meta(
            description="Whether sales tax is on labor too, and so is that of a total loss. Null: not stated; none is "
            "added, and a note says so."
        ),
    ] = None


class Obsolescence(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A loss of value beside wear, as a share of what the deductions before it have left, and the reason for it."""

    kind: Annotated[ObsolescenceKind, Meta(description="What kind it is. Functional is taken before economic.")]
    share: Annotated[Share, Meta(description="The share of the value after wear, or after the deductions before it.")]
    reason: Annotated[ShortText, Meta(description="What supports it: sales, rents, a cost that buyers do not pay.")]
    category: Annotated[
        Identifier | None, Meta(description="Only for lines of this category. Null: for the whole trailer.")
    ] = None


MarketValueOrigin: TypeAlias = Literal["entered", "answered", "sales_comparison"]
"""Where the market value of a build comes from.

entered: it is a field of the build
answered: somebody's recorded answer
sales_comparison: comparable sales
"""


class Base(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The trailer that was bought, or the frame, on which the build rests."""

    kind: Annotated[
        Identifier,
        Meta(
            description="What it is, in words of the trade: flatbed trailer, own frame. Where it says that the "
            "frame is one's own, a component of the category chassis is steel, and its price includes no overhead "
            "or profit."
        ),
    ]
    comparable_price: Annotated[
        Amount | None,
        Meta(
            description="Price of a new plain trailer of the registered class and of equal size, in the build's "
            "currency: what a policy owes, less wear, that settles by the registered class. Null: not known; the "
            "settlement takes the least favorable plausible price, and asks for it."
        ),
    ] = None
    valued_by_parts: Annotated[
        bool,
        Meta(
            description="True: nobody sells such a trailer, so it counts at the base parts and the labor that serves "
            "them. Without any such part, its price is still asked for."
        ),
    ] = False
    in_service_on: Annotated[
        date | None,
        Meta(
            description="A comparable price wears from this day where no component is a base part. Null: from the "
            "first day of the trailer."
        ),
    ] = None
    condition: Annotated[
        Share, Meta(description="Observed condition of the base, where no component is a base part. 1: typical.")
    ] = Decimal(1)


class IndexMonth(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True, gc=False):
    """One month of a price index."""

    month: Annotated[str, Meta(pattern="^[0-9]{4}-(0[1-9]|1[0-2])$", description="A month: YYYY-MM.")]
    value: Annotated[Quantity, Meta(description="The index in this month; only its ratio to other months counts.")]


class Protection(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A measure against loss that is fitted or planned, and what proves it."""

    name: Annotated[Identifier, Meta(description="A measure of GET /v1/protections, or a name of your own.")]
    installed_on: Annotated[
        date | None, Meta(description="Day of installation; in the future: planned. Null: in place, the day not known.")
    ] = None
    evidence: Annotated[
        LongText, Meta(description="What proves it, in your words: receipt, photo, certificate. Empty: nothing named.")
    ] = ""
    cost: Annotated[
        Amount | None, Meta(description="What it cost, installed, in the build's currency. Null: not known.")
    ] = None
    annual_discount: Annotated[
        Amount | None,
        Meta(description="Discount a year that the insurer grants for it, in the build's currency. Null: none stated."),
    ] = None
    premium_discount_rate: Annotated[
        Share | None, Meta(description="Instead of an amount: the discount as a share of the policy's annual_premium.")
    ] = None
    policy: Annotated[
        Identifier | None,
        Meta(description="Name of the policy that grants the discount. Null: the only policy of the request."),
    ] = None


class Circuit(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A circuit of the low-voltage supply: its load, its copper conductor, its fuse. Null is not known."""

    name: Annotated[Identifier, Meta(description="Your name for the circuit.")]
    load_amps: Annotated[Amps, Meta(description="The most that everything on it draws together.")]
    length_m: Annotated[Length, Meta(description="Length of the run, one way.")]
    awg: Annotated[
        Gauge | None,
        Meta(
            description="Conductor size, American wire gauge: 0 is 1/0, -1 is 2/0, -2 is 3/0, -3 is 4/0. Null: not "
            "known, or given as area_mm2."
        ),
    ] = None
    area_mm2: Annotated[
        Area | None, Meta(description="Cross-section of the conductor, instead of a gauge. Null: not known.")
    ] = None
    insulation: Annotated[
        InsulationClass | None,
        Meta(
            description="Temperature class of the insulation in degrees Celsius, as printed on the cable: 60, 75, 105. "
            "Null: not known."
        ),
    ] = None
    fuse_amps: Annotated[
        Amps | None,
        Meta(
            description="Rating of the fuse or breaker near its source. 0: it has none. Null: not known; a main "
            "circuit without a fuse on record fails its check."
        ),
    ] = None
    dedicated_fuse: Annotated[
        bool | None, Meta(description="The fuse serves this circuit alone. Null: yes when fuse_amps is given.")
    ] = None
    fuse_distance_m: Annotated[
        Length | None,
        Meta(description="For a main circuit: from the battery to the fuse, along the cable. Null: not known."),
    ] = None
    sheathed_to_fuse: Annotated[
        bool | None,
        Meta(description="The cable from the battery to the fuse lies in a sheath or conduit. Null: not known."),
    ] = None
    fuse_interrupt_amps: Annotated[
        FaultAmps | None,
        Meta(
            description="Interrupt rating (AIC) of the fuse at the battery's voltage: the largest current that it "
            "breaks safely. Null: not known."
        ),
    ] = None
    battery: Annotated[
        BatteryChemistry | None,
        Meta(description="For a main circuit: the battery that feeds it. Null: not known."),
    ] = None
    battery_fault_amps: Annotated[
        FaultAmps | None,
        Meta(
            description="Short-circuit current of the battery bank, as its maker states it: the sum of those in "
            "parallel. Null: not known."
        ),
    ] = None
    has_motor: Annotated[
        bool | None,
        Meta(description="It drives a motor: a pump, a fan, a compressor, a jack. Null: not known."),
    ] = None
    start_amps: Annotated[
        Amps | None,
        Meta(description="What its motor draws for a moment when it starts, as its maker states it. Null: not known."),
    ] = None
    apart_from_line_voltage: Annotated[
        bool | None,
        Meta(
            description="It is kept apart from every conductor of 120 or 230 V, by a gap or a barrier; true also where "
            "there is no such conductor. Null: not known."
        ),
    ] = None
    volts: Annotated[Volts, Meta(description="Nominal voltage.")] = Decimal(12)
    role: Annotated[CircuitRole, Meta(description="Where the circuit runs.")] = "branch"
    critical: Annotated[
        bool, Meta(description="Its device must not fail or dim. A main circuit always counts as critical.")
    ] = False
    fuse_block_covered: Annotated[bool | None, Meta(description="The fuse block has a cover. Null: not known.")] = None
    no_sharp_bends: Annotated[bool | None, Meta(description="The cable has no sharp bends. Null: not known.")] = None
    chafe_protection: Annotated[
        bool | None, Meta(description="The cable is protected where it could chafe. Null: not known.")
    ] = None


class Measurement(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A fact as somebody measured it: with its unit, or only planned."""

    value: Annotated[
        bool | Whole | Real | ShortText | None,
        Meta(description="The value, of the fact's type; a number may be text with its unit: 8' 6\". Null: not known."),
    ]
    unit: Annotated[
        Identifier | None, Meta(description="Unit of the value: kg, lb, m, ft, in. Null: the fact's own unit.")
    ] = None
    planned: Annotated[
        bool,
        Meta(
            description="The trailer is not so yet. A planned fact counts as not known, except in the view as_planned."
        ),
    ] = False


FactValue: TypeAlias = bool | Whole | Real | ShortText | Measurement | None
"""The value of a fact. Alone it is in the fact's own unit (GET /v1/facts); null is a fact not yet known."""


class Owner(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Whose trailer it is and how to be reached, for the reports. It changes no figure and is not written to a log."""

    name: Annotated[ShortText, Meta(description="Name as on the title or registration.")]
    address: Annotated[LongText, Meta(description="Postal address, with line breaks. Empty: not given.")] = ""
    telephone: Annotated[
        PhoneNumber | None, Meta(description="Telephone number, with the country's code if abroad. Null: not given.")
    ] = None
    email: Annotated[EmailAddress | None, Meta(description="E-mail address. Null: not given.")] = None


class Build(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A camping trailer, finished or under construction."""

    name: Annotated[ShortText, Meta(description="Your name for the trailer; printed on reports.")]
    currency: Annotated[
        CurrencyCode, Meta(description="ISO 4217 code, such as USD. All amounts in answers are in this currency.")
    ]
    jurisdiction: Annotated[
        Jurisdiction | None,
        Meta(
            description="Where it is registered, a code of GET /v1/jurisdictions: US-WA, GB, DE. Null: not known, so "
            "the class cannot be judged."
        ),
    ] = None
    registered_class: Annotated[
        Identifier | None,
        Meta(
            description="The class that the title or registration names: utility_trailer, the words themselves, or a "
            "body code. Null: not known."
        ),
    ] = None
    vin: Annotated[
        Identifier | None,
        Meta(description="Identification number (VIN) on identification plate and title. Null: none or not known."),
    ] = None
    vin_location: Annotated[
        ShortText | None,
        Meta(
            description="Where the identification number is: plate on the tongue, stamped into the right frame rail. "
            "Null: not on record."
        ),
    ] = None
    make: Annotated[
        ShortText | None, Meta(description="Make as the title or registration names it. Null: not known.")
    ] = None
    model_year: Annotated[
        ModelYear | None,
        Meta(description="Model year as the title or registration names it. Null: not known."),
    ] = None
    owner: Annotated[
        Owner | None, Meta(description="Whose trailer it is; printed on reports. Null: left blank, to fill in.")
    ] = None
    base: Annotated[
        Base | None,
        Meta(description="The trailer that was bought, or the frame. Null: nothing more is known about it."),
    ] = None
    market_value: Annotated[
        Amount | None,
        Meta(
            description="What trailers like this one sell for, in the build's currency, from a sales comparison or an "
            "appraisal. An insurer may settle a total loss by it. Null: not known."
        ),
    ] = None
    obsolescence: Annotated[
        tuple[Obsolescence, ...],
        Meta(max_length=50, description="Functional and economic obsolescence, taken after wear. Default: none."),
    ] = ()
    completed_on: Annotated[
        date | None,
        Meta(
            description="Day on which the trailer is finished; before it, the trailer is under construction. Null: it "
            "is finished."
        ),
    ] = None
    facts: Annotated[
        dict[Identifier, FactValue],
        Meta(
            max_length=300,
            description="Facts about the trailer, by their names in GET /v1/facts. A value alone is in the fact's own "
            "unit; null is not known.",
        ),
    ] = field(default_factory=dict)
    use: Annotated[
        dict[Identifier, bool | ShortText | None],
        Meta(
            max_length=50,
            description="How you use the trailer, by names such as hired_out, lent, full_time, business. A use that is "
            "true adds its questions; it changes no figure.",
        ),
    ] = field(default_factory=dict)
    components: Annotated[
        tuple[Component, ...], Meta(max_length=10_000, description="The parts of the trailer, one entry a line.")
    ] = ()
    labor: Annotated[
        tuple[Labor, ...], Meta(max_length=10_000, description="The work on the trailer, one entry a line.")
    ] = ()
    indirect_costs: Annotated[
        IndirectCosts, Meta(description="Overhead, profit, freight and sales tax of building it again. Default: none.")
    ] = IndirectCosts()
    schedules: Annotated[
        dict[Identifier, Schedule],
        Meta(
            max_length=200,
            description="Schedules of your own, by name. One named like a published schedule takes its place.",
        ),
    ] = field(default_factory=dict)
    price_indexes: Annotated[
        dict[Identifier, tuple[IndexMonth, ...]],
        Meta(
            max_length=50,
            description="Price indexes of your own, by name. Months may be left out, as in quarterly or yearly tables: "
            "the last value before a month holds for it, and a note says so. One named like a published index takes "
            "its place.",
        ),
    ] = field(default_factory=dict)
    protections: Annotated[
        Annotated[tuple[Protection, ...], Meta(max_length=200)] | None,
        Meta(
            description="Measures against loss that are fitted or planned. []: known to be none. Null: not entered, so "
            "none counts as in place and none as missing."
        ),
    ] = None
    circuits: Annotated[tuple[Circuit, ...], Meta(max_length=200, description="The low-voltage circuits.")] = ()
