"""The entries of a build: its components and its labor, what each cost and what proves it."""

from datetime import date
from decimal import Decimal
from typing import Annotated, Literal, TypeAlias

from msgspec import Meta, Struct

from hitchworth.model.numbers import Amount, Quantity, Share, SignedAmount, SignedQuantity, Years
from hitchworth.model.schedule import Schedule
from hitchworth.model.strings import CurrencyCode, Identifier, LongText, ShortText

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
            "Required for a line in another currency, unless options.exchange_rates is ecb. Null: the "
            "line is in the build's currency, or the rate is that of options.exchange_rates."
        ),
    ] = None
    exchange_rate_source: Annotated[
        ShortText | None,
        Meta(
            description="Where the exchange rate is from, and of which day; the notes repeat it. Null: not on record."
        ),
    ] = None
    tax: Annotated[
        SignedAmount | None,
        Meta(
            description="Tax paid on the whole line, in the line's currency; 0 says that none was paid. Once it is "
            "given, no sales tax is added to the line. A current quote is taxed at the build's sales_tax_rate, or "
            "without one at the rate that was paid. Null: not known, so sales tax is added to the replacement cost."
        ),
    ] = None
    freight: Annotated[Amount, Meta(description="Freight paid for the whole line, in the line's currency.")] = Decimal(
        0
    )
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
    note: Annotated[LongText, Meta(description="Your remarks; printed, not computed. Empty: none.")] = ""


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
        Meta(
            description="What proves the rate. Null: not stated; hired work then counts as an own estimate, and your "
            "own as a guess."
        ),
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
