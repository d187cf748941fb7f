"""One policy and one loss brought together: what is destroyed, and what of it the policy looks at."""

from decimal import Decimal
from fractions import Fraction

from msgspec import Struct
from msgspec.structs import replace

from hitchworth.cover.circumstances import Circumstances, by_category
from hitchworth.cover.damage import ClassTrailer, Destroyed, Round, replacement_cost
from hitchworth.model.policy import Loss, Policy
from hitchworth.reference.total_loss_thresholds import total_loss_threshold

ZERO = Decimal(0)


class Case(Struct, frozen=True):
    """Everything that one settlement is made from. The policy's terms are all known or assumed."""

    policy: Policy
    loss: Loss
    lost: tuple[Destroyed, ...]
    whole: tuple[Destroyed, ...]
    plain_trailer: ClassTrailer
    by_class: bool
    """The policy owes no more than a plain trailer of the registered class."""
    excluded: bool
    unfinished: bool
    """The trailer was under construction and the policy does not cover it then."""
    takes_wear: bool
    """Wear comes off for good, not only until replacement."""
    rounded: Round
    total: bool
    constructive: bool
    """A partial loss that counts as total, because its repair costs too much."""


def case_of(policy: Policy, around: Circumstances) -> Case:
    """Bring policy and loss together; a partial loss at or over the threshold becomes a constructive total loss."""
    loss, rounded = around.loss, around.rounded
    policy = _in_minor_units(policy, rounded)
    lost, whole = _capped(policy, around)
    constructive = loss.extent == "partial" and _is_constructive_total_loss(policy, around, lost, whole)
    total = constructive or loss.extent == "total"
    too_old = policy.replacement_years is not None and around.age_years > policy.replacement_years
    return Case(
        policy=policy,
        loss=loss,
        lost=whole if constructive else lost,
        whole=whole,
        plain_trailer=around.plain_trailer,
        by_class=policy.settles_as != "built_use" and around.verdict != "match" and policy.basis != "agreed_value",
        excluded=loss.peril in policy.excluded_perils,
        unfinished=around.under_construction and policy.covers_under_construction is not True,
        takes_wear=policy.basis != "replacement_cost" or not loss.replaced or (total and too_old),
        rounded=rounded,
        total=total,
        constructive=constructive,
    )


def _is_constructive_total_loss(
    policy: Policy, around: Circumstances, lost: tuple[Destroyed, ...], whole: tuple[Destroyed, ...]
) -> bool:
    """Repair at or above the threshold's share of the value, or repair + salvage at or above the value."""
    repair, value = replacement_cost(lost), _value_before_loss(policy, whole)
    threshold = policy.total_loss_threshold
    if threshold is None:
        threshold = total_loss_threshold(around.build.jurisdiction).share
    if not repair:
        return False
    if threshold is None:
        return repair + (around.loss.salvage_value or ZERO) >= value
    return repair >= around.rounded(Fraction(threshold) * Fraction(value))


def _value_before_loss(policy: Policy, whole: tuple[Destroyed, ...]) -> Decimal:
    """The agreed value, or the actual cash value of the trailer as built."""
    if policy.basis == "agreed_value":
        return policy.amount or ZERO
    kept = policy.depreciates_labor is False
    wear = (line.depreciation + (ZERO if kept else line.labor_depreciation) for line in whole)
    return replacement_cost(whole) - sum(wear, ZERO)


def _capped(policy: Policy, around: Circumstances) -> tuple[tuple[Destroyed, ...], tuple[Destroyed, ...]]:
    """What is lost and what there was, by category, the wear of each line at most at the policy's cap."""
    cap = policy.depreciation_cap
    if cap is None:
        return around.lost, around.whole

    def at_most(line: Destroyed) -> Destroyed:
        most = around.rounded(Fraction(cap) * Fraction(line.replacement_cost))
        wear, labor = min(line.depreciation, most), min(line.labor_depreciation, most)
        return replace(line, depreciation=wear, labor_depreciation=labor)

    return by_category(tuple(map(at_most, around.lines_lost))), by_category(tuple(map(at_most, around.lines_whole)))


def _in_minor_units(policy: Policy, rounded: Round) -> Policy:
    """The policy with its amounts in the decimals of the currency, so that every step has them too."""

    def amount(given: Decimal | None) -> Decimal | None:
        return None if given is None else rounded(Fraction(given))

    return replace(
        policy,
        amount=amount(policy.amount),
        limit=amount(policy.limit),
        deductible=amount(policy.deductible),
        total_loss_fees=rounded(Fraction(policy.total_loss_fees)),
        sublimits=tuple(replace(sublimit, amount=rounded(Fraction(sublimit.amount))) for sublimit in policy.sublimits),
    )
