"""What moved a line from one valuation to another: one effect after the other, each at what those before it left."""

from collections.abc import Callable, Iterator, Sequence
from decimal import Decimal
from typing import NamedTuple, TypeAlias

from msgspec.structs import replace

from hitchworth.model.build import Component
from hitchworth.model.estimate_comparison import Effect, LineEffect
from hitchworth.valuation.cost import Entry, EntryCost
from hitchworth.valuation.depreciation_rules import left_of
from hitchworth.valuation.money import Money
from hitchworth.valuation.valued_line import Valued

PriceEntry: TypeAlias = Callable[[Entry], EntryCost]
"""Prices an entry as one of the two builds does on its date."""


class EffectStep(NamedTuple):
    """What one effect moved, in whole minor units."""

    effect: Effect
    replacement_cost: int
    actual_cash_value: int


class Sides(NamedTuple):
    """A line in both valuations, and how each of them prices an entry."""

    before: Valued
    after: Valued
    price_before: PriceEntry
    price_after: PriceEntry


def whole_line(effect: Effect, line: Valued, sign: int) -> EffectStep:
    """A line that is in one of the valuations only."""
    cost = sign * line.replacement_cost
    return EffectStep(effect, cost, cost - sign * line.depreciation)


def moves(sides: Sides, order: Sequence[LineEffect], money: Money) -> Iterator[EffectStep]:
    """The effects that moved an amount, in their order.

    The line is led from before to after: effect by effect the figures of before are exchanged for those of after, and
    what each exchange moves is its effect. So the effects add up, and in the opposite order, from after to before, they
    are the same with the other sign.
    """
    changed: set[LineEffect] = set()
    cost, value = _figures(sides, changed, money)
    for effect in order:
        changed.add(effect)
        next_cost, next_value = _figures(sides, changed, money)
        if (next_cost, next_value) != (cost, value):
            yield EffectStep(effect, next_cost - cost, next_value - value)
        cost, value = next_cost, next_value


def _figures(sides: Sides, changed: set[LineEffect], money: Money) -> tuple[int, int]:
    """Replacement cost and actual cash value, part of the figures from before and part from after."""
    indirect_costs = _side(sides, "indirect_costs" in changed).indirect_costs
    cost = _direct(sides, changed) + sum(indirect_costs)
    left, whole = left_of(
        _side(sides, "schedule" in changed).worn.rule,
        _side(sides, "age" in changed).worn.age,
        _side(sides, "condition" in changed).worn.condition,
    )
    return cost, cost - money.divide(cost * (whole - left), whole)


def _direct(sides: Sides, changed: set[LineEffect]) -> int:
    """Direct cost; where only one of quantity and price is exchanged, one side's quantity at the other's prices."""
    priced, counted = _side(sides, "price" in changed), _side(sides, "quantity" in changed)
    quantity = _quantity(counted.cost.entry)
    if _quantity(priced.cost.entry) == quantity:
        return priced.cost.direct
    price = sides.price_after if "price" in changed else sides.price_before
    return price(_of_quantity(priced.cost.entry, quantity)).direct + priced.cost.freight


def _side(sides: Sides, after: bool) -> Valued:
    return sides.after if after else sides.before


def _quantity(entry: Entry) -> Decimal:
    return entry.quantity if isinstance(entry, Component) else entry.hours


def _of_quantity(entry: Entry, quantity: Decimal) -> Entry:
    return replace(entry, quantity=quantity) if isinstance(entry, Component) else replace(entry, hours=quantity)
