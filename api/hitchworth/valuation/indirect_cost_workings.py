"""The workings of a line's part of the on-costs: rate and base of the total, and how it is split."""

from collections.abc import Iterator
from decimal import Decimal

from hitchworth.model.estimate import Figure
from hitchworth.valuation.formula import Formula
from hitchworth.valuation.indirect_costs import Charges
from hitchworth.valuation.money import Money


def indirect_cost_formulas(
    added: Charges, place: int, direct: int, money: Money
) -> Iterator[tuple[Figure, Formula, Decimal]]:
    """Of the line at this place, with its direct cost: figure, formula and part; none for a rate of 0.

    Rounded on the total and split by largest remainder; sales tax by line is rounded line by line.
    """
    terms, whole = added.terms, money.amount(added.direct)
    split = f"x {money.amount(direct)} / {whole}"
    if terms.overhead_rate and added.direct:
        formula = f"{whole} x {terms.overhead_rate:f} {split}"
        yield "overhead", ("overhead_split", formula), money.amount(added.overhead[place])
    if terms.profit_rate and added.direct:
        rate = f"{terms.profit_rate:f}"
        rate = rate if terms.profit_basis == "markup" else f"{rate} / (1 - {rate})"
        formula = f"{money.amount(added.profit_base)} x {rate} {split}"
        yield "profit", ("profit_split", formula), money.amount(added.profit[place])
    if terms.sales_tax_rate and added.taxable[place]:
        yield "sales_tax", _sales_tax(added, place, money), money.amount(added.sales_tax[place])


def _sales_tax(added: Charges, place: int, money: Money) -> Formula:
    rate, own = f"{added.terms.sales_tax_rate:f}", money.amount(added.taxable[place])
    if added.terms.sales_tax_basis == "line":
        return "sales_tax_by_line", f"{own} x {rate}"
    whole = money.amount(sum(added.taxable))
    return "sales_tax_split", f"{whole} x {rate} x {own} / {whole}"
