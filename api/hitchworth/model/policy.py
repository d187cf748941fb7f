"""A policy, and how several share a loss. A term that is null is not yet known, and raises a question."""

from decimal import Decimal
from typing import Annotated, Literal, TypeAlias

from msgspec import Meta, Struct

from hitchworth.model.loss import ExpenseKind, Situation
from hitchworth.model.numbers import Amount, Days, Rate, Share, Years
from hitchworth.model.strings import Identifier, ShortText

Basis: TypeAlias = Literal["actual_cash_value", "replacement_cost", "agreed_value", "stated_amount", "market_value"]
"""The basis of settlement: how the policy values a loss.

actual_cash_value: replacement cost less depreciation
replacement_cost: replacement cost new, once the trailer has been replaced; actual cash value until then
agreed_value: the amount agreed with the insurer for a total loss; repair cost up to it for a partial one
stated_amount: the least of the amount stated, the actual cash value and the cost of repair
market_value: up to the market value in `amount`, or else that of the build; without one, actual cash value
"""

SettlesAs: TypeAlias = Literal["registered_class", "built_use"]
"""As what the policy settles a trailer whose built use differs from its registered class.

registered_class: as a plain trailer of the registered class; what was built onto it is not owed
built_use: as the camping trailer that it is
"""

PolicyKind: TypeAlias = Literal[
    "tow_vehicle_extension", "recreational_vehicle", "homeowners", "scheduled_property", "builders_risk", "commercial"
]
"""What kind of policy it is; what is customary depends on it.

tow_vehicle_extension: an extension of the tow vehicle's auto policy to the trailer
recreational_vehicle: a policy written for recreational vehicles or caravans
homeowners: a homeowners, renters or contents policy
scheduled_property: scheduled personal property, or inland marine
builders_risk: builder's risk or an installation floater, while the trailer is built
commercial: a commercial auto or garage policy
"""

ValuesBy: TypeAlias = Literal["cost_less_depreciation", "market_value", "broad_evidence"]
"""How the insurer finds actual cash value.

cost_less_depreciation: replacement cost less depreciation
market_value: what such trailers sell for
broad_evidence: every fact that bears on the value; it may come to either of the two
"""

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
"""A term whose absence neither 0 nor an empty list can say.

limit: no limit but the value
custom_equipment_limit: custom equipment is covered like the rest
contents_limit: contents are covered like the rest
holdback_days: no time limit for claiming what was held back
replacement_years: replacement cost at any age
depreciation_cap: no cap on depreciation
total_loss_threshold: repair plus salvage is compared with the value
lender: no lender is named on the policy
"""

ABSENT = "none"
"""What an answer says of a term that the policy does not have."""

SettlementStep: TypeAlias = Literal["sublimits", "coinsurance", "deductible", "limit"]
"""A step of the settlement after the value.

sublimits: caps the categories that have a sublimit
coinsurance: pays the ratio of insurance carried to insurance required
deductible: takes the deductible off
limit: caps the payment
"""

