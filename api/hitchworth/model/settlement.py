"""A settlement: what one policy pays for one loss, step by step, and where the rest goes."""

from datetime import date
from decimal import Decimal
from typing import Annotated, Literal, TypeAlias

from msgspec import Meta, Struct, field

from hitchworth.model.loss import ExpenseKind, Extent
from hitchworth.model.note import Note
from hitchworth.model.numbers import RoundedAmount
from hitchworth.model.policy import Basis, CoordinationMethod
from hitchworth.model.provenance import Provenance

Cause: TypeAlias = Literal[
    "exclusion",
    "under_construction",
    "class",
    "own_labor",
    "depreciation",
    "labor_depreciation",
    "obsolescence",
    "betterment",
    "market",
    "sublimits",
    "coinsurance",
    "deductible",
    "limit",
    "amount",
    "salvage",
    "tax_and_fees",
]
"""Why a part of the replacement cost is not paid.

exclusion: damage, the peril or the situation is not covered
under_construction: the trailer was not finished, and the policy does not cover it then
class: only a plain trailer of the registered class is owed
own_labor: the builder's own hours are not counted
depreciation: depreciation of components
labor_depreciation: depreciation of labor
obsolescence: functional and economic obsolescence, taken after wear
betterment: depreciation of parts whose repair makes the trailer better than it was
market: the market value is less than the value by cost; negative where it is more
sublimits: a category costs more than its sublimit
coinsurance: less is insured than the policy requires
deductible: the deductible
limit: the limit is less than what is owed
amount: the agreed value, stated amount or amount spent is less than the cost; negative where an agreed value is more
salvage: the insured keeps the wreck, which is worth this much
tax_and_fees: sales tax and fees of a total loss that are not paid; negative where they are paid on a value without them
    and the replacement cost includes them
"""


class Step(Struct, frozen=True, kw_only=True):
    """One step of the settlement. The amounts add up to the running amount."""

    code: Annotated[
        str,
        Meta(
            description="Stable name of the step, for programs: replacement_cost_new (always the first), exclusion, "
            "liability_only, situation, under_construction, assumed_not_covered, class_value, depreciation, "
            "labor_depreciation, obsolescence, betterment, market_value, agreed_value, stated_amount, amount_spent, "
            "total_loss_tax, total_loss_fees, sublimit, coinsurance, deductible, limit, salvage_kept, "
            "salvage_in_proportion."
        ),
    ]
    amount: Annotated[RoundedAmount, Meta(description="What the step adds; negative where it takes something off.")]
    running: Annotated[RoundedAmount, Meta(description="The running amount after the step.")]
    parameters: Annotated[
        dict[str, str], Meta(description="The values in the label, by name, as unformatted text.")
    ] = field(default_factory=dict)
    label: Annotated[str, Meta(description="The step in words, in the language of the request's locale.")] = ""


class GapPart(Struct, frozen=True, kw_only=True):
    """The part of the gap that one cause makes."""

    cause: Annotated[Cause, Meta(description="Why it is not paid.")]
    amount: Annotated[RoundedAmount, Meta(description="What is not paid for this cause; negative: paid on top.")]
    label: Annotated[str, Meta(description="The cause in words, in the language of the request's locale.")] = ""


class ExpensePaid(Struct, frozen=True, kw_only=True, gc=False):
    """What the policy pays toward one expense. Expenses are beside the trailer and no part of the gap."""

    kind: Annotated[ExpenseKind, Meta(description="The kind of expense.")]
    incurred: Annotated[RoundedAmount, Meta(description="What the expense costs, as given.")]
    payable: Annotated[RoundedAmount, Meta(description="What the policy's allowance pays of it; 0 without one.")]


class ConcealmentRule(Struct, frozen=True, kw_only=True):
    """When an insurer that was not told something may avoid the policy, by the law of a place. Ask a lawyer."""

    jurisdiction: Annotated[str, Meta(description="The place whose law it is.")]
    intent_needed: Annotated[
        bool | None, Meta(description="Whether an intent to deceive must be proved; null: not known here.")
    ]
    counts_if_not_issued: Annotated[
        bool | None,
        Meta(
            description="Whether it is enough that the policy would not have been issued, or not at that premium. "
            "Null: not known here."
        ),
    ]
    must_have_contributed: Annotated[
        bool | None, Meta(description="Whether the matter must have contributed to the loss. Null: not known here.")
    ]
    reduces_in_proportion: Annotated[
        bool | None,
        Meta(description="Whether a careless mistake cuts the claim in proportion instead. Null: not known here."),
    ]
    text: Annotated[str, Meta(description="What the law says, in our own words.")]
    source: Annotated[str, Meta(description="The law, or the court.")]
    provenance: Annotated[Provenance, Meta(description="Whether the text was read.")]
    unverified_text: Annotated[
        str, Meta(description="What the law says besides, where these words were not read; empty: nothing.")
    ] = ""
    unverified_source: Annotated[str, Meta(description="The law that says it.")] = ""


