"""What one loss destroys: the lines of the build on that day, and the plain trailer of the registered class.

Amounts are whole minor units of the currency, so every sum is exact.
"""

from collections.abc import Mapping, Sequence
from datetime import date
from decimal import Decimal
from fractions import Fraction
from functools import lru_cache
from typing import TypeAlias

from msgspec import Struct
from msgspec.structs import replace

from hitchworth.coverage.loss_lines import LossLine, LossLines
from hitchworth.model.assessment import Verdict
from hitchworth.model.build import Build, MarketValueOrigin
from hitchworth.model.estimate import Estimate, EstimateLine
from hitchworth.model.loss import Loss
from hitchworth.money import Money
from hitchworth.reference.category_groups import PLAIN_TRAILER
from hitchworth.reference.schedules import base_categories


class DayOfLossEstimates(Struct, frozen=True):
    """The build on the day of the loss under two rules: labor keeps its value, and labor depreciates."""

    labor_kept: Estimate
    labor_depreciated: Estimate


PlainPrice: TypeAlias = Decimal | str
"""The price new of a plain trailer, or BY_PARTS."""

BY_PARTS = "none"
"""The answer that nobody sells such a trailer: it counts at its base parts and the labor that serves them."""


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
    plain_trailers: Mapping[PlainPrice, tuple[LossLine, ...]]
    """A plain trailer of the registered class, equal in size, by its lines: one where it is known, else each plausible
    one, the least favorable first."""
    age_years: Decimal
    day: date
    registered_class: str | None = None
    """The class on the title, by its key; None where it is not known."""
    market_value_from: MarketValueOrigin = "entered"

    @property
    def under_construction(self) -> bool:
        """Whether the loss falls before the day on which the trailer was completed."""
        completed = self.build.completed_on
        return completed is not None and self.day < completed


def loss_context(
    build: Build, loss: Loss, estimates: DayOfLossEstimates, verdict: Verdict, money: Money
) -> LossContext:
    """Return the context of a loss; the estimates are those of the day of the loss."""
    whole = _lost_lines(build, replace(loss, extent="total", damage=()), estimates, money)
    return LossContext(
        build=build,
        loss=loss,
        verdict=verdict,
        money=money,
        lost=whole if loss.extent == "total" else _lost_lines(build, loss, estimates, money),
        whole=whole,
        plain_trailers=_plain_trailers(build, estimates, money),
        age_years=_age_years(estimates.labor_kept.lines),
        day=estimates.labor_kept.as_of,
    )


@lru_cache(maxsize=256)
def by_category(lines: tuple[LossLine, ...]) -> LossLines:
    """Return one line per category; own labor, what a plain trailer has, and what carries no sales tax, apart.

    Every line has been rounded, so the sums do not change. Every policy asks for the lines of the same losses.
    """
    sums: dict[tuple[str, bool, bool, bool], LossLine] = {}
    for line in (part for whole in lines for part in _by_tax(whole)):
        key = line.category, line.is_own_labor, line.is_base, bool(line.untaxed)
        before = sums.get(key)
        sums[key] = line if before is None else _sum(before, line)
    return LossLines(sums.values())


def _by_tax(line: LossLine) -> tuple[LossLine, ...]:
    """Return the line, or the two parts of one of which only a part carries sales tax."""
    if line.untaxed in {0, line.replacement_cost}:
        return (line,)
    part, whole = line.untaxed, line.replacement_cost
    untaxed = replace(
        line,
        replacement_cost=part,
        depreciation=line.depreciation * part // whole,
        labor_depreciation=line.labor_depreciation * part // whole,
        obsolescence=line.obsolescence * part // whole,
        obsolescence_after_labor=line.obsolescence_after_labor * part // whole,
    )
    taxed = replace(
        line,
        replacement_cost=line.replacement_cost - line.untaxed,
        depreciation=line.depreciation - untaxed.depreciation,
        labor_depreciation=line.labor_depreciation - untaxed.labor_depreciation,
        untaxed=0,
        obsolescence=line.obsolescence - untaxed.obsolescence,
        obsolescence_after_labor=line.obsolescence_after_labor - untaxed.obsolescence_after_labor,
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
            obsolescence=min(line.obsolescence, max(most - line.depreciation, 0)),
            obsolescence_after_labor=min(
                line.obsolescence_after_labor, max(most - line.depreciation - line.labor_depreciation, 0)
            ),
        )

    return tuple(map(capped, lines))


def _lost_lines(build: Build, loss: Loss, estimates: DayOfLossEstimates, money: Money) -> tuple[LossLine, ...]:
    """Return the lines that the loss destroys. Damage by id goes before damage by category."""
    by_id = {damage.id: damage.fraction for damage in loss.damage if damage.id is not None}
    in_category = {damage.category: damage.fraction for damage in loss.damage if damage.category is not None}
    depreciated = {line.id: line for line in estimates.labor_depreciated.lines}
    own_labor = {entry.id for entry in build.labor if not entry.hired}
    base = _base_lines(build, estimates.labor_kept.lines)

    def fraction(line: EstimateLine) -> Fraction:
        if loss.extent == "total":
            return Fraction(1)
        return Fraction(by_id.get(line.id, in_category.get(line.category, Decimal(0))))

    return tuple(
        _lost_part(
            line,
            depreciated[line.id],
            destroyed,
            money,
            is_base=line.id in base,
            is_own_labor=line.id in own_labor,
        )
        for line in estimates.labor_kept.lines
        if (destroyed := fraction(line))
    )