DeductibleBase: TypeAlias = Literal["loss", "limit", "value"]
"""What the rate of a deductible is taken of.

loss: of the running amount of the loss when the deductible is due
limit: of the limit, or of the agreed or stated amount where there is no limit
value: of the value of the whole trailer on the policy's basis
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
    """The most that is paid for one category of the build."""

    category: Annotated[
        Identifier,
        Meta(description="A category of the build. Contents and custom equipment have terms of their own."),
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
    """The terms of one policy, as far as they are known.

    Every term has three states. Left out or null: not known; the settlement takes the least favorable plausible answer
    and raises a question. A value: known. Known to be absent: 0, an empty list, or the name of the term in `without`.
    """

    name: Annotated[Identifier, Meta(description="What you call the policy. Answers and settlements refer to it.")]
    kind: Annotated[
        PolicyKind | None,
        Meta(
            description="What kind of policy it is. What is plausible for every open term depends on it. Null: not "
            "known."
        ),
    ] = None
    covers_damage: Annotated[
        bool | None,
        Meta(
            description="Whether damage to the trailer itself is covered at all, or only liability. A policy that "
            "states how it pays for damage (a basis, an amount, a limit, a deductible ...) is taken to "
            "cover it. Null: not known."
        ),
    ] = None
    basis: Annotated[
        Basis | None,
        Meta(description="The basis on which damage is settled. Null: not known."),
    ] = None
    amount: Annotated[
        Amount | None,
        Meta(
            description="The agreed value, the stated amount, or the market value by which the insurer settles. Null: "
            "not known."
        ),
    ] = None
    limit: Annotated[
        Amount | None,
        Meta(description="The most that is paid for one loss. None: list it in `without`. Null: not known."),
    ] = None
    deductible: Annotated[Amount | None, Meta(description="What comes off every loss. None: 0. Null: not known.")] = (
        None
    )
    coinsurance_rate: Annotated[
        Share | None, Meta(description="Share of the value that must be insured; 0: no such clause. Null: not known.")
    ] = None
    order: Annotated[
        Annotated[tuple[SettlementStep, ...], Meta(max_length=4)] | None,
        Meta(
            description="The order in which the steps are taken. Steps that are not named follow in the customary "
            "order: sublimits, coinsurance, deductible, limit. Null: not known.",
        ),
    ] = None
    sublimits: Annotated[
        Annotated[tuple[Sublimit, ...], Meta(max_length=200)] | None,
        Meta(description="Limits for single categories of parts. None: []. Null: not known."),
    ] = None
    custom_equipment_limit: Annotated[
        Amount | None,
        Meta(
            description="The most that is paid for custom equipment: everything that a plain trailer of the "
            "registered class does not have. 0: not covered. No such limit: list it in `without`. Null: "
            "not known."
        ),
    ] = None
    contents_limit: Annotated[
        Amount | None,
        Meta(
            description="The most that is paid for contents: loose things that are not attached to the trailer. 0: "
            "not covered. No such limit: list it in `without`. Null: not known."
        ),
    ] = None
    settles_as: Annotated[
        SettlesAs | None,
        Meta(
            description="Whether a claim is settled as a trailer of the registered class or as what it is built for. "
            "Null: not known."
        ),
    ] = None
    counts_own_labor: Annotated[
        bool | None,
        Meta(description="Whether the builder's own hours count toward the value of the trailer. Null: not known."),
    ] = None
    values_by: Annotated[
        ValuesBy | None, Meta(description="How the insurer finds the actual cash value. Null: not known.")
    ] = None
    depreciates_labor: Annotated[
        bool | None, Meta(description="Whether depreciation is taken on labor as well as on parts. Null: not known.")
    ] = None
    deducts_obsolescence: Annotated[
        bool | None,
        Meta(
            description="Whether functional and economic obsolescence of the build come off the actual cash value, or "
            "only wear. Null: not known."
        ),
    ] = None
    holdback: Annotated[
        bool | None,
        Meta(
            description="Replacement cost: the depreciation is paid only once the trailer has been replaced. Null: "
            "not known."
        ),
    ] = None
    holdback_days: Annotated[
        Days | None,
        Meta(
            description="Days after the loss in which held-back depreciation can be claimed. No limit: in `without`. "
            "Null: not known."
        ),
    ] = None
    replacement_years: Annotated[
        Years | None,
        Meta(
            description="Replacement cost of a total loss up to this age of the trailer, actual cash value after it. "
            "No such limit: in `without`. Null: not known."
        ),
    ] = None
    depreciation_cap: Annotated[
        Share | None,
        Meta(description="The most that depreciation may take off one line. No cap: in `without`. Null: not known."),
    ] = None
    betterment_categories: Annotated[
        Annotated[tuple[Identifier, ...], Meta(max_length=100)] | None,
        Meta(
            description="Replacement cost, partial loss: categories whose depreciation is taken off all the same. "
            "None: []. Null: not known.",
        ),
    ] = None
    total_loss_threshold: Annotated[
        Share | None,
        Meta(
            description="A repair at or above this share of the value is a total loss. Repair plus salvage at or "
            "above the value: list it in `without`. Null: not known."
        ),
    ] = None
    total_loss_tax_rate: Annotated[
        Rate | None, Meta(description="Sales tax that is paid on top of a total loss. None: 0. Null: not known.")
    ] = None
    total_loss_fees: Annotated[
        Amount | None,
        Meta(description="Title and transfer fees that are paid on a total loss. None: 0. Null: not known."),
    ] = None
    adds_tax_to_stated_amount: Annotated[
        bool | None,
        Meta(
            description="Stated amount: whether tax and fees of a total loss are paid on top of the stated amount. "
            "Null: not known."
        ),
    ] = None
    excluded_perils: Annotated[
        Annotated[tuple[Identifier, ...], Meta(max_length=100)] | None,
        Meta(
            description="Every peril that the wording excludes. Once this is given, the others are covered, except "
            "gradual damage (rot, wear, mold ...), which is excluded by custom. None: []. Null: not "
            "known.",
        ),
    ] = None
    covers_perils: Annotated[
        Annotated[dict[Identifier, bool | None], Meta(max_length=100)] | None,
        Meta(
            description="For single perils, whether they are covered. Takes precedence over excluded_perils; a peril "
            "that is null is not known. Null: not known."
        ),
    ] = None
    covers_situations: Annotated[
        dict[Situation, bool | None] | None,
        Meta(
            description="Whether the trailer is covered while it is stored, towed, lived in, rented out or abroad; "
            "one that is null or left out is not known. Asked only for situations that a loss names. "
            "Null: not known."
        ),
    ] = None
    peril_deductibles: Annotated[
        Annotated[tuple[PerilDeductible, ...], Meta(max_length=100)] | None,
        Meta(description="Deductibles for single perils, in place of `deductible`. None: []. Null: not known."),
    ] = None
    covers_under_construction: Annotated[
        bool | None, Meta(description="Whether it covers the trailer before the build's completed_on. Null: not known.")
    ] = None
    knows_built_use: Annotated[
        bool | None,
        Meta(
            description="Whether the insurer was told what the trailer is built for, where its registered class "
            "differs. Null: not known."
        ),
    ] = None
    lender: Annotated[
        ShortText | None,
        Meta(description="The lender who is named as loss payee. None: list it in `without`. Null: not known."),
    ] = None
    loan_balance: Annotated[
        Amount | None, Meta(description="What is owed to the lender, who is paid first. Null: not known.")
    ] = None
    allowances: Annotated[
        Annotated[tuple[Allowance, ...], Meta(max_length=20)] | None,
        Meta(description="What it pays toward towing, storage and loss of use. None: []. Null: not known."),
    ] = None
    annual_premium: Annotated[Amount | None, Meta(description="The premium for one year. Null: not known.")] = None
    without: Annotated[
        tuple[AbsentTerm, ...],
        Meta(max_length=20, description="Terms that the policy is known not to have, where neither 0 nor [] says so."),
    ] = ()


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
