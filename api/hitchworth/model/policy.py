"""A policy, and a loss to settle under it. A term that is null is not yet known, and raises a question."""

from datetime import date
from decimal import Decimal
from typing import Annotated, Literal, TypeAlias

from msgspec import Meta, Struct

from hitchworth.model.numbers import Amount, Days, Rate, Real, Share, Whole, Years
from hitchworth.model.strings import Identifier, ShortText

Basis: TypeAlias = Literal["actual_cash_value", "replacement_cost", "agreed_value", "stated_amount", "market_value"]
"""The basis of settlement: how the policy values a loss.

actual_cash_value: replacement cost less depreciation
replacement_cost: replacement cost new, once the trailer has been replaced; actual cash value until then
agreed_value: the amount agreed with the insurer for a total loss; repair cost up to it for a partial one
stated_amount: the least of the amount stated, the actual cash value and the cost of repair
market_value: up to the market value in `amount`; without one, actual cash value
"""

SettlesAs: TypeAlias = Literal["registered_class", "built_use"]
"""As what the policy settles a trailer whose built use differs from its registered class.

registered_class: as a plain trailer of the registered class; what was built onto it is not owed
built_use: as the camping trailer that it is
"""

SettlementStep: TypeAlias = Literal["sublimits", "coinsurance", "deductible", "limit"]
"""A step of the settlement after the value.

sublimits: caps the categories that have a sublimit
coinsurance: pays the ratio of insurance carried to insurance required
deductible: takes the deductible off
limit: caps the payment
"""

Extent: TypeAlias = Literal["total", "partial"]
"""How much a loss destroys.

total: everything in the trailer on that day
partial: the damage that the loss lists
"""

DeductibleBase: TypeAlias = Literal["loss", "limit", "value"]
"""What the rate of a deductible is taken of.

loss: of the running amount of the loss when the deductible is due
limit: of the limit, or of the agreed or stated amount where there is no limit
value: of the value of the whole trailer on the policy's basis
"""

ExpenseKind: TypeAlias = Literal["towing", "storage", "loss_of_use"]
"""What a loss costs beside the trailer.

towing: towing it away
storage: storing it
loss_of_use: a rental or lodging while it is gone
"""

CoordinationMethod: TypeAlias = Literal["primary_excess", "pro_rata"]
"""How several policies share one loss.

primary_excess: one after the other up to the loss, each no more than it would pay alone
pro_rata: each the part of the loss that its limit is of all limits, less its deductible, and no more than alone;
  a policy without a limit counts with what it would pay alone
"""

DEFAULT_ORDER: tuple[SettlementStep, ...] = ("sublimits", "coinsurance", "deductible", "limit")
"""Sublimits on the loss, the coinsurance ratio, the deductible off the loss, then the limit as a cap."""


class Sublimit(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True, gc=False):
    """The most that is paid for one category of the build, or for a group of categories."""

    category: Annotated[
        Identifier,
        Meta(
            description="A category of the build, or a group: contents (loose things), custom_equipment (everything "
            "that a plain trailer of the class does not come with, contents aside)."
        ),
    ]
    amount: Annotated[Amount, Meta(description="The most that is paid for it, in the build's currency.")]


class PerilDeductible(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True, gc=False):
    """The deductible of one peril: a flat amount plus a rate, not less than a minimum."""

    peril: Annotated[Identifier, Meta(description="The peril, as losses name it; capitals and hyphens do not matter.")]
    amount: Annotated[Amount, Meta(description="Flat amount, in the build's currency.")] = Decimal(0)
    rate: Annotated[Share, Meta(description="Added to the amount: a share of what applies_to names.")] = Decimal(0)
    applies_to: Annotated[DeductibleBase, Meta(description="What the rate is taken of.")] = "value"
    minimum: Annotated[Amount, Meta(description="The deductible is not less than this, in the build's currency.")] = (
        Decimal(0)
    )


class Allowance(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True, gc=False):
    """What the policy pays toward one kind of expense after a covered loss, beside the trailer."""

    kind: Annotated[ExpenseKind, Meta(description="The kind of expense.")]
    limit: Annotated[Amount, Meta(description="The most for all expenses of the kind, in the build's currency.")]
    per_day: Annotated[
        Amount | None, Meta(description="The most for one day, in the build's currency. Null: no limit by the day.")
    ] = None
    waiting_days: Annotated[Days, Meta(description="First days that are not paid.")] = 0


