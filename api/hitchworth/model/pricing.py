"""How a workshop prices a build: waste, shop rates, overhead and profit, contingency, tax, options and payments."""

from datetime import date
from decimal import Decimal
from typing import Annotated, Literal, TypeAlias

from msgspec import Meta, Struct

from hitchworth.model.entry import PriceContent
from hitchworth.model.indirect_costs import ProfitBasis, SalesTaxBasis
from hitchworth.model.numbers import Amount, Rate, Share
from hitchworth.model.strings import (
    EmailAddress,
    Identifier,
    Jurisdiction,
    LongText,
    PhoneNumber,
    ShortText,
)

CostKind: TypeAlias = Literal["material", "labor", "hired_labor"]
"""What a line costs the workshop.

material: a part, or an allowance for one
labor: hours of the workshop
hired_labor: work of somebody else, with an invoice
"""

WorkKind: TypeAlias = Literal["fabrication", "repair", "installation"]
"""What work is, where a place taxes one kind and not another.

fabrication: making something that was not there before
repair: putting right what is broken
installation: putting a finished thing in its place
"""

TaxedKind: TypeAlias = Literal["materials", "fabrication", "repair", "installation", "contingency"]
"""What a place may tax or not.

materials: parts and allowances for them
fabrication: work that makes something
repair: work that puts something right
installation: work that puts a finished thing in its place
contingency: the contingency, before it is known what it is spent on
"""


