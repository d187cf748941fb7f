"""Indirect costs: overhead, profit and sales tax on the direct cost of the entries, and each line's part of them.

Only what a price or a rate does not include yet is added to it. Overhead and profit are on the cost before sales tax,
whether a receipt states the tax or a rate adds it: the same purchase costs the same either way. In a bill that
California's sales tax annotation 190.2500 describes, the tax comes after the overhead, which so is not on it.
"""

from collections.abc import Iterator, Sequence
from fractions import Fraction
from typing import TypeAlias

from msgspec import Struct

from hitchworth.model.entry import Component, Labor, PriceContent
from hitchworth.model.estimate import IndirectCostTerms
from hitchworth.model.indirect_costs import IndirectCosts
from hitchworth.money import Money, split
from hitchworth.reference.labor_taxes import labor_taxes
from hitchworth.reference.quote_rules import tax_rule
from hitchworth.valuation.cost import EntryCost
from hitchworth.valuation.notes import NoteCollector

LACKS_OVERHEAD: frozenset[PriceContent] = frozenset({"nothing"})
LACKS_PROFIT: frozenset[PriceContent] = frozenset({"nothing", "overhead"})

IndirectCostParts: TypeAlias = tuple[int, int, int]
"""A line's part of overhead, profit and sales tax, in whole minor units."""


class IndirectCostAmounts(Struct, frozen=True):
    """The indirect costs of a build, line by line, in whole minor units."""

    terms: IndirectCosts
    overhead_bases: list[int]
    """Each line's direct cost before tax, 0 where its price includes overhead."""
    profit_bases: list[int]
    """Each line's direct cost before tax, with its overhead if compounded; 0 where its price includes profit."""
    taxable: list[int]
    """The part of each line's direct cost that is taxed."""
    overhead: list[int]
    profit: list[int]
    sales_tax: list[int]

    def by_line(self) -> Iterator[IndirectCostParts]:
        """Return each line's part of overhead, profit and sales tax."""
        return zip(self.overhead, self.profit, self.sales_tax, strict=True)


def indirect_cost_amounts(costs: Sequence[EntryCost], terms: IndirectCosts, money: Money) -> IndirectCostAmounts:
    """Compute overhead and profit on the total of the lines that lack them, and split each over these by their bases.

    Profit is a share of direct cost before tax, or, if compounded, of that plus the rounded overhead.
    """
    ids = [cost.entry.id for cost in costs]
    overhead_bases = [cost.before_tax if cost.includes in LACKS_OVERHEAD else 0 for cost in costs]
    overhead = split(money.multiply(sum(overhead_bases), Fraction(terms.overhead_rate)), overhead_bases, ids)
    profit_bases = [cost.before_tax if cost.includes in LACKS_PROFIT else 0 for cost in costs]
    if terms.compounded:
        profit_bases = [base + part for base, part in zip(profit_bases, overhead, strict=True)]
    profit = split(money.multiply(sum(profit_bases), profit_on_cost(terms)), profit_bases, ids)
    taxable = [cost.direct if _is_taxed(cost, terms) else 0 for cost in costs]
    sales_tax = _sales_tax(taxable, terms, money, ids)
    return IndirectCostAmounts(terms, overhead_bases, profit_bases, taxable, overhead, profit, sales_tax)


def note_withheld_markup(costs: Sequence[EntryCost], terms: IndirectCosts, money: Money, notes: NoteCollector) -> None:
    """Note the lines that have less than the whole markup, because their price or rate includes it already."""
    withheld = [
        cost.before_tax
        for cost in costs
        if (terms.overhead_rate and cost.includes not in LACKS_OVERHEAD)
        or (terms.profit_rate and cost.includes not in LACKS_PROFIT)
    ]
    if any(withheld):
        amount = money.from_minor_units(sum(withheld))
        notes.add("markup_withheld", count=str(len(withheld)), amount=f"{amount:f}")


def note_untaxed_labor(
    costs: Sequence[EntryCost], terms: IndirectCosts, jurisdiction: str | None, notes: NoteCollector
) -> None:
    """Note that labor bears no tax because nothing says whether it does, and what is known of the place."""
    place = labor_taxes().get(jurisdiction or "")
    has_general_tax = place is None or place.general_tax
    if terms.sales_tax_rate and place is not None and not has_general_tax:
        notes.add("no_general_sales_tax", place=place.jurisdiction, source=place.source)
    could_be_taxed = any(cost.direct and cost.includes != "all" for cost in costs if isinstance(cost.entry, Labor))
    if not terms.sales_tax_rate or terms.tax_labor is not None or not could_be_taxed:
        return
    notes.add("labor_tax_not_stated", field="tax_labor")
    fabrication, repair = tax_rule(jurisdiction, "fabrication"), tax_rule(jurisdiction, "repair")
    if fabrication is not None:
        notes.add("fabrication_labor_taxed", place=fabrication.place, source=fabrication.source)
    elif jurisdiction is not None and jurisdiction.startswith("US") and has_general_tax:
        notes.add("fabrication_labor_usually_taxed", place=jurisdiction)
    if repair is not None:
        code = "repair_labor_taxed" if repair.taxed == "always" else "repair_labor_not_taxed_apart"
        notes.add(code, place=repair.place, source=repair.source)
    elif place is not None and has_general_tax:
        code = "repair_labor_taxed" if place.repair else "repair_labor_not_taxed"
        if place.repair is None:
            code = "repair_labor_unclear"
        notes.add(code, place=place.jurisdiction, source=place.source)


def indirect_cost_terms(amounts: IndirectCostAmounts, money: Money) -> IndirectCostTerms:
    """Return the terms, each with the base that it applies to."""
    terms = amounts.terms
    return IndirectCostTerms(
        overhead_rate=terms.overhead_rate,
        overhead_base=money.from_minor_units(sum(amounts.overhead_bases)),
        profit_rate=terms.profit_rate,
        profit_basis=terms.profit_basis,
        compounded=terms.compounded,
        profit_base=money.from_minor_units(sum(amounts.profit_bases)),
        sales_tax_rate=terms.sales_tax_rate,
        sales_tax_basis=terms.sales_tax_basis,
        sales_tax_base=money.from_minor_units(sum(amounts.taxable)),
        tax_labor=terms.tax_labor,
    )


def profit_on_cost(terms: IndirectCosts) -> Fraction:
    """Return profit as a share of its base: the rate itself for a markup, rate / (1 - rate) for a margin.

    A margin is a share of the price: 20 percent of a price of 125 is 25, which is 25 percent of the cost of 100.
    Raises ZeroDivisionError for a margin of 1.
    """
    rate = Fraction(terms.profit_rate)
    return rate if terms.profit_basis == "markup" else rate / (1 - rate)


def _sales_tax(taxable: list[int], terms: IndirectCosts, money: Money, ids: Sequence[str]) -> list[int]:
    """The tax on material whose cost does not include tax yet, freight included, and on labor if the terms say so.

    By line, the tax of each line is rounded; on the total, the tax is rounded once and split.
    """
    if not terms.sales_tax_rate:
        return [0] * len(taxable)
    numerator, denominator = terms.sales_tax_rate.as_integer_ratio()
    if terms.sales_tax_basis == "line":
        return [money.divide(base * numerator, denominator) for base in taxable]
    return split(money.divide(sum(taxable) * numerator, denominator), taxable, ids)


def _is_taxed(cost: EntryCost, terms: IndirectCosts) -> bool:
    """A rate that includes everything is not taxed again. Labor is not taxed where nothing says that it is."""
    return cost.untaxed if isinstance(cost.entry, Component) else bool(terms.tax_labor) and not cost.carries_tax
