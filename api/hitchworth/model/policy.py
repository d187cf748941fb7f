"""A policy on the table, and a loss to try it against. A term that is null is not yet known, and raises a question."""

from datetime import date
from decimal import Decimal
from typing import Annotated, Literal, TypeAlias

from msgspec import Meta, Struct, field

from hitchworth.model.numbers import Amount, Days, Rate, Real, Share, Whole, Years
from hitchworth.model.strings import Identifier, ShortText

Basis: TypeAlias = Literal["actual_cash_value", "replacement_cost", "agreed_value", "stated_amount", "market_value"]
SettlesAs: TypeAlias = Literal["registered_class", "built_use"]
ValuesBy: TypeAlias = Literal["cost_less_depreciation", "market_value", "broad_evidence"]
SettlementStep: TypeAlias = Literal["sublimits", "coinsurance", "deductible", "limit"]
PolicyKind: TypeAlias = Literal[
    "tow_vehicle_extension", "recreational_vehicle", "homeowners", "scheduled_property", "builders_risk", "commercial"
]
Situation: TypeAlias = Literal["stored", "towed", "lived_in", "rented_out", "abroad"]
AbsentTerm: TypeAlias = Literal[
    "limit",
    "custom_equipment_limit",
    "contents_limit",
    "holdback_days",
    "replacement_years",
    "depreciation_cap",
    "total_loss_threshold",
    "lender",
]
"""The terms whose absence neither 0 nor [] can say."""
Extent: TypeAlias = Literal["total", "partial"]

DEFAULT_ORDER: tuple[SettlementStep, ...] = ("sublimits", "coinsurance", "deductible", "limit")
"""Sublimits on the loss, the coinsurance ratio, the deductible off the loss, then the limit as a cap."""


ExpenseKind: TypeAlias = Literal["towing", "storage", "loss_of_use"]