class WasteAllowance(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What is bought beyond what is built in: offcuts, breakage."""

    category: Annotated[Identifier, Meta(description="The category of the components that it applies to.")]
    rate: Annotated[Rate, Meta(description="Added to the quantity: 0.10 on 11 sheets makes 12.1.")]
    whole_units: Annotated[
        bool, Meta(description="Only whole units can be bought: 12.1 sheets are 13. False: the exact quantity.")
    ] = False


class ShopRate(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What the workshop asks for an hour of a kind of work."""

    category: Annotated[
        Identifier | None,
        Meta(description="The category of the labor entries that it applies to. Null: all that no other rate names."),
    ] = None
    rate: Annotated[Amount, Meta(description="The rate for an hour, in the build's currency.")]
    includes: Annotated[
        PriceContent,
        Meta(description="What the rate includes already of overhead and profit; only the rest is added."),
    ] = "overhead_and_profit"
    cost: Annotated[
        Amount | None,
        Meta(
            description="What the hour costs the workshop itself, in the build's currency; for the workshop's own "
            "report. Null: the rate itself where it includes nothing, else not known."
        ),
    ] = None


class Markup(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Overhead and profit, each as a markup on cost or as a margin of the price."""

    overhead_rate: Annotated[Rate, Meta(description="Overhead, as overhead_basis says.")] = Decimal(0)
    overhead_basis: Annotated[ProfitBasis, Meta(description="What overhead_rate is a share of.")] = "markup"
    profit_rate: Annotated[Rate, Meta(description="Profit, as profit_basis says.")] = Decimal(0)
    profit_basis: Annotated[ProfitBasis, Meta(description="What profit_rate is a share of.")] = "markup"
    compounded: Annotated[
        bool,
        Meta(
            description="A markup for profit is on overhead too: 10 and 10 percent on 8,000 make 9,680. False: on "
            "direct cost only, 9,600. A margin is always of the whole price."
        ),
    ] = False


class KindMarkup(Markup, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Overhead and profit on one kind of cost."""

    kind: Annotated[CostKind, Meta(description="The kind of cost that it applies to.")]


class ContingencyMinimum(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The least contingency that is to be left at a stage of the work."""

    work_done: Annotated[Share, Meta(description="From this share of the work on.")]
    rate: Annotated[Share, Meta(description="What is to be left, as a share of the price before contingency.")]


class ContingencyDraw(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What was taken from the contingency, and for what event. A change that the customer wished for is none."""

    event: Annotated[ShortText, Meta(description="What was not foreseen: rotten floor under the old skin.")]
    amount: Annotated[Amount, Meta(description="What it took, in the build's currency.")]
    drawn_on: Annotated[date, Meta(description="The day.")]
    work_done: Annotated[
        Share | None, Meta(description="The share of the work that was done by then. Null: not known.")
    ] = None


class Contingency(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Money in the price for what cannot be foreseen: a line of its own, never inside another one."""

    rate: Annotated[
        Share | None, Meta(description="As a share of the price before contingency. Null: as an amount.")
    ] = None
    amount: Annotated[Amount | None, Meta(description="In the build's currency. Null: as a rate.")] = None
    minimums: Annotated[
        tuple[ContingencyMinimum, ...],
        Meta(
            max_length=20,
            description="The least that is to be left, by the share of the work done; a draw that leaves less is "
            "warned of. Default: none stated.",
        ),
    ] = ()
    draws: Annotated[
        tuple[ContingencyDraw, ...], Meta(max_length=200, description="What was drawn, in order. Default: nothing.")
    ] = ()
    unused_returned: Annotated[
        bool | None,
        Meta(description="What is not drawn goes back to the customer. Null: not agreed, so it is asked."),
    ] = None


class Discount(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What is taken off the price before tax. The contingency is not discounted."""

    reason: Annotated[ShortText, Meta(description="Why; printed.")]
    rate: Annotated[
        Share | None, Meta(description="As a share of the price before contingency. Null: as an amount.")
    ] = None
    amount: Annotated[Amount | None, Meta(description="In the build's currency. Null: as a rate.")] = None


class TaxTreatment(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Whether one kind is taxed, as the workshop knows it."""

    kind: Annotated[TaxedKind, Meta(description="The kind.")]
    taxed: Annotated[bool, Meta(description="Whether it is taxed.")]
    rate: Annotated[Rate | None, Meta(description="A rate of its own. Null: the rate of the quote.")] = None


class QuoteTax(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Tax on the sale. What is neither stated here nor in the rules of the place becomes a question."""

    rate: Annotated[
        Rate | None,
        Meta(description="Sales tax or value added tax; 0: none. Null: not known, so the total is without it."),
    ] = None
    place: Annotated[
        Jurisdiction | None,
        Meta(description="Where it is sold: its rules say what is taxed. Null: the build's jurisdiction."),
    ] = None
    treatments: Annotated[
        tuple[TaxTreatment, ...],
        Meta(max_length=5, description="What is taxed, stated by the workshop; it goes before the rules of the place."),
    ] = ()
    basis: Annotated[SalesTaxBasis, Meta(description="Tax on each line, or on the taxable total.")] = "total"
    labor_stated_apart: Annotated[
        bool,
        Meta(description="The invoice shows labor apart from materials; some places tax it only where it does not."),
    ] = True


class Alternative(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """One alternative of an option: entries of the build that belong to it, or a price."""

    name: Annotated[Identifier, Meta(description="Its name, as the customer chooses it.")]
    entries: Annotated[
        tuple[Identifier, ...],
        Meta(max_length=200, description="Ids of components and labor of the build that only this alternative needs."),
    ] = ()
    price: Annotated[
        Amount | None,
        Meta(
            description="Its price, overhead and profit included and before tax, in the build's currency; beside its "
            "entries. Null: by its entries."
        ),
    ] = None
    taxed_as: Annotated[TaxedKind, Meta(description="What its price is taxed as.")] = "materials"


class OptionGroup(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Alternatives of which the customer takes one, or none where it may be left out."""

    name: Annotated[Identifier, Meta(description="What is chosen: heater, windows.")]
    alternatives: Annotated[
        tuple[Alternative, ...], Meta(min_length=1, max_length=20, description="What there is to choose from.")
    ]
    required: Annotated[bool, Meta(description="One has to be chosen. False: it may be left out.")] = False
    chosen: Annotated[
        Identifier | None,
        Meta(description="Name of the alternative that is in the total. Null: none of them is, so far."),
    ] = None


class QuoteAllowance(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A sum in the price for something that the customer still chooses; what it costs in the end counts."""

    id: Annotated[Identifier, Meta(description="Your name for it, unlike the ids of the build.")]
    description: Annotated[ShortText, Meta(description="What it is for; printed.")]
    amount: Annotated[Amount, Meta(description="The sum that it may cost, before tax, in the build's currency.")]
    category: Annotated[Identifier, Meta(description="Category, as of a component.")] = "allowance"
    includes: Annotated[PriceContent, Meta(description="What the sum includes already of overhead and profit.")] = (
        "overhead_and_profit"
    )


class CustomerSupply(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A component of the build that the customer brings: not in the price, but for what handling it costs."""

    id: Annotated[Identifier, Meta(description="Id of the component.")]
    handling: Annotated[
        Amount, Meta(description="What receiving, storing and checking it costs, before tax, in the build's currency.")
    ] = Decimal(0)


class LaborKind(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What kind of work a labor entry is, where tax depends on it."""

    id: Annotated[Identifier, Meta(description="Id of the labor entry.")]
    kind: Annotated[WorkKind, Meta(description="What kind of work it is.")]


class Payment(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A payment at a milestone: a share of the total, an amount, or, for one of them, what is left."""

    milestone: Annotated[ShortText, Meta(description="What it is due at: signing, chassis delivered, handover.")]
    share: Annotated[Share | None, Meta(description="As a share of the total. Null: see amount.")] = None
    amount: Annotated[
        Amount | None,
        Meta(description="In the build's currency, with tax. Null without a share: what the others leave."),
    ] = None
    due_on: Annotated[date | None, Meta(description="The day. Null: at the milestone, whenever it is reached.")] = None
    paid_on: Annotated[
        date | None, Meta(description="The day on which it was paid; a change does not alter it. Null: not yet paid.")
    ] = None
    retainage_rate: Annotated[Share | None, Meta(description="Retainage of this payment. Null: that of the quote.")] = (
        None
    )


class Retainage(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What the customer holds back of every payment until a condition is met."""

    rate: Annotated[Share, Meta(description="As a share of each payment; the deposit is not held back from.")]
    released: Annotated[ShortText, Meta(description="When it is paid out: 30 days after handover; printed.")]


class Workshop(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Who quotes, for the head of the reports."""

    name: Annotated[ShortText, Meta(description="Name of the workshop.")]
    address: Annotated[LongText, Meta(description="Postal address, with line breaks. Empty: not given.")] = ""
    telephone: Annotated[PhoneNumber | None, Meta(description="Telephone number. Null: not given.")] = None
    email: Annotated[EmailAddress | None, Meta(description="E-mail address. Null: not given.")] = None
    registration: Annotated[
        ShortText | None, Meta(description="Business or tax number, as it is to be printed. Null: not given.")
    ] = None
    logo: Annotated[
        bytes | None, Meta(description="A JPEG, PNG or WebP file in base64, for the reports. Null: none.")
    ] = None


class Certification(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What somebody has certified about the trailer. It is printed as entered; nothing is concluded from it."""

    subject: Annotated[ShortText, Meta(description="What was certified: gas installation, 120 V installation, welds.")]
    certified_by: Annotated[ShortText, Meta(description="Who certified it, with a license number if there is one.")]
    certified_on: Annotated[date | None, Meta(description="The day. Null: not given.")] = None
    reference: Annotated[ShortText | None, Meta(description="Number of the certificate. Null: not given.")] = None


class Acceptance(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Who accepted the quote, and when."""

    accepted_by: Annotated[ShortText, Meta(description="Who accepted it.")]
    accepted_on: Annotated[date, Meta(description="The day, not after valid_until.")]


class QuotePricing(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """How a workshop prices a build. Everything has a default that adds nothing and says nothing."""

    number: Annotated[Identifier | None, Meta(description="The workshop's number of the quote. Null: none.")] = None
    quoted_on: Annotated[
        date | None, Meta(description="Day of the quote; prices are those of this day. Null: as_of of the request.")
    ] = None
    valid_until: Annotated[
        date | None, Meta(description="Last day on which it can be accepted. Null: not stated, and a note says so.")
    ] = None
    completion_on: Annotated[
        date | None, Meta(description="Day on which the trailer is promised. Null: not stated.")
    ] = None
    acceptance: Annotated[
        Acceptance | None, Meta(description="Who accepted the quote, and when. Null: nobody, so far.")
    ] = None
    workshop: Annotated[
        Workshop | None,
        Meta(
            description="Who quotes. Null: the workshop of the settings of the server; without one, left blank on the "
            "reports."
        ),
    ] = None
    waste: Annotated[
        tuple[WasteAllowance, ...], Meta(max_length=200, description="Waste by category. Default: none.")
    ] = ()
    shop_rates: Annotated[
        tuple[ShopRate, ...],
        Meta(
            max_length=200,
            description="Rates for an hour by kind of work. Without one that applies, the entry's market_rate, or else "
            "its rate.",
        ),
    ] = ()
    markup: Annotated[Markup, Meta(description="Overhead and profit. Default: none.")] = Markup()
    markups: Annotated[
        tuple[KindMarkup, ...],
        Meta(max_length=3, description="Overhead and profit of a kind of cost, in place of markup. Default: none."),
    ] = ()
    contingency: Annotated[Contingency | None, Meta(description="The contingency. Null: none.")] = None
    discount: Annotated[Discount | None, Meta(description="A discount. Null: none.")] = None
    tax: Annotated[QuoteTax, Meta(description="Tax on the sale. Default: not known, so it is asked.")] = QuoteTax()
    labor_kinds: Annotated[
        tuple[LaborKind, ...],
        Meta(max_length=10_000, description="What kind of work labor entries are. Default: not known."),
    ] = ()
    option_groups: Annotated[
        tuple[OptionGroup, ...], Meta(max_length=20, description="Options to choose from. Default: none.")
    ] = ()
    allowances: Annotated[
        tuple[QuoteAllowance, ...], Meta(max_length=200, description="Sums for what is still chosen. Default: none.")
    ] = ()
    customer_supplies: Annotated[
        tuple[CustomerSupply, ...], Meta(max_length=10_000, description="What the customer brings. Default: nothing.")
    ] = ()
    payments: Annotated[
        tuple[Payment, ...],
        Meta(max_length=50, description="Payments in order; the first is the deposit. Default: not stated."),
    ] = ()
    retainage: Annotated[Retainage | None, Meta(description="What is held back. Null: nothing.")] = None
    exclusions: Annotated[
        tuple[ShortText, ...], Meta(max_length=100, description="What is not in the price, in the workshop's words.")
    ] = ()
    terms: Annotated[LongText, Meta(description="The workshop's own terms; printed as they are. Empty: none.")] = ""
    certifications: Annotated[
        tuple[Certification, ...],
        Meta(max_length=100, description="What was certified by whom, for the handover. Default: nothing entered."),
    ] = ()
