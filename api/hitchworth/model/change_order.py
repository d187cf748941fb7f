"""Change orders: what was added, dropped or repriced after the quote, and what the contract comes to with them."""

from datetime import date
from typing import Annotated, Literal, TypeAlias

from msgspec import Meta, Struct

from hitchworth.model.entry import Component, Labor
from hitchworth.model.note import Note
from hitchworth.model.numbers import Amount, RoundedAmount, Share
from hitchworth.model.pricing import LaborKind, TaxedKind
from hitchworth.model.quote import Quote, QuotedContingency, QuotedPayment, QuoteLineKind, QuoteQuestion
from hitchworth.model.strings import Identifier, ShortText

ChangeEffect: TypeAlias = Literal["added", "dropped", "repriced", "fixed"]
"""What a change order does to a line.

added: the line is new
dropped: the line is no longer part of the contract
repriced: another quantity or price
fixed: an amount agreed without a line
"""


class FixedChange(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """An amount that was agreed without entries."""

    description: Annotated[ShortText, Meta(description="What it is for; printed.")]
    amount: Annotated[Amount, Meta(description="The amount before tax, in the build's currency.")]
    credit: Annotated[bool, Meta(description="The amount goes back to the customer. False: it is added.")] = False
    taxed_as: Annotated[TaxedKind, Meta(description="What it is taxed as.")] = "materials"


class ChangeOrder(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A change of what was quoted, agreed after the quote."""

    number: Annotated[Identifier, Meta(description="Its number, unique in the request.")]
    dated: Annotated[date, Meta(description="Its day; its prices are those of this day.")]
    reason: Annotated[ShortText, Meta(description="Why; printed.")]
    components: Annotated[
        tuple[Component, ...],
        Meta(
            max_length=1000,
            description="Components added; one with the id of a line of the contract takes its place and reprices it.",
        ),
    ] = ()
    labor: Annotated[
        tuple[Labor, ...], Meta(max_length=1000, description="Labor added, or repriced in the same way.")
    ] = ()
    labor_kinds: Annotated[
        tuple[LaborKind, ...], Meta(max_length=1000, description="What kind of work its labor is. Default: not known.")
    ] = ()
    drop: Annotated[
        tuple[Identifier, ...], Meta(max_length=1000, description="Ids of lines of the contract that are dropped.")
    ] = ()
    fixed: Annotated[
        tuple[FixedChange, ...], Meta(max_length=100, description="Amounts agreed without entries. Default: none.")
    ] = ()
    credits_overhead_and_profit: Annotated[
        bool | None,
        Meta(
            description="Overhead and profit go back with what is dropped or gets cheaper. Null: not agreed, so they "
            "do not go back and it is asked."
        ),
    ] = None
    from_contingency: Annotated[
        bool, Meta(description="It is paid from the contingency, as something that was not foreseen.")
    ] = False
    work_done: Annotated[
        Share | None,
        Meta(description="The share of the work done by then, for the least contingency. Null: not known."),
    ] = None
    milestone: Annotated[
        ShortText | None,
        Meta(description="The payment that carries the change. Null: all that are not paid, in proportion."),
    ] = None
    days: Annotated[
        int, Meta(ge=-3650, le=3650, description="Days by which the promised date moves; negative: earlier.")
    ] = 0
    accepted_by: Annotated[
        ShortText | None, Meta(description="Who accepted it. Null: not accepted, so it is not in the contract.")
    ] = None
    accepted_on: Annotated[date | None, Meta(description="The day, with accepted_by. Null: not accepted.")] = None


class ChangedLine(Struct, frozen=True, kw_only=True):
    """What a change order does to one line. change = after - before + kept."""

    id: Annotated[str, Meta(description="Id of the line; empty for a fixed amount.")]
    kind: Annotated[QuoteLineKind | None, Meta(description="What the line is. Null: a fixed amount.")]
    effect: Annotated[ChangeEffect, Meta(description="What the change order does to it.")]
    description: Annotated[str, Meta(description="What it is.")]
    before: Annotated[RoundedAmount, Meta(description="Its price less discount before; 0: it was not there.")]
    after: Annotated[RoundedAmount, Meta(description="Its price after; 0: it is dropped.")]
    kept: Annotated[RoundedAmount, Meta(description="Overhead and profit that do not go back.")]
    change: Annotated[RoundedAmount, Meta(description="What it changes before tax; negative: a credit.")]
    tax: Annotated[RoundedAmount, Meta(description="What it changes in tax, as far as that is known.")]


class QuotedChange(Struct, frozen=True, kw_only=True):
    """A change order with its effect on the total, the payments and the date."""

    number: Annotated[str, Meta(description="Its number.")]
    dated: Annotated[date, Meta(description="Its day.")]
    reason: Annotated[str, Meta(description="Why.")]
    accepted_by: Annotated[str | None, Meta(description="Who accepted it. Null: it is not in the contract.")]
    accepted_on: Annotated[date | None, Meta(description="The day. Null: not accepted.")]
    lines: Annotated[tuple[ChangedLine, ...], Meta(description="What it does, line by line.")]
    change: Annotated[RoundedAmount, Meta(description="Sum of its changes before tax.")]
    tax: Annotated[RoundedAmount, Meta(description="Sum of its changes in tax.")]
    from_contingency: Annotated[
        RoundedAmount,
        Meta(description="What the contingency pays of it; with its tax where the contingency was taxed."),
    ]
    total_change: Annotated[
        RoundedAmount, Meta(description="What the contract changes by: change + tax - from_contingency.")
    ]
    contract_total: Annotated[
        RoundedAmount,
        Meta(description="The contract with it, on what was accepted before; whether it is accepted or not."),
    ]
    completion_on: Annotated[date | None, Meta(description="The promised date with it. Null: none was promised.")]
    payments: Annotated[tuple[QuotedPayment, ...], Meta(description="The payments with it.")]
    questions: Annotated[tuple[QuoteQuestion, ...], Meta(description="What is to be settled about it.")]


class Contract(Struct, frozen=True, kw_only=True):
    """A quote with its change orders. contract_total is the quote's total and every accepted total_change."""

    locale: Annotated[str, Meta(description="Locale of its texts.")]
    currency: Annotated[str, Meta(description="ISO 4217 code; every amount is in it.")]
    quote: Annotated[Quote, Meta(description="The quote before all changes.")]
    changes: Annotated[tuple[QuotedChange, ...], Meta(description="The change orders, in order.")]
    contract_total: Annotated[RoundedAmount, Meta(description="The quote with all accepted changes, with tax.")]
    added: Annotated[RoundedAmount, Meta(description="Sum of accepted total_change above 0.")]
    deducted: Annotated[RoundedAmount, Meta(description="Sum of accepted total_change below 0, without its sign.")]
    contingency: Annotated[QuotedContingency | None, Meta(description="The contingency after all draws. Null: none.")]
    payments: Annotated[tuple[QuotedPayment, ...], Meta(description="The payments; they add up to contract_total.")]
    completion_on: Annotated[date | None, Meta(description="The promised date. Null: none was promised.")]
    pending: Annotated[int, Meta(description="Number of change orders that nobody has accepted.")]
    open_tax: Annotated[
        bool, Meta(description="Whether something in the contract is taxed, or at which rate, is not settled yet.")
    ]
    notes: Annotated[tuple[Note, ...], Meta(description="Warnings.")]
    statement: Annotated[str, Meta(description="The contract in a sentence.")] = ""
