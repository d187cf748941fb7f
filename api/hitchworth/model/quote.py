"""A quote: every line with its cost and its price, what is added and taken off, options, tax and payments."""

from datetime import date
from decimal import Decimal
from typing import Annotated, Literal, TypeAlias

from msgspec import Meta, Struct

from hitchworth.model.entry import PriceContent
from hitchworth.model.note import Note
from hitchworth.model.numbers import RoundedAmount
from hitchworth.model.pricing import CostKind, Markup, TaxedKind
from hitchworth.model.provenance import Provenance

QuoteLineKind: TypeAlias = Literal["component", "labor", "allowance", "handling", "alternative"]
"""What a line of a quote is.

component: a part, with its waste
labor: hours of work
allowance: a sum for what the customer still chooses
handling: what handling a part costs that the customer brings
alternative: the price of an option
"""

QuoteFigure: TypeAlias = Literal[
    "quantity",
    "direct_cost",
    "overhead",
    "profit",
    "price",
    "discount",
    "tax",
    "contingency",
    "total",
    "payment",
    "retained",
]
"""The figure that a formula computes.

quantity: the quantity with its waste
direct_cost: what it costs before overhead and profit
overhead: the line's part of the overhead
profit: the line's part of the profit
price: direct cost + overhead + profit
discount: the discount, or the line's part of it
tax: the tax, or the line's part of it
contingency: the contingency
total: price less discount, with contingency and tax
payment: a payment
retained: what is held back of a payment
"""

TaxBasis: TypeAlias = Literal["stated", "rule", "no_tax", "included", "open"]
"""Why something is taxed or not.

stated: the workshop states it
rule: a published rule of the place
no_tax: the rate of the quote is 0
included: the price or rate includes tax already
open: not known; it is asked, and the total is without this tax
"""

QuoteQuestionCode: TypeAlias = Literal[
    "tax_rate", "taxed_kind", "kind_of_work", "option", "unused_contingency", "credit"
]
"""What is to be settled before the quote is final.

tax_rate: which rate of tax applies
taxed_kind: whether the place taxes this kind
kind_of_work: whether the work is fabrication, repair or installation
option: which alternative the customer takes
unused_contingency: whether what is not drawn of the contingency goes back
credit: whether overhead and profit go back for what is dropped
"""


class QuoteWorking(Struct, frozen=True, kw_only=True):
    """A formula with its numbers, to be worked out again by hand."""

    figure: Annotated[QuoteFigure, Meta(description="The figure.")]
    formula: Annotated[
        str, Meta(description="The formula with its numbers and its result; x is times. Amounts as in the answer.")
    ]
    text: Annotated[str, Meta(description="The rule in words, in the language of the request's locale.")] = ""


class QuoteLine(Struct, frozen=True, kw_only=True):
    """A line of the quote. Its price is direct_cost + overhead + profit."""

    id: Annotated[str, Meta(description="Id of the entry, of the allowance, or group and name of an alternative.")]
    kind: Annotated[QuoteLineKind, Meta(description="What the line is.")]
    description: Annotated[str, Meta(description="What it is, in the words of the entry.")]
    category: Annotated[str, Meta(description="Its category.")]
    cost_kind: Annotated[CostKind, Meta(description="What it costs the workshop; its markup follows this.")]
    quantity: Annotated[Decimal | None, Meta(description="The quantity or the hours that are built in. Null: none.")]
    unit: Annotated[str, Meta(description="What the quantity counts; h for hours. Empty: none.")]
    priced_quantity: Annotated[Decimal | None, Meta(description="The quantity with its waste. Null: none.")]
    cost: Annotated[RoundedAmount | None, Meta(description="What the line costs the workshop itself. Null: not known.")]
    direct_cost: Annotated[RoundedAmount, Meta(description="Before overhead and profit.")]
    includes: Annotated[PriceContent, Meta(description="What direct_cost includes already.")]
    overhead: Annotated[RoundedAmount, Meta(description="The line's part of the overhead.")]
    profit: Annotated[RoundedAmount, Meta(description="The line's part of the profit.")]
    price: Annotated[RoundedAmount, Meta(description="What the customer pays for it, before discount and tax.")]
    discount: Annotated[RoundedAmount, Meta(description="The line's part of the discount.")]
    taxed_as: Annotated[TaxedKind | None, Meta(description="What it is taxed as. Null: not known.")]
    taxed: Annotated[bool | None, Meta(description="Whether it is taxed. Null: not known, so it is asked.")]
    tax: Annotated[RoundedAmount, Meta(description="Its tax; 0 while that is not known.")]
    option: Annotated[str, Meta(description="The option group that it belongs to. Empty: none.")] = ""
    workings: Annotated[
        tuple[QuoteWorking, ...], Meta(description="Its formulas, with options.workings. Default: none.")
    ] = ()