class Sublimit(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True, gc=False):
    """The most that is paid for one category of the build, or for a group of categories."""

    category: Annotated[
        Identifier,
        Meta(description="A category of the build. For contents and custom equipment there are terms of their own."),
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
    """The terms of one policy, as far as they are known.

    Every term has three states. Left out or null: not known; the settlement takes the least favorable plausible answer
    and raises a question. A value: known. Known to be absent: 0, an empty list, or the name of the term in `without`.
    """

    name: Annotated[Identifier, Meta(description="What you call the policy. Answers and settlements refer to it.")]
    kind: Annotated[
        PolicyKind | None,
        Meta(description="What kind of policy it is. What is plausible for every open term depends on it."),
    ] = None
    covers_damage: Annotated[
        bool | None,
        Meta(
            description="Whether damage to the trailer itself is covered at all, or only liability. A policy that states "
            "how it pays for damage (a basis, an amount, a limit, a deductible ...) is taken to cover it."
        ),
    ] = None
    basis: Annotated[
        Basis | None,
        Meta(description="The basis on which damage is settled."),
    ] = None
    amount: Annotated[
        Amount | None,
        Meta(description="The agreed value, the stated amount, or the market value by which the insurer settles."),
    ] = None
    limit: Annotated[
        Amount | None, Meta(description="The most that is paid for one loss. None: list it in `without`.")
    ] = None
    deductible: Annotated[Amount | None, Meta(description="What comes off every loss. None: 0.")] = None
    coinsurance_rate: Annotated[
        Share | None, Meta(description="Share of the value that must be insured; 0: no such clause.")
    ] = None
    order: Annotated[
        Annotated[tuple[SettlementStep, ...], Meta(max_length=4)] | None,
        Meta(
            description="The order in which the steps are taken. Steps that are not named follow in the customary order: "
            "sublimits, coinsurance, deductible, limit.",
        ),
    ] = None
    sublimits: Annotated[
        Annotated[tuple[Sublimit, ...], Meta(max_length=200)] | None,
        Meta(description="Limits for single categories of parts. None: []."),
    ] = None
    custom_equipment_limit: Annotated[
        Amount | None,
        Meta(
            description="The most that is paid for custom equipment: everything that a plain trailer of the registered "
            "class does not have. 0: not covered. No such limit: list it in `without`."
        ),
    ] = None
    contents_limit: Annotated[
        Amount | None,
        Meta(
            description="The most that is paid for contents: loose things that are not attached to the trailer. 0: not "
            "covered. No such limit: list it in `without`."
        ),
    ] = None
    settles_as: Annotated[
        SettlesAs | None,
        Meta(description="Whether a claim is settled as a trailer of the registered class or as what it is built for."),
    ] = None
    counts_own_labor: Annotated[
        bool | None, Meta(description="Whether the builder's own hours count toward the value of the trailer.")
    ] = None
    values_by: Annotated[ValuesBy | None, Meta(description="How the insurer finds the actual cash value.")] = None
    depreciates_labor: Annotated[
        bool | None, Meta(description="Whether depreciation is taken on labor as well as on parts.")
    ] = None
    holdback: Annotated[
        bool | None,
        Meta(description="Replacement cost: the depreciation is paid only once the trailer has been replaced."),
    ] = None
    holdback_days: Annotated[
        Days | None,
        Meta(description="Days after the loss in which held-back depreciation can be claimed. No limit: in `without`."),
    ] = None
    replacement_years: Annotated[
        Years | None,
        Meta(
            description="Replacement cost of a total loss up to this age of the trailer, actual cash value after it. No "
            "such limit: in `without`."
        ),
    ] = None
    depreciation_cap: Annotated[
        Share | None, Meta(description="The most that depreciation may take off one line. No cap: in `without`.")
    ] = None
    betterment_categories: Annotated[
        Annotated[tuple[Identifier, ...], Meta(max_length=100)] | None,
        Meta(
            description="Replacement cost, partial loss: categories whose depreciation is taken off all the same. None: [].",
        ),
    ] = None
    total_loss_threshold: Annotated[
        Share | None,
        Meta(
            description="A repair at or above this share of the value is a total loss. Repair plus salvage at or above the "
            "value: list it in `without`."
        ),
    ] = None
    total_loss_tax_rate: Annotated[
        Rate | None, Meta(description="Sales tax that is paid on top of a total loss. None: 0.")
    ] = None
    total_loss_fees: Annotated[
        Amount | None, Meta(description="Title and transfer fees that are paid on a total loss. None: 0.")
    ] = None
    adds_tax_to_stated_amount: Annotated[
        bool | None,
        Meta(description="Stated amount: whether tax and fees of a total loss are paid on top of the stated amount."),
    ] = None
    excluded_perils: Annotated[
        Annotated[tuple[Identifier, ...], Meta(max_length=100)] | None,
        Meta(
            description="Every peril that the wording excludes. Once this is given, the others are covered, except gradual "
            "damage (rot, wear, mold ...), which is excluded by custom. None: [].",
        ),
    ] = None
    covers_perils: Annotated[
        dict[Identifier, bool | None],
        Meta(
            max_length=100,
            description="For single perils, whether they are covered. Goes before excluded_perils; null: not known.",
        ),
    ] = field(default_factory=dict)
    covers_situations: Annotated[
        dict[Situation, bool | None],
        Meta(
            description="Whether the trailer is covered while it is stored, towed, lived in, rented out or abroad; null or "
            "left out: not known. Asked only for situations that a loss names."
        ),
    ] = field(default_factory=dict)
    peril_deductibles: Annotated[
        Annotated[tuple[PerilDeductible, ...], Meta(max_length=100)] | None,
        Meta(description="Deductibles for single perils, in place of `deductible`. None: []."),
    ] = None
    covers_under_construction: Annotated[
        bool | None, Meta(description="Whether it covers the trailer before the build's completed_on.")
    ] = None
    knows_built_use: Annotated[
        bool | None,
        Meta(
            description="Whether the insurer was told what the trailer is built for, where its registered class differs."
        ),
    ] = None
    lender: Annotated[
        ShortText | None, Meta(description="The lender who is named as loss payee. None: list it in `without`.")
    ] = None
    loan_balance: Annotated[Amount | None, Meta(description="What is owed to the lender, who is paid first.")] = None
    allowances: Annotated[
        Annotated[tuple[Allowance, ...], Meta(max_length=20)] | None,
        Meta(description="What it pays toward towing, storage and loss of use. None: []."),
    ] = None
    annual_premium: Annotated[Amount | None, Meta(description="The premium for one year.")] = None
    without: Annotated[
        tuple[AbsentTerm, ...],
        Meta(max_length=20, description="Terms that the policy is known not to have, where neither 0 nor [] says so."),
    ] = ()


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
    extent: Annotated[Extent, Meta(description="Whether the whole trailer is lost, or what `damage` names.")] = "total"
    occurred_on: Annotated[
        date | None, Meta(description="The trailer is valued on this date. Default: as_of of the request.")
    ] = None
    situations: Annotated[
        tuple[Situation, ...],
        Meta(max_length=5, description="Where and how it happened: stored, towed, lived in, rented out, abroad."),
    ] = ()
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
