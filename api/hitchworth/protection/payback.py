"""How many years it takes a device to pay for itself by the discount you entered. No discount is assumed."""

from collections.abc import Sequence
from decimal import ROUND_HALF_UP, Decimal

from hitchworth.model.build import Build, Protection
from hitchworth.model.policy import Policy
from hitchworth.model.protection import Payback
from hitchworth.reference.currencies import exponent_of

_YEARS = Decimal("0.01")


def paybacks(build: Build, policies: Sequence[Policy]) -> tuple[Payback, ...]:
    """Return the payback of each measure with a cost or a discount."""
    minor_unit = Decimal(1).scaleb(-(exponent_of(build.currency) or 0))
    return tuple(_payback(each, policies, minor_unit) for each in build.protections or () if _has_money(each))


def _has_money(protection: Protection) -> bool:
    figures = (protection.cost, protection.annual_discount, protection.premium_discount_rate)
    return any(figure is not None for figure in figures)


def _payback(protection: Protection, policies: Sequence[Policy], minor_unit: Decimal) -> Payback:
    saving = _annual_saving(protection, policies, minor_unit)
    return Payback(
        measure=protection.name,
        cost=protection.cost,
        annual_saving=saving,
        years=_years(protection.cost, saving),
    )


def _years(cost: Decimal | None, saving: Decimal | None) -> Decimal | None:
    """Return cost / saving; None when a figure is missing, or when nothing is saved and it never pays back."""
    if cost is None or not saving:
        return None
    return (cost / saving).quantize(_YEARS, ROUND_HALF_UP)


def _annual_saving(protection: Protection, policies: Sequence[Policy], minor_unit: Decimal) -> Decimal | None:
    """Return the discount entered, else its rate x the premium; None when either is unknown."""
    if protection.annual_discount is not None:
        return protection.annual_discount
    premium = _premium(protection, policies)
    if protection.premium_discount_rate is None or premium is None:
        return None
    return (premium * protection.premium_discount_rate).quantize(minor_unit, ROUND_HALF_UP)


def _premium(protection: Protection, policies: Sequence[Policy]) -> Decimal | None:
    """Return the premium of the named policy; without a name, of the only policy."""
    if protection.policy is None:
        return policies[0].annual_premium if len(policies) == 1 else None
    return next((policy.annual_premium for policy in policies if policy.name == protection.policy), None)