class QuoteTotals(Struct, frozen=True, kw_only=True):
    """The lines added up. before_tax = price - discount + contingency; total = before_tax + tax."""

    direct_cost: Annotated[RoundedAmount, Meta(description="Sum of direct_cost.")]
    overhead: Annotated[RoundedAmount, Meta(description="Overhead.")]
    profit: Annotated[RoundedAmount, Meta(description="Profit.")]
    price: Annotated[RoundedAmount, Meta(description="Price of all lines.")]
    discount: Annotated[RoundedAmount, Meta(description="Discount.")]
    contingency: Annotated[RoundedAmount, Meta(description="Contingency.")]
    before_tax: Annotated[RoundedAmount, Meta(description="What is paid without tax.")]
    tax: Annotated[RoundedAmount, Meta(description="Tax, as far as it is known to be due.")]
    total: Annotated[RoundedAmount, Meta(description="What is paid, without tax that is still asked about.")]
    total_at_most: Annotated[
        RoundedAmount | None,
        Meta(description="The total if everything that is still asked about is taxed. Null: the rate is not known."),
    ]


class KnownCost(Struct, frozen=True, kw_only=True):
    """What the lines cost the workshop, as far as that is known, and what is left of their price."""

    lines: Annotated[int, Meta(description="Number of lines whose cost is known.")]
    lines_unknown: Annotated[int, Meta(description="Number of lines whose cost is not known.")]
    cost: Annotated[RoundedAmount, Meta(description="Their cost.")]
    price: Annotated[RoundedAmount, Meta(description="Their price less discount.")]
    gross_profit: Annotated[RoundedAmount, Meta(description="price - cost; negative: a loss.")]
    margin: Annotated[Decimal | None, Meta(description="gross_profit / price. Null: no price.")]
    markup: Annotated[Decimal | None, Meta(description="gross_profit / cost. Null: no cost.")]


class MarkupTerms(Struct, frozen=True, kw_only=True):
    """Overhead and profit on one kind of cost, as the quote applies them."""

    kind: Annotated[CostKind, Meta(description="The kind of cost.")]
    markup: Annotated[Markup, Meta(description="The rates and what they are shares of.")]
    overhead_base: Annotated[RoundedAmount, Meta(description="Direct cost of the lines that bear overhead.")]
    profit_base: Annotated[RoundedAmount, Meta(description="Direct cost of the lines that bear profit.")]
    overhead_on_cost: Annotated[Decimal, Meta(description="Overhead as a share of its base, to 12 decimal places.")]
    profit_on_cost: Annotated[
        Decimal, Meta(description="Profit as a share of direct cost where nothing is included, to 12 decimal places.")
    ]


class TaxAmount(Struct, frozen=True, kw_only=True):
    """The tax on one kind."""

    kind: Annotated[TaxedKind | None, Meta(description="The kind. Null: work, of what kind is not known.")]
    taxed: Annotated[bool | None, Meta(description="Whether it is taxed. Null: not known, so it is asked.")]
    basis: Annotated[TaxBasis, Meta(description="Why.")]
    base: Annotated[RoundedAmount, Meta(description="Its price less discount.")]
    rate: Annotated[Decimal | None, Meta(description="The rate. Null: not known, or not taxed.")]
    tax: Annotated[RoundedAmount, Meta(description="The tax; 0 while it is not known.")]
    source: Annotated[str, Meta(description="Where the rule of the place is published. Empty: no such rule.")] = ""
    provenance: Annotated[Provenance | None, Meta(description="Where the rule comes from. Null: no such rule.")] = None


class QuoteQuestion(Struct, frozen=True, kw_only=True):
    """What is to be settled before the quote is final, and how much money hangs on it."""

    code: Annotated[QuoteQuestionCode, Meta(description="What is asked.")]
    about: Annotated[str, Meta(description="The kind, the line or the option group that it is about.")]
    base: Annotated[RoundedAmount | None, Meta(description="The amount that it is about. Null: none.")] = None
    at_stake: Annotated[
        RoundedAmount | None, Meta(description="What the answer can add to the total. Null: not known.")
    ] = None
    text: Annotated[str, Meta(description="The question, in the language of the request's locale.")] = ""


class ContingencyBalance(Struct, frozen=True, kw_only=True):
    """The contingency after one draw."""

    event: Annotated[str, Meta(description="The event.")]
    drawn_on: Annotated[date, Meta(description="The day.")]
    amount: Annotated[RoundedAmount, Meta(description="What it took.")]
    remaining: Annotated[RoundedAmount, Meta(description="What is left.")]
    minimum: Annotated[RoundedAmount | None, Meta(description="What was to be left at that stage. Null: none stated.")]
    below_minimum: Annotated[bool, Meta(description="Less is left than was to be.")]


