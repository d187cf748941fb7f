"""The sales comparison approach: what similar trailers sold for, each adjusted to the subject, weighed to one value."""

from collections.abc import Sequence
from datetime import date
from decimal import Decimal
from fractions import Fraction
from math import lcm
from typing import NamedTuple

from msgspec.structs import replace

from hitchworth.model.request import SalesComparisonRequest
from hitchworth.model.sales_comparison import Comparable, ComparedSale, SalesComparisonApproach, Weight
from hitchworth.money import Money, round_ratio, split
from hitchworth.reference.adjustment_guides import adjustment_guides
from hitchworth.valuation.adjustment_grid import AdjustmentGrid
from hitchworth.valuation.notes import NoteCollector

ONE, ZERO_SHARE = Decimal(1), Decimal(0).scaleb(-4)

WEIGHT_UNITS = 10_000
"""Weights are shown to four places and still add up to 1."""


class Reconciliation(NamedTuple):
    """The weighted mean, with weights that add up to 1 and contributions that add up to the mean."""

    value: int
    weights: tuple[Decimal, ...]
    contributions: tuple[int, ...]


def sales_comparison_approach(
    request: SalesComparisonRequest, as_of: date, money: Money, notes: NoteCollector
) -> SalesComparisonApproach:
    """Adjust each comparable to the subject, and reconcile the values that they indicate.

    A comparable that was sold after the valuation date, or whose adjustments leave nothing of its price, is shown and
    does not count.
    """
    comparables = request.comparables
    grid = AdjustmentGrid(request, as_of, money, notes)
    sales = [_compare(comparable, grid, money, notes) for comparable in comparables]
    counting = [index for index, sale in enumerate(sales) if _counts(sale, as_of, notes)]
    weights = [weight_of(comparables[index].weight) for index in counting]
    if not any(weights):
        return SalesComparisonApproach(comparables=tuple(sales), low=None, high=None, indicated_value=None)
    values = [money.to_minor_units(sales[index].indicated_value) for index in counting]
    names = [comparables[index].description for index in counting]
    reconciled = reconcile(values, weights, names, money)
    for index, weight, part in zip(counting, reconciled.weights, reconciled.contributions, strict=True):
        sales[index] = replace(sales[index], weight=weight, contribution=money.from_minor_units(part))
    counted = [value for value, weight in zip(values, weights, strict=True) if weight]
    return SalesComparisonApproach(
        comparables=tuple(sales),
        low=money.from_minor_units(min(counted)),
        high=money.from_minor_units(max(counted)),
        indicated_value=money.from_minor_units(reconciled.value),
    )


def reconcile(values: Sequence[int], weights: Sequence[Decimal], names: Sequence[str], money: Money) -> Reconciliation:
    """Return the weighted mean of values in whole minor units, none of them negative.

    It is computed with the exact weights and rounded once. The shown weights and the contributions are split by largest
    remainder; what is left over goes by the names of the values, which are all different. Raises ValueError if no
    weight is more than 0.
    """
    whole_weights = _whole_numbers(weights)
    if not any(whole_weights):
        raise ValueError("nothing to weigh by: every weight is 0")
    weighted = [value * weight for value, weight in zip(values, whole_weights, strict=True)]
    mean = money.divide(sum(weighted), sum(whole_weights))
    return Reconciliation(
        mean,
        tuple(Decimal(part).scaleb(-4) for part in split(WEIGHT_UNITS, whole_weights, names)),
        tuple(split(mean, weighted, names)),
    )


def weight_of(weight: Weight | None) -> Decimal:
    """Return the stated weight, or 1 if there is none."""
    return ONE if weight is None else weight.weight


def _counts(sale: ComparedSale, as_of: date, notes: NoteCollector) -> bool:
    if sale.sold_on > as_of:
        notes.add("sold_after_valuation", sale.description, sold_on=sale.sold_on.isoformat())
    elif sale.indicated_value <= 0:
        notes.add("nothing_left_of_price", sale.description)
    else:
        return True
    return False


def _compare(comparable: Comparable, grid: AdjustmentGrid, money: Money, notes: NoteCollector) -> ComparedSale:
    price = money.from_minor_units(money.to_minor_units(comparable.price))
    adjustments = tuple(grid.adjustments(replace(comparable, price=price)))
    net = sum((each.amount for each in adjustments), money.from_minor_units(0))
    gross = sum((abs(each.amount) for each in adjustments), money.from_minor_units(0))
    net_share, gross_share = _share(net, price, money), _share(gross, price, money)
    if abs(net_share) > adjustment_guides().net:
        share, guide = str(abs(net_share)), str(adjustment_guides().net)
        notes.add("net_adjustment_large", comparable.description, share=share, guide=guide)
    if gross_share > adjustment_guides().gross:
        share, guide = str(gross_share), str(adjustment_guides().gross)
        notes.add("gross_adjustment_large", comparable.description, share=share, guide=guide)
    return ComparedSale(
        description=comparable.description,
        source=comparable.source,
        sold_on=comparable.sold_on,
        price=price,
        adjustments=adjustments,
        net_adjustment=net,
        gross_adjustment=gross,
        net_share=net_share,
        gross_share=gross_share,
        indicated_value=price + net,
        weight=ZERO_SHARE,
        weight_reason="" if comparable.weight is None else comparable.weight.reason,
        contribution=money.from_minor_units(0),
    )


def _share(amount: Decimal, price: Decimal, money: Money) -> Decimal:
    """The amount over the price, to four places, its absolute value half up; 0 if the price rounds to 0."""
    if not price:
        return ZERO_SHARE
    share = round_ratio(money.to_minor_units(abs(amount)), money.to_minor_units(price), 4)
    return share if amount >= 0 else -share


def _whole_numbers(weights: Sequence[Decimal]) -> list[int]:
    """The weights in the same proportion, as whole numbers."""
    exact = [Fraction(weight) for weight in weights]
    common = lcm(*(weight.denominator for weight in exact))
    return [int(weight * common) for weight in exact]
