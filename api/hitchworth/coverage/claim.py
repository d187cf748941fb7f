"""One policy and one loss brought together, once: under however many answers to its open terms it is then settled."""

from collections.abc import Callable
from decimal import Decimal
from fractions import Fraction

from msgspec import Struct
from msgspec.structs import replace

from hitchworth.coverage.circumstances import LossContext, by_category
from hitchworth.coverage.damage import Destroyed, Round, plain_line
from hitchworth.model.policy import Loss, Policy


class Claim(Struct, frozen=True):
    """The policy, and what it looks at: the lines by category, their wear at most at the policy's cap."""

    policy: Policy
    loss: Loss
    around: LossContext
    lost: tuple[Destroyed, ...]
    whole: tuple[Destroyed, ...]
    plain: Destroyed
    """A plain trailer of the registered class."""

    @property
    def rounded(self) -> Round:
        return self.around.rounded


def claim_of(policy: Policy, around: LossContext) -> Claim:
    """Bring policy and loss together, every amount in the decimals of the currency."""
    cap = _cap(policy, around.rounded)
    return Claim(
        policy=_policy_in_minor_units(policy, around.rounded),
        loss=_loss_in_minor_units(around.loss, around.rounded),
        around=around,
        lost=by_category(tuple(map(cap, around.lost))),
        whole=by_category(tuple(map(cap, around.whole))),
        plain=cap(plain_line(around.plain_trailer)),
    )


def _cap(policy: Policy, rounded: Round) -> Callable[[Destroyed], Destroyed]:
    share = policy.depreciation_cap
    if share is None:
        return lambda line: line

    def capped(line: Destroyed) -> Destroyed:
        most = rounded(Fraction(share) * Fraction(line.replacement_cost))
        wear, labor = min(line.depreciation, most), min(line.labor_depreciation, most)
        return replace(line, depreciation=wear, labor_depreciation=labor)

    return capped


def _policy_in_minor_units(policy: Policy, rounded: Round) -> Policy:
    def amount(given: Decimal | None) -> Decimal | None:
        return None if given is None else rounded(Fraction(given))

    return replace(
        policy,
        amount=amount(policy.amount),
        limit=amount(policy.limit),
        deductible=amount(policy.deductible),
        total_loss_fees=rounded(Fraction(policy.total_loss_fees)),
        annual_premium=amount(policy.annual_premium),
        sublimits=tuple(replace(each, amount=rounded(Fraction(each.amount))) for each in policy.sublimits),
        peril_deductibles=tuple(
            replace(each, minimum=rounded(Fraction(each.minimum))) for each in policy.peril_deductibles
        ),
        allowances=tuple(replace(each, limit=rounded(Fraction(each.limit))) for each in policy.allowances),
    )


def _loss_in_minor_units(loss: Loss, rounded: Round) -> Loss:
    def amount(given: Decimal | None) -> Decimal | None:
        return None if given is None else rounded(Fraction(given))

    return replace(loss, salvage_value=amount(loss.salvage_value), amount_spent=amount(loss.amount_spent))
