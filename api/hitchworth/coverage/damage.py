"""What a loss destroys: line by line, at replacement cost, with the wear that a policy may take off."""

from collections.abc import Callable
from decimal import Decimal
from fractions import Fraction
from typing import TypeAlias

from msgspec import Struct

from hitchworth.model.build import Base
from hitchworth.model.estimate import Estimate, EstimateLine
from hitchworth.model.policy import Loss
from hitchworth.reference.schedules import base_categories

Round: TypeAlias = Callable[[Fraction], Decimal]
"""Rounds to the minor unit of the currency."""


class Valued(Struct, frozen=True):
    """The build on the day of the loss under two rules of labor: kept at its value, and aged."""

    labor_kept: Estimate
    labor_aged: Estimate


class Destroyed(Struct, frozen=True):
    """The destroyed part of one line, wear of parts and of labor apart: a policy may take the one and not the other."""

    category: str
    replacement_cost: Decimal
    depreciation: Decimal
    labor_depreciation: Decimal
    of_base: bool
    """The line belongs to what a plain trailer of the registered class comes with."""


class PlainTrailer(Struct, frozen=True):
    """A plain trailer of the registered class, equal in size: all that a policy owes that settles by the class."""

    replacement_cost: Decimal
    depreciation: Decimal


def destroyed(loss: Loss, valued: Valued, rounded: Round) -> tuple[Destroyed, ...]:
    """The lines that the loss destroys, wholly or in part. A line named by id is not also destroyed by its category."""
    by_id = {damage.id: damage.fraction for damage in loss.damage if damage.id is not None}
    by_category = {damage.category: damage.fraction for damage in loss.damage if damage.category is not None}
    aged = {line.id: line for line in valued.labor_aged.lines}

    def fraction(line: EstimateLine) -> Fraction:
        if loss.extent == "total":
            return Fraction(1)
        return Fraction(by_id.get(line.id, by_category.get(line.category, Decimal(0))))

    return tuple(
        _part(line, aged[line.id], fraction(line), rounded) for line in valued.labor_kept.lines if fraction(line)
    )


def replacement_cost(lines: tuple[Destroyed, ...]) -> Decimal:
    """What the destroyed lines cost to replace."""
    return sum((line.replacement_cost for line in lines), Decimal(0))


def plain_trailer(base: Base | None, valued: Valued, rounded: Round) -> PlainTrailer:
    """The comparable trailer, worn like the base components; without a comparable price, the base components."""
    bases = base_categories()
    lines = [line for line in valued.labor_kept.lines if line.kind == "component" and line.category in bases]
    replacement = sum((line.replacement_cost for line in lines), Decimal(0))
    depreciation = sum((line.depreciation for line in lines), Decimal(0))
    if base is None or base.comparable_price is None:
        return PlainTrailer(replacement, depreciation)
    worn = Fraction(depreciation) / Fraction(replacement) if replacement else Fraction(0)
    return PlainTrailer(rounded(Fraction(base.comparable_price)), rounded(Fraction(base.comparable_price) * worn))


def plain_line(plain: PlainTrailer) -> Destroyed:
    """The plain trailer as one line."""
    return Destroyed("plain_trailer", plain.replacement_cost, plain.depreciation, Decimal(0), of_base=True)


def _part(kept: EstimateLine, aged: EstimateLine, fraction: Fraction, rounded: Round) -> Destroyed:
    replacement = rounded(fraction * Fraction(kept.replacement_cost))
    wear = aged.depreciation if kept.kind == "labor" else kept.depreciation
    depreciation = rounded(fraction * Fraction(wear))
    return Destroyed(
        category=kept.category,
        replacement_cost=replacement,
        depreciation=Decimal(0) if kept.kind == "labor" else depreciation,
        labor_depreciation=depreciation if kept.kind == "labor" else Decimal(0),
        of_base=kept.kind == "component" and kept.category in base_categories(),
    )
