"""The stages of a settlement: its steps in their order, and what those to come may still look at.

First what is covered at all: exclusions, the extent of the loss, the registered class, own labor. Then the value on the
policy's basis, with tax and fees of a total loss added. Then the terms in the policy's order, by default sublimits,
coinsurance, deductible, limit: the coinsurance ratio comes before the deductible, the deductible comes off the loss,
and the limit caps what is left, as in the published examples. Last the salvage that the insured keeps.
"""

from collections.abc import Callable, Mapping
from functools import cache
from types import MappingProxyType
from typing import NamedTuple

from hitchworth.coverage.account import Account
from hitchworth.coverage.claim import COMPARABLE_PRICE, SALVAGE, VERDICT, Claim, known
from hitchworth.coverage.steps import (
    add_tax_and_fees,
    apply_coinsurance,
    apply_deductible,
    apply_limit,
    apply_sublimits,
    open_account,
    settle_class,
    settle_exclusions,
    settle_extent,
    settle_own_labor,
    settle_value,
    take_salvage,
)
from hitchworth.model.policy import DEFAULT_ORDER, SettlementStep


class Stage(NamedTuple):
    """One step of a settlement."""

    run: Callable[[Account, Claim], Account]
    """From the account before it and the claim to the account after it. Raises OpenTermError for a term not known."""
    reads: tuple[str, ...]
    """The terms of the policy that it looks at."""


_VALUE_TERMS = (
    VERDICT,
    "basis",
    "amount",
    "values_by",
    "depreciates_labor",
    "deducts_obsolescence",
    COMPARABLE_PRICE,
    "replacement_years",
    "betterment_categories",
    "counts_own_labor",
    "settles_as",
)

_FIRST_STAGES = (
    Stage(settle_exclusions, ("covers_damage", "covers_perils", "covers_situations", "covers_under_construction")),
    Stage(settle_extent, (*_VALUE_TERMS, "total_loss_threshold", SALVAGE)),
    Stage(settle_class, _VALUE_TERMS),
    Stage(settle_own_labor, _VALUE_TERMS),
    Stage(settle_value, _VALUE_TERMS),
    Stage(add_tax_and_fees, (*_VALUE_TERMS, "total_loss_tax_rate", "adds_tax_to_stated_amount")),
)

_ORDERED_STAGES: Mapping[SettlementStep, Stage] = MappingProxyType(
    {
        "sublimits": Stage(apply_sublimits, (*_VALUE_TERMS, "contents_limit", "custom_equipment_limit")),
        "coinsurance": Stage(apply_coinsurance, (*_VALUE_TERMS, "coinsurance_rate", "limit")),
        "deductible": Stage(apply_deductible, (*_VALUE_TERMS, "deductible", "limit")),
        "limit": Stage(apply_limit, ("limit",)),
    }
)

_FLAT_DEDUCTIBLE = Stage(apply_deductible, ("deductible",))
"""The same where no peril has a deductible of its own, which may be a share of the value or of the limit."""

FIRST_ORDERED_STAGE = len(_FIRST_STAGES)
"""The place of the first stage whose order the policy sets. From there on nothing is added to an amount of 0."""

STAGES = len(_FIRST_STAGES) + len(_ORDERED_STAGES) + 1
"""How many stages there are after the account was opened."""


class Ahead(NamedTuple):
    """What the settlement may still look at from a stage on."""

    terms: frozenset[str]
    parts: bool
    """Whether it looks at the parts of the value: the lines, and what was added to them."""


def stage_at(place: int, claim: Claim) -> Stage:
    """Return the stage at a place. Those of the policy's terms come in its order; others follow in the customary one.

    Raises OpenTermError where the order is needed and not known.
    """
    if place < FIRST_ORDERED_STAGE:
        return _FIRST_STAGES[place]
    if place == STAGES - 1:
        return Stage(take_salvage, ())
    return _ordered_stages(known(claim.policy.order, "order"))[place - FIRST_ORDERED_STAGE]


def ahead_of(place: int, claim: Claim) -> Ahead:
    """Return what the stage at the place and those after it may look at."""
    policy = claim.policy
    return _ahead(
        place,
        policy.order,
        flat=not policy.peril_deductibles,
        coinsures=policy.coinsurance_rate != 0,
        keeps_salvage=claim.loss.salvage_kept,
    )


def settle_claim(claim: Claim) -> Account:
    """Return the account of a claim whose terms are known as far as they are needed. Raises OpenTermError otherwise."""
    account = open_account(claim)
    for place in range(STAGES):
        if account.covered:
            account = stage_at(place, claim).run(account, claim)
    return account


@cache
def _ordered_stages(order: tuple[SettlementStep, ...]) -> tuple[Stage, ...]:
    steps = (*order, *(step for step in DEFAULT_ORDER if step not in order))
    return tuple(_ORDERED_STAGES[step] for step in steps)


@cache
def _ahead(
    place: int, order: tuple[SettlementStep, ...] | None, *, flat: bool, coinsures: bool, keeps_salvage: bool
) -> Ahead:
    left = max(place - FIRST_ORDERED_STAGE, 0)
    ordered = tuple(_ORDERED_STAGES.values()) if order is None else _ordered_stages(order)[left:]
    ordered = ordered if left < len(_ORDERED_STAGES) else ()
    if not coinsures:
        ordered = tuple(stage for stage in ordered if stage.run is not apply_coinsurance)
    if flat:
        ordered = tuple(_FLAT_DEDUCTIBLE if stage.run is apply_deductible else stage for stage in ordered)
    stages = (*_FIRST_STAGES[place:], *ordered)
    terms = {term for stage in stages for term in stage.reads}
    if ordered:
        terms.add("order")
    if keeps_salvage and place < FIRST_ORDERED_STAGE:  # it comes off what is taxed; from there on the account holds it
        terms.add(SALVAGE)
    return Ahead(frozenset(terms), parts=any(map(_uses_parts, stages)))


def _uses_parts(stage: Stage) -> bool:
    return stage in _FIRST_STAGES or stage.run is apply_sublimits
