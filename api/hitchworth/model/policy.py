"""A policy on the table, and a loss to try it against. A term that is null is not yet known, and raises a question."""

from datetime import date
from decimal import Decimal
from typing import Annotated, Literal, TypeAlias

from msgspec import Meta, Struct

from hitchworth.model.numbers import Amount, Days, Rate, Real, Share, Whole, Years
from hitchworth.model.strings import Identifier, ShortText

Basis: TypeAlias = Literal["actual_cash_value", "replacement_cost", "agreed_value", "stated_amount", "market_value"]
SettlesAs: TypeAlias = Literal["registered_class", "built_use"]
SettlementStep: TypeAlias = Literal["sublimits", "coinsurance", "deductible", "limit"]
Extent: TypeAlias = Literal["total", "partial"]

DEFAULT_ORDER: tuple[SettlementStep, ...] = ("sublimits", "coinsurance", "deductible", "limit")
"""Sublimits on the loss, the coinsurance ratio, the deductible off the loss, then the limit as a cap."""


ExpenseKind: TypeAlias = Literal["towing", "storage", "loss_of_use"]


class Sublimit(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True, gc=False):
    """The most that is paid for one category of the build, or for a group of categories."""

    category: Annotated[
        Identifier,
        Meta(
            description="A category of the build, or a group: contents (loose things), "
            "custom_equipment (all that a plain trailer of the class does not have)."
        ),
    ]
    amount: Amount


class PerilDeductible(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True, gc=False):
    """What one peril leaves to the insured: a flat amount, and a share of the loss, the limit or the value."""

    peril: Identifier
    amount: Amount = Decimal(0)
    rate: Share = Decimal(0)
    applies_to: Annotated[Literal["loss", "limit", "value"], Meta(description="What the rate is taken of.")] = "value"
    minimum: Annotated[Amount, Meta(description="The deductible is not less than this.")] = Decimal(0)


class Allowance(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True, gc=False):
    """What the policy pays toward one kind of expense after a loss."""

    kind: ExpenseKind
    limit: Amount
    per_day: Annotated[Amount | None, Meta(description="The most for one day.")] = None
    waiting_days: Annotated[Days, Meta(description="Days that are not paid.")] = 0


class Policy(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The terms of one policy, as far as they are known."""

    name: Identifier
    basis: Basis
    amount: Annotated[
        Amount | None,
        Meta(description="The agreed value, the stated amount, or the market value by which the insurer settles."),
    ] = None
    limit: Annotated[
        Amount | None, Meta(description="The most that one loss is paid. Default: no limit but the value.")
    ] = None
    deductible: Annotated[Amount | None, Meta(description="Null when not known.")] = Decimal(0)
    coinsurance_rate: Annotated[
        Share | None,
        Meta(description="Share of the value that must be insured; 0 for no such clause, null when not known."),
    ] = Decimal(0)
    order: Annotated[
        tuple[SettlementStep, ...],
        Meta(
            max_length=4,
            description="The steps in their order. Default: sublimits, coinsurance, deductible, limit. Steps that are "
            "not named follow in the default order.",
        ),
    ] = DEFAULT_ORDER
    sublimits: Annotated[tuple[Sublimit, ...], Meta(max_length=200)] = ()
    settles_as: Annotated[
        SettlesAs | None,
        Meta(description="As a trailer of the registered class, or as what it is built for. Null when not known."),
    ] = None
    depreciates_labor: Annotated[bool | None, Meta(description="Null when not known.")] = None
    holdback: Annotated[
        bool | None,
        Meta(description="Replacement cost only: the depreciation is paid when the trailer has been replaced."),
    ] = True
    total_loss_tax_rate: Annotated[
        Rate | None, Meta(description="Sales tax paid on top of a total loss; null when not known.")
    ] = Decimal(0)
    excluded_perils: Annotated[tuple[Identifier, ...], Meta(max_length=100)] = ()
    peril_deductibles: Annotated[
        tuple[PerilDeductible, ...], Meta(max_length=100, description="By peril, in place of deductible.")
    ] = ()
    depreciation_cap: Annotated[Share | None, Meta(description="The most that wear may take off one line.")] = None
    betterment_categories: Annotated[
        tuple[Identifier, ...],
        Meta(max_length=100, description="Replacement cost, partial loss: parts whose wear is taken off all the same."),
    ] = ()
    replacement_years: Annotated[
        Years | None, Meta(description="Replacement cost of a total loss up to this age; actual cash value after it.")
    ] = None
    holdback_days: Annotated[
        Days | None, Meta(description="Days after the loss in which what was held back can be claimed.")
    ] = None
    total_loss_threshold: Annotated[
        Share | None, Meta(description="Repair at or above this share of the value is a total loss. Default: by place.")
    ] = None
    total_loss_fees: Annotated[Amount, Meta(description="Title and transfer fees paid on a total loss.")] = Decimal(0)
    covers_under_construction: Annotated[
        bool | None, Meta(description="Before the build's completed_on. Null when not known.")
    ] = None
    allowances: Annotated[tuple[Allowance, ...], Meta(max_length=20)] = ()
    annual_premium: Amount | None = None


class Damage(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True, gc=False):
    """How much of a line, or of every line of a category, a partial loss destroys."""

    fraction: Share
    id: Annotated[Identifier | None, Meta(description="A component or labor entry.")] = None
    category: Identifier | None = None


class Expense(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True, gc=False):
    """What a loss costs beside the trailer."""

    kind: ExpenseKind
    amount: Amount
    days: Days | None = None


class Loss(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Something that might happen to the trailer."""

    name: Identifier
    peril: Annotated[Identifier, Meta(description="theft, fire, hail, water, collision ...")]
    extent: Extent
    occurred_on: Annotated[date, Meta(description="The trailer is valued on this date.")]
    damage: Annotated[tuple[Damage, ...], Meta(max_length=1000, description="Of a partial loss.")] = ()
    replaced: Annotated[
        bool, Meta(description="The trailer is replaced or repaired, so what was held back can be claimed.")
    ] = True
    salvage_value: Amount | None = None
    salvage_kept: bool = False
    amount_spent: Annotated[
        Amount | None, Meta(description="What replacing or repairing it cost; replacement cost pays no more than that.")
    ] = None
    expenses: Annotated[tuple[Expense, ...], Meta(max_length=50)] = ()
    annual_probability: Annotated[
        Share | None, Meta(description="Your own guess of how likely it is in a year; none is assumed.")
    ] = None


class Coordination(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """How several policies share one loss.

    The loss is the greatest replacement cost that one of them looks at (one may count a total loss where another
    repairs), or what one of them pays alone where that is more, as by an agreed value. Together they pay no more.
    """

    method: Annotated[
        Literal["primary_excess", "pro_rata"],
        Meta(
            description="One after the other up to the loss, each what it would pay alone; or each the part of the "
            "loss that its limit has of all limits, and no more than alone. Without a limit counts what it pays alone."
        ),
    ]
    policies: Annotated[
        tuple[Identifier, ...], Meta(min_length=2, max_length=20, description="In the order in which they pay.")
    ]


class Answer(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What somebody said: it settles a term of a policy, or a fact of the build. The newest stands.

    Newest by `said_on`; of the same day, the later in the list. One without a day is older than one with a day.
    """

    value: bool | Whole | Real | ShortText | None
    policy: Identifier | None = None
    term: Identifier | None = None
    fact: Identifier | None = None
    said_by: ShortText | None = None
    said_on: date | None = None
    reference: ShortText | None = None