def _lost_part(
    kept: EstimateLine,
    depreciated: EstimateLine,
    fraction: Fraction,
    money: Money,
    *,
    is_base: bool,
    is_own_labor: bool,
) -> LossLine:
    is_labor = kept.kind == "labor"

    def part(amount: Decimal) -> int:
        return money.multiply(money.to_minor_units(amount), fraction)

    taken = part(_wear(depreciated if is_labor else kept))
    return LossLine(
        category=kept.category,
        replacement_cost=part(kept.replacement_cost),
        depreciation=0 if is_labor else taken,
        labor_depreciation=taken if is_labor else 0,
        is_base=is_base,
        is_own_labor=is_own_labor,
        untaxed=money.multiply(money.to_minor_units(kept.untaxed_cost), fraction),
        obsolescence=part(kept.obsolescence),
        obsolescence_after_labor=part(depreciated.obsolescence),
    )


def _wear(line: EstimateLine) -> Decimal:
    return line.depreciation - line.obsolescence


def _base_lines(build: Build, lines: Sequence[EstimateLine]) -> frozenset[str]:
    """Return the ids of the components that a plain trailer comes with, and of the labor that serves them."""
    parts = {line.id for line in lines if _is_base_component(line)}
    return frozenset(parts | {entry.id for entry in build.labor if entry.component_id in parts})


def _plain_trailers(
    build: Build, estimates: DayOfLossEstimates, money: Money
) -> dict[PlainPrice, tuple[LossLine, ...]]:
    """Return the plain trailer: at its price, less wear, or at its base parts where nobody sells such a trailer.

    Where neither is known, return one for each plausible price, and the base parts as one more; the least first.
    """
    base = build.base
    by_parts = _plain_trailer_by_parts(build, estimates, money)
    parts_cost = sum(line.replacement_cost for line in by_parts)
    if base is not None and base.comparable_price is not None:
        return {base.comparable_price: _priced(base.comparable_price, by_parts, estimates, money)}
    plain = estimates.labor_kept.plain_trailer
    prices = () if plain is None else plain.plausible_prices
    if parts_cost and (not prices or (base is not None and base.valued_by_parts)):
        return {BY_PARTS: by_parts}
    found: dict[PlainPrice, tuple[LossLine, ...]] = {
        price: _priced(price, by_parts, estimates, money) for price in prices
    }
    if parts_cost or not prices:
        found[BY_PARTS] = by_parts
    return dict(sorted(found.items(), key=lambda each: (_worth(each[1]), str(each[0]))))


def _worth(lines: Sequence[LossLine]) -> int:
    return sum(line.replacement_cost - line.depreciation - line.labor_depreciation for line in lines)


def _plain_trailer_by_parts(build: Build, estimates: DayOfLossEstimates, money: Money) -> tuple[LossLine, ...]:
    """Return the base components and the labor that serves them, whoever did it: a maker's hours are in a price too."""
    base = _base_lines(build, estimates.labor_kept.lines)
    depreciated = {line.id: line for line in estimates.labor_depreciated.lines}
    return tuple(
        LossLine(
            PLAIN_TRAILER,
            money.to_minor_units(line.replacement_cost),
            money.to_minor_units(_wear(line)) if line.kind == "component" else 0,
            money.to_minor_units(_wear(depreciated[line.id])) if line.kind == "labor" else 0,
            is_base=True,
            untaxed=money.to_minor_units(line.untaxed_cost),
        )
        for line in estimates.labor_kept.lines
        if line.id in base
    )


def _priced(
    price: Decimal, by_parts: Sequence[LossLine], estimates: DayOfLossEstimates, money: Money
) -> tuple[LossLine, ...]:
    """Return a plain trailer at a price new. It wears like the base components, or by the age of the trailer.

    Such a price carries no tax.
    """
    parts = [line for line in estimates.labor_kept.lines if _is_base_component(line)]
    replacement = sum(money.to_minor_units(line.replacement_cost) for line in parts)
    plain = estimates.labor_kept.plain_trailer
    if replacement:
        share = Fraction(sum(line.depreciation for line in by_parts), replacement)
    else:
        share = 1 - Fraction(plain.percent_good) if plain is not None else Fraction(0)
    wear = money.to_minor_units(money.rounded(Fraction(price) * share))
    cost = money.to_minor_units(price)
    return (LossLine(PLAIN_TRAILER, cost, wear, 0, is_base=True, untaxed=cost),)


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
        one.obsolescence + other.obsolescence,
        one.obsolescence_after_labor + other.obsolescence_after_labor,
    )
