"""What one loss destroys: the lines of the build on that day, and the plain trailer of the registered class.

Amounts are whole minor units of the currency, so every sum is exact.
"""

from collections.abc import Sequence
from datetime import date
from decimal import Decimal
from fractions import Fraction

from msgspec import Struct
from msgspec.structs import replace

from hitchworth.model.assessment import Verdict
from hitchworth.model.build import Base, Build
from hitchworth.model.estimate import Estimate, EstimateLine
from hitchworth.model.policy import Loss
from hitchworth.money import Money
from hitchworth.reference.category_groups import PLAIN_TRAILER
from hitchworth.reference.schedules import base_categories


class DayOfLossEstimates(Struct, frozen=True):
    """The build on the day of the loss under two rules: labor keeps its value, and labor depreciates."""

    labor_kept: Estimate
    labor_depreciated: Estimate


class LossLine(Struct, frozen=True, gc=False):
    """The destroyed part of one line, or of all lines of one category.

    Depreciation of parts and of labor are kept apart, because a policy may take the one and not the other.
    """

    category: str
    replacement_cost: int
    depreciation: int
    labor_depreciation: int
    is_base: bool
    """It belongs to what a plain trailer of the registered class comes with."""
    is_own_labor: bool = False
    """Hours of the builder that nobody was paid for at a shop's rate: an insurer may not count them."""
    untaxed: int = 0
    """The part of the replacement cost that carries no sales tax."""


class LossContext(Struct, frozen=True):
    """Everything that a settlement needs besides the policy."""

    build: Build
    loss: Loss
    verdict: Verdict
    money: Money
    lost: tuple[LossLine, ...]
    """What the loss destroys, line by line."""
    whole: tuple[LossLine, ...]
    """What there was before the loss, line by line."""
    plain_trailer: LossLine
    """A plain trailer of the registered class, equal in size."""
    age_years: Decimal
    day: date
    registered_class: str | None = None
    """The class on the title, by its key; None where it is not known."""

    @property
    def under_construction(self) -> bool:
        """Whether the loss falls before the day on which the trailer was completed."""
        completed = self.build.completed_on
        return completed is not None and self.day < completed


def loss_context(
    build: Build, loss: Loss, estimates: DayOfLossEstimates, verdict: Verdict, money: Money
) -> LossContext:
    """Return the context of a loss; the estimates are those of the day of the loss."""
    return LossContext(
        build=build,
        loss=loss,
        verdict=verdict,
        money=money,
        lost=_lost_lines(build, loss, estimates, money),
        whole=_lost_lines(build, replace(loss, extent="total", damage=()), estimates, money),
        plain_trailer=_plain_trailer(build.base, estimates, money),
        age_years=_age_years(estimates.labor_kept.lines),
        day=estimates.labor_kept.as_of,
    )


def total_replacement_cost(lines: Sequence[LossLine]) -> int:
    """Return what the lines cost to replace."""
    return sum(line.replacement_cost for line in lines)


def by_category(lines: Sequence[LossLine]) -> tuple[LossLine, ...]:
    """Return one line per category; own labor, and what carries no sales tax, apart.

    Every line has been rounded, so the sums do not change.
    """
    sums: dict[tuple[str, bool, bool], LossLine] = {}
    for line in (part for whole in lines for part in _by_tax(whole)):
        key = line.category, line.is_own_labor, bool(line.untaxed)
        before = sums.get(key)
        sums[key] = line if before is None else _sum(before, line)
    return tuple(sums.values())


def _by_tax(line: LossLine) -> tuple[LossLine, ...]:
    """Return the line, or the two parts of one of which only a part carries sales tax."""
    if line.untaxed in {0, line.replacement_cost}:
        return (line,)
    share = Fraction(line.untaxed, line.replacement_cost)
    untaxed = replace(
        line,
        replacement_cost=line.untaxed,
        depreciation=int(line.depreciation * share),
        labor_depreciation=int(line.labor_depreciation * share),
    )
    taxed = replace(
        line,
        replacement_cost=line.replacement_cost - line.untaxed,
        depreciation=line.depreciation - untaxed.depreciation,
        labor_depreciation=line.labor_depreciation - untaxed.labor_depreciation,
        untaxed=0,
    )
    return taxed, untaxed


