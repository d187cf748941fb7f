"""A loss to settle under policies."""

from datetime import date
from typing import Annotated, Literal, TypeAlias

from msgspec import Meta, Struct

from hitchworth.model.numbers import Amount, Days, Share
from hitchworth.model.strings import Identifier, ShortText

Situation: TypeAlias = Literal["stored", "towed", "lived_in", "rented_out", "abroad"]
"""Where and how a loss happens.

stored: while the trailer is parked or in storage
towed: while it is towed
lived_in: while somebody lives in it
rented_out: while it is rented out or lent
abroad: in another country
"""

Extent: TypeAlias = Literal["total", "partial"]
"""How much a loss destroys.

total: everything in the trailer on that day
partial: the damage that the loss lists
"""

ExpenseKind: TypeAlias = Literal["towing", "storage", "loss_of_use"]
"""What a loss costs beside the trailer.

towing: towing it away
storage: storing it
loss_of_use: a rental or lodging while it is gone
"""


class Damage(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True, gc=False):
    """How much of a line, or of every line of a category, a partial loss destroys. Name one of the two."""

    fraction: Annotated[Share, Meta(description="The part that is destroyed, of cost and value alike.")]
    id: Annotated[
        Identifier | None,
        Meta(description="Id of a component or labor entry. It wins over the category of the line. Null: by category."),
    ] = None
    category: Annotated[
        Identifier | None, Meta(description="A category of the build: every line of it. Null: by id.")
    ] = None


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
    extent: Annotated[Extent, Meta(description="How much it destroys.")] = "total"
    occurred_on: Annotated[
        date | None,
        Meta(
            description="Day of the loss; the trailer is valued on it. It may be in the future. Null: a loss that is "
            "only supposed, on the valuation date."
        ),
    ] = None
    claim_number: Annotated[
        ShortText | None, Meta(description="The insurer's number of the claim. Null: none on record.")
    ] = None
    police_report_number: Annotated[
        ShortText | None, Meta(description="The number of the report to the police. Null: none on record.")
    ] = None
    situations: Annotated[
        tuple[Situation, ...], Meta(max_length=5, description="Where and how it happens. Empty: nothing special.")
    ] = ()
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
            description="What the wreck is worth, in the build's currency; it may make a repair a total loss. Nothing: "
            "0. Null: not known; where it moves the payment, the less favorable of 10 and 40 percent of the value "
            "is taken, and a question is raised."
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
