"""A claim under one set of answers: every term of the policy is known or assumed, so it can be settled."""

from decimal import Decimal
from fractions import Fraction

from msgspec import Struct

from hitchworth.coverage.claim import Claim
from hitchworth.coverage.damage import Destroyed, replacement_cost
from hitchworth.model.assessment import Verdict
from hitchworth.model.policy import Policy
from hitchworth.reference.perils import same_peril
from hitchworth.reference.total_loss_thresholds import total_loss_threshold

ZERO = Decimal(0)


class Case(Struct, frozen=True):
    """Everything that one settlement is made from."""

    claim: Claim
    policy: Policy
    """The claim's, with every term known or assumed."""
    lost: tuple[Destroyed, ...]
    by_class: bool
    """The policy owes no more than a plain trailer of the registered class."""
    excluded: bool
    unfinished: bool
    """The trailer was under construction and the policy does not cover it then."""
    takes_wear: bool
    """Wear comes off for good, not only until replacement."""
    total: bool
    constructive: bool
    """A partial loss that counts as total, because its repair costs too much."""

    @property
    def salvage_kept(self) -> Decimal:
        """What the wreck of a total loss is worth that the insured keeps."""
        loss = self.claim.loss
        return loss.salvage_value or ZERO if self.total and loss.salvage_kept else ZERO

    def rounded(self, exact: Fraction) -> Decimal:
        """Round to the minor unit of the currency."""
        return self.claim.rounded(exact)


def case_of(claim: Claim, policy: Policy, verdict: Verdict) -> Case:
    """The claim under this policy and verdict. A partial loss at or over the threshold is a constructive total loss."""
    loss, around = claim.loss, claim.around
    by_class = policy.settles_as != "built_use" and verdict != "match" and policy.basis != "agreed_value"
    constructive = loss.extent == "partial" and _is_constructive_total_loss(claim, policy, by_class=by_class)
    total = constructive or loss.extent == "total"
    too_old = policy.replacement_years is not None and around.age_years > policy.replacement_years
    return Case(
        claim=claim,
        policy=policy,
        lost=claim.whole if constructive else claim.lost,
        by_class=by_class,
        excluded=any(same_peril(loss.peril, excluded) for excluded in policy.excluded_perils),
        unfinished=around.under_construction and policy.covers_under_construction is not True,
        takes_wear=policy.basis != "replacement_cost" or not loss.replaced or (total and too_old),
        total=total,
        constructive=constructive,
    )


def carried(policy: Policy) -> Decimal | None:
    """The amount of insurance: the limit, else the amount that was agreed or stated."""
    return policy.amount if policy.limit is None else policy.limit


def _is_constructive_total_loss(claim: Claim, policy: Policy, *, by_class: bool) -> bool:
    """Repair at or above the threshold's share of the value, or repair + salvage at or above the value."""
    lost = tuple(line for line in claim.lost if line.of_base) if by_class else claim.lost
    whole = (claim.plain,) if by_class else claim.whole
    repair, value = replacement_cost(lost), _value_before_loss(whole, policy)
    threshold = policy.total_loss_threshold
    if threshold is None:
        threshold = total_loss_threshold(claim.around.build.jurisdiction).share
    if not repair:
        return False
    if threshold is None:
        return repair + (claim.loss.salvage_value or ZERO) >= value
    return repair >= claim.rounded(Fraction(threshold) * Fraction(value))


def _value_before_loss(whole: tuple[Destroyed, ...], policy: Policy) -> Decimal:
    """The agreed value, or the actual cash value of what the policy looks at."""
    if policy.basis == "agreed_value":
        return policy.amount or ZERO
    return sum((actual_cash_value(line, policy) for line in whole), ZERO)


def actual_cash_value(line: Destroyed, policy: Policy) -> Decimal:
    """Replacement cost less wear, that of labor only where the policy takes it."""
    labor = ZERO if policy.depreciates_labor is False else line.labor_depreciation
    return line.replacement_cost - line.depreciation - labor