class AvoidedCoverage(Struct, frozen=True, kw_only=True):
    """What is paid if the insurer, which was not told of the built use, avoids the policy.

    Apart from the settlement.
    """

    payable: Annotated[RoundedAmount, Meta(description="Always 0: an agreed value is not paid either.")]
    premium_returned: Annotated[
        RoundedAmount | None, Meta(description="The premium of a year, which customarily goes back; null: not known.")
    ]
    rule: Annotated[ConcealmentRule | None, Meta(description="The law of the place; null: not looked up.")]
    text: Annotated[str, Meta(description="The same in words, in the language of the request's locale.")] = ""


class Settlement(Struct, frozen=True, kw_only=True):
    """What one policy pays for one loss. The parts of the gap add up exactly to the gap."""

    policy: Annotated[str, Meta(description="Name of the policy.")]
    loss: Annotated[str, Meta(description="Name of the loss.")]
    basis: Annotated[
        Basis | None, Meta(description="The basis of settlement. Null: nothing is covered, so no basis was needed.")
    ]
    peril: Annotated[str, Meta(description="The peril of the loss.")]
    extent: Annotated[
        Extent, Meta(description="How it was settled; a partial loss may become total, which a note then says.")
    ]
    valued_on: Annotated[date, Meta(description="Day of the loss, on which the trailer was valued.")]
    steps: Annotated[
        tuple[Step, ...],
        Meta(description="From replacement cost new to the payment, so that a person can redo it by hand."),
    ]
    payable_now: Annotated[
        RoundedAmount, Meta(description="What is paid before the trailer has been replaced; a part of payable.")
    ]
    recoverable_depreciation: Annotated[
        RoundedAmount,
        Meta(description="The holdback: paid once the trailer has been replaced. Payable less payable_now."),
    ]
    payable: Annotated[RoundedAmount, Meta(description="What is paid in the end: now and after replacement.")]
    replacement_cost: Annotated[
        RoundedAmount,
        Meta(
            description="Replacement cost new of what the loss destroyed. Of a total loss, with the sales tax and fees "
            "that replacing it bears by the policy's terms and the estimate does not include."
        ),
    ]
    insured_loss: Annotated[
        RoundedAmount,
        Meta(
            description="The loss on the policy's basis, tax and fees included and kept salvage taken off, before "
            "sublimits, coinsurance, deductible and limit; 0 where it is not covered."
        ),
    ]
    gap: Annotated[
        RoundedAmount, Meta(description="Replacement cost less payable; negative where more than the cost is paid.")
    ]
    share_covered: Annotated[
        Decimal, Meta(description="Payable as a share of replacement cost, to four places; 1 where nothing was lost.")
    ]
    payable_at_best: Annotated[
        RoundedAmount, Meta(description="What would be payable with the most favorable answer to every unknown term.")
    ]
    if_avoided: Annotated[
        AvoidedCoverage | None,
        Meta(
            description="What is left if the insurer avoids the policy. Null: the registered class fits the built use, "
            "the insurer was told, or the loss is not covered anyway."
        ),
    ]
    payable_to_lender: Annotated[
        RoundedAmount,
        Meta(description="The part of payable that goes to the lender on the policy, up to the balance of the loan."),
    ]
    recoverable_until: Annotated[
        date | None,
        Meta(
            description="Last day to claim the recoverable depreciation. Null: there is none, or the policy's "
            "holdback_days are not known."
        ),
    ]
    expenses: Annotated[
        tuple[ExpensePaid, ...], Meta(description="What is paid toward the expenses of the loss, one entry each.")
    ]
    gap_breakdown: Annotated[
        tuple[GapPart, ...], Meta(description="The gap by cause, in the order of the steps. The amounts add up to it.")
    ]
    assumed: Annotated[
        tuple[Note, ...],
        Meta(description="Terms not known that move the payment, and the least favorable answer that was assumed."),
    ]
    answered: Annotated[
        tuple[Note, ...], Meta(description="Terms that rest on recorded answers. Only in a gap statement.")
    ] = ()
    notes: Annotated[tuple[Note, ...], Meta(description="What else you should know about this settlement.")] = ()


