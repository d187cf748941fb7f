"""One policy and one loss brought together, and the terms of the policy as a settlement reads them."""

from collections.abc import Mapping
from fractions import Fraction
from typing import TypeVar

from msgspec import Struct

from hitchworth.coverage.loss import LossContext, PlainPrice, by_category, with_depreciation_cap
from hitchworth.coverage.loss_lines import LossLine, LossLines
from hitchworth.model.assessment import Verdict
from hitchworth.model.loss import Loss
from hitchworth.model.policy import AbsentTerm, Policy
from hitchworth.money import Money
from hitchworth.reference.perils import canonical_peril, gradual_perils

T = TypeVar("T")

VERDICT = "verdict"
"""The verdict of the classification counts as an open term while it is undetermined. Facts settle it."""

COMPARABLE_PRICE = "comparable_price"
"""The price of a plain trailer counts as an open term while it is not known. It is a field of the build's base."""

SALVAGE = "salvage_value"
"""What the wreck is worth counts as an open term where a loss does not say it. It is entered with the loss."""

DAMAGE_TERMS = (
    "basis",
    "amount",
    "limit",
    "deductible",
    "coinsurance_rate",
    "sublimits",
    "settles_as",
    "depreciates_labor",
    "holdback",
    "total_loss_tax_rate",
    "values_by",
    "counts_own_labor",
    "custom_equipment_limit",
    "peril_deductibles",
)
"""A policy on which one of these is known says how it pays for damage; so it covers damage."""


class OpenTermError(LookupError):
    """A term that a settlement needs is not known."""

    def __init__(self, term: str) -> None:
        super().__init__(term)
        self.term = term


class Claim(Struct, frozen=True):
    """A policy, a loss, and what the policy looks at: the lines by category."""

    policy: Policy
    context: LossContext
    lost: LossLines
    whole: LossLines
    plain_trailers: Mapping[PlainPrice, LossLines]
    assumes_salvage: bool = False
    """What the wreck is worth is not known: it is a plausible share of the value."""

    @property
    def plain_trailer(self) -> LossLines:
        """The plain trailer of the registered class. Raises OpenTermError while its price is not known."""
        if len(self.plain_trailers) > 1:
            raise OpenTermError(COMPARABLE_PRICE)
        (plain,) = self.plain_trailers.values()
        return plain

    @property
    def loss(self) -> Loss:
        return self.context.loss

    @property
    def money(self) -> Money:
        return self.context.money

    @property
    def verdict(self) -> Verdict:
        """The verdict of the classification. Raises OpenTermError while it is undetermined."""
        if self.context.verdict == "undetermined":
            raise OpenTermError(VERDICT)
        return self.context.verdict

    @property
    def salvage_value(self) -> int:
        """What the wreck is worth of what the policy looks at. Raises OpenTermError when it is not known.

        Salvage is what is left of the property that was insured. Where the policy owes only a plain trailer of the
        class, that is its part of the wreck, in proportion to its value. Where the worth of the wreck is not known, the
        share that is assumed is likewise one of the value that the policy counts.
        """
        whole = self.money.to_minor_units(known(self.loss.salvage_value, SALVAGE))
        return self.money.multiply(whole, self._insured_part) if self.salvage_is_in_part else whole

    @property
    def salvage_is_in_part(self) -> bool:
        """Whether only a part of the wreck counts. Raises OpenTermError for a term that it needs."""
        return self.is_by_class or (self.assumes_salvage and self.counted(self.whole) is not self.whole)

    @property
    def is_by_class(self) -> bool:
        """Whether the policy owes no more than for a plain trailer of the registered class.

        Raises OpenTermError for a term that it needs.
        """
        if known(self.policy.basis, "basis") == "agreed_value" or self.verdict == "match":
            return False
        return known(self.policy.settles_as, "settles_as") == "registered_class"

    @property
    def looks_at(self) -> LossLines:
        """What the policy looks at before the loss: the plain trailer of the class, or what counts of the one built.

        Raises OpenTermError for a term that it needs.
        """
        return self.plain_trailer if self.is_by_class else self.counted(self.whole)

    def counted(self, lines: LossLines) -> LossLines:
        """Return the lines without the builder's own hours where the policy does not count them.

        Raises OpenTermError where that is not known.
        """
        without = lines.without_own_labor
        if without is lines or known(self.policy.counts_own_labor, "counts_own_labor"):
            return lines
        return without

    @property
    def _insured_part(self) -> Fraction:
        """The share of the value of the whole that the policy looks at, after the wear of the parts."""
        part, whole = (lines.replacement_cost - lines.depreciation for lines in (self.looks_at, self.whole))
        return min(Fraction(part, whole), Fraction(1)) if whole else Fraction(0)

    @property
    def amount_of_insurance(self) -> int | None:
        """The limit; without one, the amount that was agreed or stated. Raises OpenTermError for an open limit."""
        limit = known_or_absent(self.policy.limit, "limit", self.policy)
        amount = self.policy.amount if limit is None else limit
        return None if amount is None else self.money.to_minor_units(amount)