def with_depreciation_cap(lines: Sequence[LossLine], cap: Decimal, money: Money) -> tuple[LossLine, ...]:
    """Return the lines with no more depreciation than the cap, a share of each line's replacement cost."""
    share = Fraction(cap)

    def capped(line: LossLine) -> LossLine:
        most = money.multiply(line.replacement_cost, share)
        return replace(
            line,
            depreciation=min(line.depreciation, most),
            labor_depreciation=min(line.labor_depreciation, most),
        )

    return tuple(map(capped, lines))


def _lost_lines(build: Build, loss: Loss, estimates: DayOfLossEstimates, money: Money) -> tuple[LossLine, ...]:
    """Return the lines that the loss destroys. Damage by id goes before damage by category."""
    by_id = {damage.id: damage.fraction for damage in loss.damage if damage.id is not None}
    in_category = {damage.category: damage.fraction for damage in loss.damage if damage.category is not None}
    depreciated = {line.id: line for line in estimates.labor_depreciated.lines}
    own_labor = {entry.id for entry in build.labor if not entry.hired}

    def fraction(line: EstimateLine) -> Fraction:
        if loss.extent == "total":
            return Fraction(1)
        return Fraction(by_id.get(line.id, in_category.get(line.category, Decimal(0))))

    return tuple(
        _lost_part(line, depreciated[line.id], destroyed, money, is_own_labor=line.id in own_labor)
        for line in estimates.labor_kept.lines
        if (destroyed := fraction(line))
    )


def _lost_part(
    kept: EstimateLine, depreciated: EstimateLine, fraction: Fraction, money: Money, *, is_own_labor: bool
) -> LossLine:
    is_labor = kept.kind == "labor"
    depreciation = depreciated.depreciation if is_labor else kept.depreciation
    taken = money.multiply(money.to_minor_units(depreciation), fraction)
    return LossLine(
        category=kept.category,
        replacement_cost=money.multiply(money.to_minor_units(kept.replacement_cost), fraction),
        depreciation=0 if is_labor else taken,
        labor_depreciation=taken if is_labor else 0,
        is_base=not is_labor and kept.category in base_categories(),
        is_own_labor=is_own_labor,
        untaxed=money.multiply(money.to_minor_units(kept.untaxed_cost), fraction),
    )


def _plain_trailer(base: Base | None, estimates: DayOfLossEstimates, money: Money) -> LossLine:
    """Return the comparable trailer, depreciated like the base components; without a price, the base components.

    The price of a comparable trailer carries no tax.
    """
    lines = [line for line in estimates.labor_kept.lines if _is_base_component(line)]
    replacement = sum(money.to_minor_units(line.replacement_cost) for line in lines)
    depreciation = sum(money.to_minor_units(line.depreciation) for line in lines)
    untaxed = sum(money.to_minor_units(line.untaxed_cost) for line in lines)
    if base is not None and base.comparable_price is not None:
        share = Fraction(depreciation, replacement) if replacement else Fraction(0)
        depreciation = money.to_minor_units(money.rounded(Fraction(base.comparable_price) * share))
        replacement = untaxed = money.to_minor_units(base.comparable_price)
    return LossLine(PLAIN_TRAILER, replacement, depreciation, 0, is_base=True, untaxed=untaxed)


def _age_years(lines: Sequence[EstimateLine]) -> Decimal:
    """Return the age of the oldest base component; without one, that of the oldest line."""
    base = [line.age_years for line in lines if _is_base_component(line)]
    return max(base or [line.age_years for line in lines], default=Decimal(0))


def _is_base_component(line: EstimateLine) -> bool:
    return line.kind == "component" and line.category in base_categories()


def _sum(one: LossLine, other: LossLine) -> LossLine:
    return LossLine(
        one.category,
        one.replacement_cost + other.replacement_cost,
        one.depreciation + other.depreciation,
        one.labor_depreciation + other.labor_depreciation,
        one.is_base,
        one.is_own_labor,
        one.untaxed + other.untaxed,
    )
