"""What changed a line from one valuation to another, one effect after the other."""

from collections.abc import Callable, Iterator, Sequence
from decimal import Decimal
from typing import NamedTuple, TypeAlias

from msgspec.structs import replace

from hitchworth.model.entry import Component
from hitchworth.model.estimate_comparison import Effect, LineEffect
from hitchworth.money import Money
from hitchworth.valuation.cost import Entry, EntryCost
from hitchworth.valuation.depreciation_rules import percent_good_ratio
from hitchworth.valuation.valued_build import ValuedLine, cost_to_cure, obsolescence_of

PriceEntry: TypeAlias = Callable[[Entry], EntryCost]
"""Prices an entry as one of the two builds does on its date."""


class EffectChange(NamedTuple):
    """What one effect changed, in whole minor units."""

    effect: Effect
    replacement_cost: int
    actual_cash_value: int


class LinePair(NamedTuple):
    """A line in both valuations, and how each of them prices an entry."""

    before: ValuedLine
    after: ValuedLine
    price_before: PriceEntry
    price_after: PriceEntry


def whole_line_change(effect: Effect, line: ValuedLine, sign: int) -> EffectChange:
    """Return the change for a line that is in only one of the valuations: sign 1 if added, -1 if removed."""
    cost = sign * line.replacement_cost
    return EffectChange(effect, cost, cost - sign * line.depreciation)


def effect_changes(pair: LinePair, order: Sequence[LineEffect], money: Money) -> Iterator[EffectChange]:
    """Yield the effects that changed an amount, in their order.

    Effect by effect, the figures of before are replaced by those of after, and the difference is the effect. So the
    effects add up to the whole change. From after to before, in the opposite order, they are the same with the opposite
    sign.
    """
    applied: set[LineEffect] = set()
    cost, value = _figures(pair, applied, money)
    for effect in order:
        applied.add(effect)
        next_cost, next_value = _figures(pair, applied, money)
        if (next_cost, next_value) != (cost, value):
            yield EffectChange(effect, next_cost - cost, next_value - value)
        cost, value = next_cost, next_value


def _figures(pair: LinePair, applied: set[LineEffect], money: Money) -> tuple[int, int]:
    """Replacement cost and actual cash value, with the figures of after for the effects that are applied."""
    indirect_costs = _line(pair, "indirect_costs" in applied).indirect_costs
    cost = _direct(pair, applied) + sum(indirect_costs)
    numerator, denominator = percent_good_ratio(
        _line(pair, "schedule" in applied).depreciated.rule,
        _line(pair, "age" in applied).depreciated.age,
        _line(pair, "condition" in applied).depreciated.wear,
    )
    # Of a used part the wear belongs to an age: with that of the other valuation it could leave more than there was.
    numerator = min(numerator, denominator)
    # What condition shows beside percent good: the cost to cure, and obsolescence.
    seen = _line(pair, "condition" in applied)
    cure = min(cost_to_cure(seen.cost.entry, money), cost)
    wear = cure + money.divide((cost - cure) * (denominator - numerator), denominator)
    left = cost - wear
    return cost, left - _obsolescence(seen, left, money)


def _obsolescence(line: ValuedLine, left: int, money: Money) -> int:
    """Return what the obsolescence of a line takes of what wear has left."""
    if not line.terms:
        return 0
    return left - obsolescence_of(line.cost.entry, line.terms, left, money)[2]


def _direct(pair: LinePair, applied: set[LineEffect]) -> int:
    """Direct cost. If only quantity or price is applied: the quantity of one line at the prices of the other."""
    priced, quantity = _line(pair, "price" in applied), _quantity(_line(pair, "quantity" in applied).cost.entry)
    if _quantity(priced.cost.entry) == quantity:
        return priced.cost.direct
    price_entry = pair.price_after if "price" in applied else pair.price_before
    return price_entry(_with_quantity(priced.cost.entry, quantity)).direct + priced.cost.freight


def _line(pair: LinePair, after: bool) -> ValuedLine:
    return pair.after if after else pair.before


def _quantity(entry: Entry) -> Decimal:
    return entry.quantity if isinstance(entry, Component) else entry.hours


def _with_quantity(entry: Entry, quantity: Decimal) -> Entry:
    return replace(entry, quantity=quantity) if isinstance(entry, Component) else replace(entry, hours=quantity)