def claim_of(policy: Policy, context: LossContext) -> Claim:
    """Return the claim; the lines' depreciation is limited by the policy's cap before they are added up."""
    cap = policy.depreciation_cap

    def capped(*lines: LossLine) -> tuple[LossLine, ...]:
        return lines if cap is None else with_depreciation_cap(lines, cap, context.money)

    lost, whole = by_category(capped(*context.lost)), by_category(capped(*context.whole))
    plain = {price: by_category(capped(*lines)) for price, lines in context.plain_trailers.items()}
    return Claim(policy, context, lost, whole, plain)


def known(value: T | None, term: str) -> T:
    """Return the value of a term. Raises OpenTermError when it is not known."""
    if value is None:
        raise OpenTermError(term)
    return value


def known_or_absent(value: T | None, term: AbsentTerm, policy: Policy) -> T | None:
    """Return the value of a term, None where the policy does not have it. Raises OpenTermError when it is not known."""
    return None if value is None and term in policy.without else known(value, term)


def is_open(policy: Policy, term: str) -> bool:
    """Return whether a term is not known: neither stated nor known to be absent."""
    name, _, key = term.partition(".")
    if key:
        return (getattr(policy, name) or {}).get(key) is None
    return getattr(policy, name) is None and name not in policy.without


def covers_damage(policy: Policy) -> bool:
    """Return whether damage to the trailer is covered at all. Raises OpenTermError when it is not known."""
    if policy.covers_damage is None and says_how_damage_is_paid(policy):
        return True
    return known(policy.covers_damage, "covers_damage")


def says_how_damage_is_paid(policy: Policy) -> bool:
    """Return whether the policy states a term that only coverage of damage has."""
    return any(getattr(policy, term) is not None for term in DAMAGE_TERMS)


def covers_peril(policy: Policy, peril: str) -> bool:
    """Return whether a peril is covered. Raises OpenTermError when it is not known.

    What the policy says of the single peril goes first, then its list of exclusions, then custom: gradual damage is
    excluded unless a policy says otherwise.
    """
    stated, excluded = _stated(policy, peril), policy.excluded_perils
    if stated is not None:
        return stated
    if is_excluded_by_custom(policy, peril):
        return False
    if excluded is None:
        raise OpenTermError(f"covers_perils.{canonical_peril(peril)}")
    return canonical_peril(peril) not in map(canonical_peril, excluded)


def is_excluded_by_custom(policy: Policy, peril: str) -> bool:
    """Return whether a peril is gradual damage of which the policy says nothing."""
    return canonical_peril(peril) in gradual_perils() and _stated(policy, peril) is None


def _stated(policy: Policy, peril: str) -> bool | None:
    """Return what the policy says of the single peril, under any of its names."""
    stated = policy.covers_perils or {}
    by_name = {canonical_peril(name): covered for name, covered in stated.items() if covered is not None}
    return by_name.get(canonical_peril(peril))