class Policy(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The terms of one policy, as far as they are known."""

    name: Annotated[Identifier, Meta(description="Your name for the policy, unique in the request.")]
    basis: Annotated[Basis, Meta(description="The basis of settlement: how the policy values a loss.")]
    amount: Annotated[
        Amount | None,
        Meta(
            description="The agreed value, the stated amount or the market value, in the build's currency. Required "
            "for the first two; null for market_value: the actual cash value takes its place."
        ),
    ] = None
    limit: Annotated[
        Amount | None,
        Meta(description="The most that is paid for one loss, in the build's currency. Null: no limit but the value."),
    ] = None
    deductible: Annotated[
        Amount | None,
        Meta(
            description="What each loss leaves to the insured, in the build's currency. Default: none; null: not known."
        ),
    ] = Decimal(0)
    coinsurance_rate: Annotated[
        Share | None,
        Meta(
            description="Share of the value that must be insured. When limit (or else amount) is less, the loss is "
            "paid in that ratio. Default 0: no such clause; null: not known."
        ),
    ] = Decimal(0)
    order: Annotated[
        tuple[SettlementStep, ...],
        Meta(
            max_length=4,
            description="The order of the steps after the value. Steps that are not named follow in the default order.",
        ),
    ] = DEFAULT_ORDER
    sublimits: Annotated[
        tuple[Sublimit, ...],
        Meta(
            max_length=200,
            description="The most for single categories. They do not apply to a total loss at agreed value.",
        ),
    ] = ()
    settles_as: Annotated[
        SettlesAs | None,
        Meta(
            description="As what the policy settles a trailer whose built use differs from its registered class. Null: "
            "not known, settled as registered_class and asked about. Agreed value does not depend on it."
        ),
    ] = None
    depreciates_labor: Annotated[
        bool | None,
        Meta(
            description="Whether labor depreciates in an actual cash value. Null: not known, settled as yes and asked "
            "about, unless a published rule of the jurisdiction forbids it."
        ),
    ] = None
    holdback: Annotated[
        bool | None,
        Meta(
            description="For replacement_cost: the depreciation is held back until the trailer has been replaced. "
            "False: everything is paid at once; null: not known."
        ),
    ] = True
    total_loss_tax_rate: Annotated[
        Rate | None,
        Meta(description="Sales tax paid on top of a total loss, on its value. Default 0: none; null: not known."),
    ] = Decimal(0)
    excluded_perils: Annotated[
        tuple[Identifier, ...],
        Meta(max_length=100, description="Perils that are not covered; capitals and hyphens do not matter."),
    ] = ()
    peril_deductibles: Annotated[
        tuple[PerilDeductible, ...],
        Meta(max_length=100, description="Deductibles of single perils, which take the place of deductible."),
    ] = ()
    depreciation_cap: Annotated[
        Share | None,
        Meta(description="The most that depreciation takes off a line, of its replacement cost. Null: no cap."),
    ] = None
    betterment_categories: Annotated[
        tuple[Identifier, ...],
        Meta(
            max_length=100,
            description="Betterment: categories whose depreciation comes off a repair, although the policy pays "
            "replacement_cost.",
        ),
    ] = ()
    replacement_years: Annotated[
        Years | None,
        Meta(
            description="A total loss is paid at replacement cost up to this age of the trailer, at actual cash value "
            "after it. Null: at any age."
        ),
    ] = None
    holdback_days: Annotated[
        Days | None,
        Meta(
            description="Days after the loss in which the recoverable depreciation can be claimed. Null: not known or "
            "without a limit."
        ),
    ] = None
    total_loss_threshold: Annotated[
        Share | None,
        Meta(
            description="A repair at or above this share of the value is a constructive total loss. Null: the rule of "
            "the jurisdiction; without one, repair plus salvage at or above the value."
        ),
    ] = None
    total_loss_fees: Annotated[
        Amount, Meta(description="Title and transfer fees paid on a total loss, in the build's currency.")
    ] = Decimal(0)
    covers_under_construction: Annotated[
        bool | None,
        Meta(
            description="Whether a loss before the build's completed_on is covered. Null: not known, settled as no and "
            "asked about."
        ),
    ] = None
    allowances: Annotated[
        tuple[Allowance, ...],
        Meta(max_length=20, description="What the policy pays toward towing, storage and loss of use."),
    ] = ()
    annual_premium: Annotated[
        Amount | None,
        Meta(
            description="Premium for a year, in the build's currency; for the comparison of policies and for "
            "discounts. Null: not known."
        ),
    ] = None


class Damage(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True, gc=False):
    """How much of a line, or of every line of a category, a partial loss destroys. Name one of the two."""

    fraction: Annotated[Share, Meta(description="The part that is destroyed, of cost and value alike.")]
    id: Annotated[
        Identifier | None, Meta(description="Id of a component or labor entry. It wins over the category of the line.")
    ] = None
    category: Annotated[Identifier | None, Meta(description="A category of the build: every line of it.")] = None


class Expense(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True, gc=False):
    """What a loss costs beside the trailer."""

    kind: Annotated[ExpenseKind, Meta(description="The kind of expense.")]
    amount: Annotated[Amount, Meta(description="What it costs in all, in the build's currency.")]
    days: Annotated[
        Days | None, Meta(description="Days that it is for, where the allowance pays by the day. Null: one day.")
    ] = None


class Loss(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Something that might happen to the trailer."""

    name: Annotated[Identifier, Meta(description="Your name for the loss, unique in the request.")]
    peril: Annotated[
        Identifier, Meta(description="What caused it, a free word: theft, fire, hail, water, collision, storm.")
    ]
    extent: Annotated[Extent, Meta(description="How much it destroys.")]
    occurred_on: Annotated[
        date, Meta(description="Day of the loss; the trailer is valued on it. It may be in the future.")
    ]
    damage: Annotated[
        tuple[Damage, ...],
        Meta(
            max_length=1000, description="What a partial loss destroys; at least one entry. Not used for a total loss."
        ),
    ] = ()
    replaced: Annotated[
        bool,
        Meta(
            description="The trailer is replaced or repaired, so a policy at replacement_cost pays new for old. False: "
            "it pays actual cash value."
        ),
    ] = True
    salvage_value: Annotated[
        Amount | None,
        Meta(
            description="What the wreck is worth, in the build's currency; it may make a repair a total loss. Null: "
            "taken as 0."
        ),
    ] = None
    salvage_kept: Annotated[
        bool, Meta(description="The insured keeps the wreck of a total loss, so its value comes off the payment.")
    ] = False
    amount_spent: Annotated[
        Amount | None,
        Meta(
            description="What was spent on replacing or repairing it, in the build's currency. Replacement cost pays "
            "no more than that, but at least actual cash value. Null: no such cap."
        ),
    ] = None
    expenses: Annotated[
        tuple[Expense, ...], Meta(max_length=50, description="Towing, storage and loss of use after the loss.")
    ] = ()
    annual_probability: Annotated[
        Share | None,
        Meta(
            description="Your own estimate of the probability of such a loss in a year. Null: none is assumed, and "
            "expected costs are left out."
        ),
    ] = None


class Coordination(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """How several policies share one loss.

    The loss they share is, for each policy, what it comes to on the policy's own basis. Together they pay no more than
    the greatest of these, or than what one of them pays alone where that is more, as by an agreed value.
    """

    method: Annotated[CoordinationMethod, Meta(description="How the policies share the loss.")]
    policies: Annotated[
        tuple[Identifier, ...],
        Meta(min_length=2, max_length=20, description="Names of the policies, in the order in which they pay."),
    ]


class Answer(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What somebody answered: it settles a term of a policy (policy and term), or a fact of the build (fact).

    The newest answer counts: the latest by said_on; of the same day, the later in the list. An answer without a day is
    older than one with a day.
    """

    value: Annotated[
        bool | Whole | Real | ShortText | None,
        Meta(description="The answer, as the term or the fact would have it. Null: the term or fact stays open."),
    ]
    policy: Annotated[Identifier | None, Meta(description="Name of the policy. Null: the answer is about a fact.")] = (
        None
    )
    term: Annotated[
        Identifier | None, Meta(description="Term of the policy, by its field name: deductible, settles_as.")
    ] = None
    fact: Annotated[Identifier | None, Meta(description="Fact of the build, by its name in GET /v1/facts.")] = None
    said_by: Annotated[ShortText | None, Meta(description="Who answered. Null: not on record.")] = None
    said_on: Annotated[date | None, Meta(description="Day of the answer, not in the future. Null: not on record.")] = (
        None
    )
    reference: Annotated[
        ShortText | None, Meta(description="Where it is on record: a letter, an e-mail, a claim number. Null: nowhere.")
    ] = None