class PolicyShare(Struct, frozen=True, kw_only=True, gc=False):
    """What one of several policies pays."""

    policy: Annotated[str, Meta(description="Name of the policy.")]
    payable: Annotated[RoundedAmount, Meta(description="What it pays beside the others.")]


class Combined(Struct, frozen=True, kw_only=True):
    """What several policies pay together for one loss."""

    loss: Annotated[str, Meta(description="Name of the loss.")]
    method: Annotated[CoordinationMethod, Meta(description="How the policies share the loss.")]
    shares: Annotated[tuple[PolicyShare, ...], Meta(description="What each pays, in the order of coordination.")]
    payable: Annotated[RoundedAmount, Meta(description="What they pay together.")]
    replacement_cost: Annotated[
        RoundedAmount, Meta(description="Replacement cost new of what was lost, the greatest of the policies'.")
    ]
    gap: Annotated[
        RoundedAmount, Meta(description="Replacement cost less payable; negative where more than the cost is paid.")
    ]


class BreakEven(Struct, frozen=True, kw_only=True, gc=False):
    """The yearly probability of a loss from which the policy with the higher premium is worth it."""

    lower_premium_policy: Annotated[str, Meta(description="Name of the policy with the lower premium.")]
    higher_premium_policy: Annotated[str, Meta(description="Name of the policy with the higher premium.")]
    loss: Annotated[str, Meta(description="Name of the loss.")]
    extra_premium: Annotated[RoundedAmount, Meta(description="Higher premium less lower premium, a year.")]
    extra_payable: Annotated[
        RoundedAmount,
        Meta(
            description="What the policy with the higher premium pays more for the loss, allowances toward expenses "
            "included; negative where it pays less."
        ),
    ]
    probability: Annotated[
        Decimal | None,
        Meta(
            description="Extra premium / extra payable, to four places: 0.02 is once in fifty years. Null: it never "
            "pays enough more to be worth it."
        ),
    ]


class ExpectedCost(Struct, frozen=True, kw_only=True, gc=False):
    """Premium and gaps in an average year, by the probabilities that you gave."""

    policy: Annotated[str, Meta(description="Name of the policy.")]
    annual_premium: Annotated[RoundedAmount | None, Meta(description="Premium for a year. Null: not known.")]
    expected_gap: Annotated[
        RoundedAmount,
        Meta(
            description="Each loss's gap and unpaid expenses times its probability, added up; negative where more than "
            "the cost is paid."
        ),
    ]
    expected_cost: Annotated[
        RoundedAmount | None, Meta(description="Premium plus expected gap. Null: the premium is not known.")
    ]


class PolicyComparison(Struct, frozen=True, kw_only=True):
    """The policies compared with one another."""

    break_evens: Annotated[
        tuple[BreakEven, ...], Meta(description="Every pair of policies with known premiums, for every loss.")
    ]
    expected_costs: Annotated[
        tuple[ExpectedCost, ...],
        Meta(description="One entry a policy; empty unless every loss has an annual_probability."),
    ]


class MatrixCell(Struct, frozen=True, kw_only=True, gc=False):
    """One settlement in short."""

    policy: Annotated[str, Meta(description="Name of the policy.")]
    loss: Annotated[str, Meta(description="Name of the loss.")]
    payable: Annotated[RoundedAmount, Meta(description="What is paid in the end.")]
    gap: Annotated[
        RoundedAmount, Meta(description="Replacement cost less payable; negative where more than the cost is paid.")
    ]
    share_covered: Annotated[
        Decimal, Meta(description="Payable as a share of replacement cost, to four places; 1 where nothing was lost.")
    ]


class Settlements(Struct, frozen=True, kw_only=True):
    """Every policy and every loss, in the order in which they were given."""

    settlements: Annotated[
        tuple[Settlement, ...], Meta(description="One settlement for each policy and loss, policy by policy.")
    ]
    matrix: Annotated[tuple[MatrixCell, ...], Meta(description="The same settlements in short.")]
    combined: Annotated[
        tuple[Combined, ...],
        Meta(description="With coordination: what the policies pay together, one entry a loss. Otherwise empty."),
    ]
    notes: Annotated[tuple[Note, ...], Meta(description="What is missing before anything can be settled.")] = ()
    currency: Annotated[str, Meta(description="The build's currency, ISO 4217; every amount is in it.")] = ""
    locale: Annotated[str, Meta(description="Locale of the texts: the one requested, or the nearest available.")] = ""
