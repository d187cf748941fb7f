"""Overhead and profit on the lines of a quote, as a markup on cost or as a margin of the price.

With cost C, overhead O, profit F and price P = C + O + F, each of O and F is a share of C or of P:

    O = a C + b P        a: overhead as a markup, b: as a margin
    F = c C + d O + e P  c: profit as a markup, d: the same where it is compounded, e: as a margin

so P = C (1 + c + (1 + d) a) / (1 - (1 + d) b - e). A denominator of 0 or less leaves nothing of the price for the cost.
"""

from collections.abc import Mapping, Sequence
from fractions import Fraction
from math import lcm
from typing import NamedTuple

from hitchworth.model.pricing import CostKind, Markup, QuotePricing
from hitchworth.money import Money, split
from hitchworth.quoting.entries import QuoteEntry
from hitchworth.valuation.indirect_costs import LACKS_OVERHEAD, LACKS_PROFIT

ZERO = Fraction(0)


class Factors(NamedTuple):
    """Overhead and profit as shares of direct cost, exact."""

    overhead: Fraction
    profit: Fraction
    profit_alone: Fraction
    """Profit on a line whose price includes overhead already."""


class MarkupAmounts(NamedTuple):
    """Overhead and profit, line by line, in whole minor units."""

    overhead: list[int]
    profit: list[int]


def factors(markup: Markup) -> Factors:
    """Return what the rates come to as shares of direct cost. Raises ZeroDivisionError at a margin of 1."""
    overhead, profit = Fraction(markup.overhead_rate), Fraction(markup.profit_rate)
    a, b = (overhead, ZERO) if markup.overhead_basis == "markup" else (ZERO, overhead)
    c, e = (profit, ZERO) if markup.profit_basis == "markup" else (ZERO, profit)
    d = c if markup.compounded else ZERO
    price = (1 + c + (1 + d) * a) / (1 - (1 + d) * b - e)
    overhead_on_cost = a + b * price
    return Factors(overhead_on_cost, price - 1 - overhead_on_cost, c + e / (1 - e))


def markup_by_kind(pricing: QuotePricing) -> Mapping[CostKind, Markup]:
    """Return the markup that applies to each kind of cost."""
    given: dict[CostKind, Markup] = {each.kind: each for each in pricing.markups}
    kinds: tuple[CostKind, ...] = ("material", "labor", "hired_labor")
    return {kind: given.get(kind, pricing.markup) for kind in kinds}


def markup_amounts(entries: Sequence[QuoteEntry], pricing: QuotePricing, money: Money) -> MarkupAmounts:
    """Compute overhead and profit on the lines that lack them: each total rounded once and split over its lines."""
    by_kind = {kind: factors(markup) for kind, markup in markup_by_kind(pricing).items()}
    scale = lcm(1, *(share.denominator for shares in by_kind.values() for share in shares))
    scaled = {kind: Factors(*(share * scale for share in shares)) for kind, shares in by_kind.items()}
    names = line_names(entries)
    parts = [_scaled_parts(entry, scaled[entry.cost_kind]) for entry in entries]
    return MarkupAmounts(
        split_scaled([overhead for overhead, _ in parts], scale, names, money),
        split_scaled([profit for _, profit in parts], scale, names, money),
    )


def _scaled_parts(entry: QuoteEntry, scaled: Factors) -> tuple[int, int]:
    """Overhead and profit on a line, exact, by shares that are whole numbers of parts of a minor unit."""
    if entry.includes not in LACKS_PROFIT:
        return 0, 0
    if entry.includes not in LACKS_OVERHEAD:
        return 0, entry.direct * scaled.profit_alone.numerator
    return entry.direct * scaled.overhead.numerator, entry.direct * scaled.profit.numerator


def split_scaled(exact: Sequence[int], scale: int, names: Sequence[str], money: Money) -> list[int]:
    """Round the sum of exact amounts of 0 or more once, and split it over them by largest remainder.

    exact: in parts of a minor unit, `scale` of which make one.
    """
    return split(money.divide(sum(exact), scale), exact, names)


def line_names(entries: Sequence[QuoteEntry]) -> list[str]:
    """Return a name of its own for each line: a part that the customer brings and its handling share an id."""
    return [f"{entry.kind} {entry.id}" for entry in entries]
