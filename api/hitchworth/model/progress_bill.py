"""A progress bill: how far each line of a contract is, what was billed before, what is held back and what is due."""

from decimal import Decimal
from typing import Annotated

from msgspec import Meta, Struct

from hitchworth.model.numbers import Amount, RoundedAmount, Share
from hitchworth.model.strings import Identifier


class Progress(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """How far one line of the contract is."""

    id: Annotated[Identifier, Meta(description="Id of the line.")]
    earlier: Annotated[
        Amount, Meta(description="Work billed in earlier periods, before tax, in the build's currency.")
    ] = Decimal(0)
    this_period: Annotated[
        Amount | None, Meta(description="Work of this period, before tax. Null: by completed_share, else none.")
    ] = None
    completed_share: Annotated[
        Share | None,
        Meta(
            description="The share of the line that is complete by now, what is stored too; instead of this_period. "
            "Null: by this_period."
        ),
    ] = None
    stored: Annotated[Amount, Meta(description="Material bought and not yet built in, before tax.")] = Decimal(0)
    retainage_rate: Annotated[
        Share | None, Meta(description="Retainage of this line. Null: that of the quote, else none.")
    ] = None


class BilledLine(Struct, frozen=True, kw_only=True):
    """A line of the schedule of values. completed = earlier + this_period + stored; balance = scheduled - completed."""

    id: Annotated[str, Meta(description="Id of the line; empty in the totals.")]
    description: Annotated[str, Meta(description="What it is; empty in the totals.")]
    scheduled: Annotated[RoundedAmount, Meta(description="Its price less discount in the contract, before tax.")]
    earlier: Annotated[RoundedAmount, Meta(description="Work of earlier periods.")]
    this_period: Annotated[RoundedAmount, Meta(description="Work of this period.")]
    stored: Annotated[RoundedAmount, Meta(description="Material bought and not yet built in.")]
    completed: Annotated[RoundedAmount, Meta(description="Complete and stored to date.")]
    share: Annotated[Decimal | None, Meta(description="completed / scheduled, to 4 places. Null: nothing scheduled.")]
    balance: Annotated[RoundedAmount, Meta(description="What is left to finish.")]
    retained: Annotated[RoundedAmount, Meta(description="What is held back of completed.")]
    tax: Annotated[RoundedAmount, Meta(description="Tax on completed: the tax of the line, as far as it is complete.")]


class ProgressBill(Struct, frozen=True, kw_only=True):
    """A progress bill.

    due = earned - earlier_certificates; balance_to_finish = scheduled - earned; both are before tax.
    to_pay = due + tax - deposit_credit.
    """

    currency: Annotated[str, Meta(description="ISO 4217 code; every amount is in it.")]
    lines: Annotated[tuple[BilledLine, ...], Meta(description="Every line of the contract.")]
    totals: Annotated[BilledLine, Meta(description="The lines added up.")]
    earned: Annotated[RoundedAmount, Meta(description="Completed less retained.")]
    earlier_certificates: Annotated[
        RoundedAmount, Meta(description="What earlier bills came to, before tax and without credit for the deposit.")
    ]
    due: Annotated[RoundedAmount, Meta(description="Due for this period, before tax; negative: too much was billed.")]
    balance_to_finish: Annotated[
        RoundedAmount, Meta(description="What is left to bill of the lines, before tax, retainage included.")
    ]
    earlier_tax: Annotated[RoundedAmount, Meta(description="Tax of earlier bills.")]
    tax: Annotated[
        RoundedAmount,
        Meta(description="Tax of this bill: that on completed less earlier_tax. It is not held back from."),
    ]
    deposit: Annotated[
        RoundedAmount,
        Meta(description="The deposit that was paid: the first of several payments, with a paid_on. 0: none."),
    ]
    deposit_not_paid: Annotated[
        RoundedAmount, Meta(description="A deposit of the payments without a paid_on: it is not credited. 0: none.")
    ]
    earlier_deposit_credit: Annotated[RoundedAmount, Meta(description="Credited of the deposit on earlier bills.")]
    deposit_credit: Annotated[
        RoundedAmount, Meta(description="Credited of the deposit on this bill, at most what the bill comes to.")
    ]
    deposit_left: Annotated[RoundedAmount, Meta(description="What later bills credit of the deposit.")]
    to_pay: Annotated[
        RoundedAmount, Meta(description="What is to be paid now, with tax, less the deposit; negative: goes back.")
    ]
    contract_total: Annotated[RoundedAmount, Meta(description="The contract with all accepted changes, with tax.")]
    contingency_not_billed: Annotated[
        RoundedAmount,
        Meta(description="Of contract_total, the contingency that no change order has used, with its tax."),
    ]
    other_not_billed: Annotated[
        RoundedAmount,
        Meta(
            description="Of contract_total, what is no line, with its tax: fixed amounts of change orders, and "
            "overhead and profit that do not go back; negative: a credit."
        ),
    ]
    open_tax: Annotated[
        bool, Meta(description="Whether something in the contract is taxed, or at which rate, is not settled yet.")
    ]
    statement: Annotated[str, Meta(description="The bill in a sentence.")] = ""
