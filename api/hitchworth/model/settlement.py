"""A settlement: what one policy pays for one loss, step by step, and where the rest goes."""

from datetime import date
from decimal import Decimal
from typing import Annotated, Literal, TypeAlias

from msgspec import Meta, Struct, field

from hitchworth.model.note import Note
from hitchworth.model.policy import Basis, ExpenseKind, Extent

Cause: TypeAlias = Literal[
    "exclusion",
    "under_construction",
    "class",
    "depreciation",
    "labor_depreciation",
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

`amount`: the agreed value or stated amount is less than the value (negative where an agreed value is more).
`salvage`: the insured keeps the wreck, which is worth that much. `tax_and_fees`: paid on top of a total loss, so
negative.
"""


class Step(Struct, frozen=True, kw_only=True):
    """One step of the settlement: what it adds or takes away, and what stands after it."""

    code: str
    amount: Decimal
    running: Decimal
    parameters: dict[str, str] = field(default_factory=dict)
    label: str = ""


class GapPart(Struct, frozen=True, kw_only=True):
    """The part of the gap that one cause makes."""

    cause: Cause
    amount: Decimal
    label: str = ""


class ExpensePaid(Struct, frozen=True, kw_only=True, gc=False):
    """What the policy pays toward one expense. Expenses are beside the trailer and no part of the gap."""

    kind: ExpenseKind
    incurred: Decimal
    payable: Decimal


class Settlement(Struct, frozen=True, kw_only=True):
    """What one policy pays for one loss. The waterfall's parts add up exactly to the gap."""

    policy: str
    loss: str
    basis: Basis
    peril: str
    extent: Extent
    valued_on: date
    steps: tuple[Step, ...]
    payable_now: Decimal
    recoverable_depreciation: Annotated[Decimal, Meta(description="Held back until the trailer has been replaced.")]
    payable: Decimal
    replacement_cost: Annotated[Decimal, Meta(description="Of what the loss destroyed.")]
    insured_loss: Annotated[
        Decimal,
        Meta(description="The loss on the policy's basis, before its terms; 0 where it is not covered."),
    ]
    gap: Annotated[Decimal, Meta(description="Replacement cost less payable.")]
    share_covered: Annotated[Decimal, Meta(description="Payable as a share of replacement cost, to four places.")]
    payable_at_best: Annotated[
        Decimal, Meta(description="What is payable when every unknown term turns out most favorable.")
    ]
    recoverable_until: Annotated[date | None, Meta(description="Last day to claim what was held back.")]
    expenses: tuple[ExpensePaid, ...]
    gap_breakdown: tuple[GapPart, ...]
    assumed: Annotated[
        tuple[Note, ...], Meta(description="Terms not known, and the least favorable answer that was assumed.")
    ]
    answered: Annotated[tuple[Note, ...], Meta(description="Terms that rest on recorded answers.")] = ()
    notes: tuple[Note, ...] = ()


class PolicyShare(Struct, frozen=True, kw_only=True, gc=False):
    """What one of several policies pays."""

    policy: str
    payable: Decimal


class Combined(Struct, frozen=True, kw_only=True):
    """What several policies pay together for one loss."""

    loss: str
    method: Literal["primary_excess", "pro_rata"]
    shares: tuple[PolicyShare, ...]
    payable: Decimal
    replacement_cost: Decimal
    gap: Decimal


class BreakEven(Struct, frozen=True, kw_only=True, gc=False):
    """The yearly chance of a loss above which the policy with the higher premium is worth it."""

    lower_premium_policy: str
    higher_premium_policy: str
    loss: str
    extra_premium: Decimal
    extra_payable: Annotated[Decimal, Meta(description="Allowances toward expenses included.")]
    probability: Annotated[
        Decimal | None,
        Meta(description="Null where the policy with the higher premium does not pay enough more to be worth it."),
    ]


class ExpectedCost(Struct, frozen=True, kw_only=True, gc=False):
    """Premium and gaps in an average year, by the probabilities that the user gave."""

    policy: str
    annual_premium: Decimal | None
    expected_gap: Annotated[Decimal, Meta(description="Of the trailer, and of expenses beyond the allowances.")]
    expected_cost: Decimal | None


class PolicyComparison(Struct, frozen=True, kw_only=True):
    """The policies against one another."""

    break_evens: tuple[BreakEven, ...]
    expected_costs: tuple[ExpectedCost, ...]


class MatrixCell(Struct, frozen=True, kw_only=True, gc=False):
    """One policy against one loss in short."""

    policy: str
    loss: str
    payable: Decimal
    gap: Decimal
    share_covered: Decimal


class Settlements(Struct, frozen=True, kw_only=True):
    """Every policy against every loss, in the order in which they were given."""

    settlements: tuple[Settlement, ...]
    matrix: Annotated[tuple[MatrixCell, ...], Meta(description="Policy by loss in short.")]
    combined: Annotated[tuple[Combined, ...], Meta(description="With coordination: what the policies pay together.")]