class QuotedContingency(Struct, frozen=True, kw_only=True):
    """The contingency and what became of it."""

    amount: Annotated[RoundedAmount, Meta(description="The contingency of the quote.")]
    rate: Annotated[Decimal | None, Meta(description="As a share of the price, where it is given so. Null: amount.")]
    draws: Annotated[tuple[ContingencyBalance, ...], Meta(description="What was drawn, in order.")]
    drawn: Annotated[RoundedAmount, Meta(description="Sum of the draws.")]
    remaining: Annotated[RoundedAmount, Meta(description="What is left.")]
    unused_returned: Annotated[bool | None, Meta(description="What is not drawn goes back. Null: not agreed.")]


class AlternativeChoice(Struct, frozen=True, kw_only=True):
    """One alternative of an option by itself."""

    group: Annotated[str, Meta(description="The option group.")]
    name: Annotated[str, Meta(description="The alternative. Empty: none of them.")]
    chosen: Annotated[bool, Meta(description="It is in the total.")]
    total: Annotated[RoundedAmount, Meta(description="The total with it, all other groups as chosen.")]
    difference: Annotated[RoundedAmount, Meta(description="That total less the total of the quote.")]


class OptionCombination(Struct, frozen=True, kw_only=True):
    """One combination of alternatives, a choice for each option group."""

    chosen: Annotated[
        tuple[str, ...], Meta(description="Name of the alternative of each group, in their order. Empty: none of them.")
    ]
    total: Annotated[RoundedAmount, Meta(description="The total of the quote with them.")]


class QuotedPayment(Struct, frozen=True, kw_only=True):
    """A payment of the quote. due = amount - retained."""

    milestone: Annotated[str, Meta(description="What it is due at.")]
    share: Annotated[Decimal | None, Meta(description="Its share of the total, where it is given so. Null: not.")]
    amount: Annotated[RoundedAmount, Meta(description="The payment before retainage.")]
    retained: Annotated[RoundedAmount, Meta(description="What is held back.")]
    due: Annotated[RoundedAmount, Meta(description="What is paid at the milestone.")]
    due_on: Annotated[date | None, Meta(description="The day. Null: at the milestone.")] = None
    paid_on: Annotated[date | None, Meta(description="The day on which it was paid. Null: not yet.")] = None


class Quote(Struct, frozen=True, kw_only=True):
    """A quote for a build. Every amount is rounded once; lines, kinds of tax and payments add up to the totals."""

    name: Annotated[str, Meta(description="Name of the build.")]
    quoted_on: Annotated[date, Meta(description="Day of the quote.")]
    locale: Annotated[str, Meta(description="Locale of its texts.")]
    currency: Annotated[str, Meta(description="ISO 4217 code; every amount is in it.")]
    number: Annotated[str | None, Meta(description="The workshop's number of the quote. Null: none.")]
    valid_until: Annotated[date | None, Meta(description="Last day on which it can be accepted. Null: not stated.")]
    completion_on: Annotated[date | None, Meta(description="Promised date. Null: not stated.")]
    lines: Annotated[tuple[QuoteLine, ...], Meta(description="The lines of the price, options that are chosen too.")]
    customer_supplies: Annotated[
        tuple[str, ...], Meta(description="Ids of the components that the customer brings; they are not in the price.")
    ]
    markups: Annotated[tuple[MarkupTerms, ...], Meta(description="Overhead and profit by kind of cost.")]
    totals: Annotated[QuoteTotals, Meta(description="The lines added up.")]
    known_cost: Annotated[KnownCost, Meta(description="Cost and margin, for the workshop.")]
    contingency: Annotated[QuotedContingency | None, Meta(description="The contingency. Null: none.")]
    taxes: Annotated[tuple[TaxAmount, ...], Meta(description="Tax by kind, for the kinds that the quote has.")]
    alternatives: Annotated[
        tuple[AlternativeChoice, ...], Meta(description="Every alternative of every option, one changed at a time.")
    ]
    combinations: Annotated[
        tuple[OptionCombination, ...], Meta(description="Every combination of alternatives with its total.")
    ]
    payments: Annotated[tuple[QuotedPayment, ...], Meta(description="The payments; they add up to the total.")]
    retained: Annotated[RoundedAmount, Meta(description="What is held back of all payments.")]
    questions: Annotated[
        tuple[QuoteQuestion, ...], Meta(description="What is to be settled before the quote is final.")
    ]
    notes: Annotated[tuple[Note, ...], Meta(description="What was assumed, and warnings.")]
    workings: Annotated[
        tuple[QuoteWorking, ...], Meta(description="Formulas of the totals, with options.workings. Default: none.")
    ] = ()
    statement: Annotated[str, Meta(description="The quote in a sentence.")] = ""
