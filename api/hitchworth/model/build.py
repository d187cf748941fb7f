"""A build: the trailer with its components, its labor, its facts and the indirect costs."""

from datetime import date
from decimal import Decimal
from typing import Annotated, Literal, TypeAlias

from msgspec import Meta, Struct, field

from hitchworth.model.circuit import Circuit
from hitchworth.model.entry import Component, Labor
from hitchworth.model.indirect_costs import IndirectCosts
from hitchworth.model.numbers import Amount, ModelYear, Quantity, Real, Share, Whole
from hitchworth.model.schedule import Schedule
from hitchworth.model.strings import (
    CurrencyCode,
    EmailAddress,
    Identifier,
    Jurisdiction,
    LongText,
    PhoneNumber,
    ShortText,
)

ObsolescenceKind: TypeAlias = Literal["functional", "economic"]
"""What takes value from the trailer beside wear.

functional: what it is, such as its layout, or more than buyers pay for (superadequacy)
economic: what lies outside it, such as a market that wants no such trailer
"""


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
        Share | None,
        Meta(
            description="Instead of an amount: the discount as a share of the policy's annual_premium. Null: by "
            "annual_discount."
        ),
    ] = None
    policy: Annotated[
        Identifier | None,
        Meta(description="Name of the policy that grants the discount. Null: the only policy of the request."),
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
