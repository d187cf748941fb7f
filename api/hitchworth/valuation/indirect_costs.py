"""On-costs: overhead, profit and sales tax on the direct cost of the entries, and each line's part of them."""

from collections.abc import Iterator, Sequence
from fractions import Fraction
from typing import TypeAlias

from msgspec import Struct

from hitchworth.model.build import Component, IndirectCosts
from hitchworth.model.estimate import IndirectCostTerms
from hitchworth.valuation.cost import EntryCost
from hitchworth.valuation.money import Money, split

IndirectCostParts: TypeAlias = tuple[int, int, int]
"""A line's part of overhead, profit and sales tax, in whole minor units."""


class Charges(Struct, frozen=True):
    """What is added, line by line, in whole minor units."""

    terms: IndirectCosts
    direct: int
    """The base of overhead: direct cost of all lines."""
    profit_base: int
    taxable: list[int]
    """What of each line's direct cost is taxed."""
    overhead: list[int]
    profit: list[int]
    sales_tax: list[int]

    def by_line(self) -> Iterator[IndirectCostParts]:
        """Each line's part of the three."""
        return zip(self.overhead, self.profit, self.sales_tax, strict=True)


def charges(costs: Sequence[EntryCost], terms: IndirectCosts, money: Money) -> Charges:
    """Overhead and profit are reckoned on the total and split over the lines in proportion to their direct cost.

    Profit is on direct cost alone, or, compounded, on direct cost and the overhead as it is stated.
    """
    direct = [cost.direct for cost in costs]
    total = sum(direct)
    overhead = money.part(total, Fraction(terms.overhead_rate))
    profit_base = total + overhead if terms.compounded else total
    profit = money.part(profit_base, profit_on_cost(terms))
    taxable = [cost.direct if _is_taxed(cost, terms) else 0 for cost in costs]
    sales_tax = _sales_tax(taxable, terms, money)
    return Charges(terms, total, profit_base, taxable, split(overhead, direct), split(profit, direct), sales_tax)


def indirect_cost_terms(added: Charges, money: Money) -> IndirectCostTerms:
    """The terms, each with its base."""
    terms = added.terms
    return IndirectCostTerms(
        overhead_rate=terms.overhead_rate,
        overhead_base=money.amount(added.direct),
        profit_rate=terms.profit_rate,
        profit_basis=terms.profit_basis,
        compounded=terms.compounded,
        profit_base=money.amount(added.profit_base),
        sales_tax_rate=terms.sales_tax_rate,
        sales_tax_basis=terms.sales_tax_basis,
        sales_tax_base=money.amount(sum(added.taxable)),
        tax_labor=terms.tax_labor,
    )


def profit_on_cost(terms: IndirectCosts) -> Fraction:
    """The profit as a share of the cost that it is on: the rate itself as a markup; as a margin, rate / (1 - rate).

    A margin is a share of the price: 20 percent of a price of 125 are 25, which are 25 percent of the cost of 100.
    Raises ZeroDivisionError for a margin of 1.
    """
    rate = Fraction(terms.profit_rate)
    return rate if terms.profit_basis == "markup" else rate / (1 - rate)


def _sales_tax(taxable: list[int], terms: IndirectCosts, money: Money) -> list[int]:
    """On the direct cost, with freight, of material that holds no tax yet, and by choice of labor.

    By line each line's tax is rounded; on the total the tax is rounded once and split.
    """
    if not terms.sales_tax_rate:
        return [0] * len(taxable)
    share, of = terms.sales_tax_rate.as_integer_ratio()
    if terms.sales_tax_basis == "line":
        return [money.divide(base * share, of) for base in taxable]
    return split(money.divide(sum(taxable) * share, of), taxable)


def _is_taxed(cost: EntryCost, terms: IndirectCosts) -> bool:
    return cost.untaxed if isinstance(cost.entry, Component) else terms.tax_labor
