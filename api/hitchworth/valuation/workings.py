"""Workings: the formulas of a line with their numbers, so that a person or a spreadsheet can recompute it.

Each names the rule that it follows; `localization` puts the rule into words.
"""

from collections.abc import Iterator, Sequence
from decimal import Decimal

from hitchworth.model.entry import Component, Labor
from hitchworth.model.options import DayCount
from hitchworth.model.workings import Working
from hitchworth.money import Money
from hitchworth.valuation.cost import SAME_CURRENCY, EntryCost
from hitchworth.valuation.depreciation_workings import depreciation_workings, format_percent_good
from hitchworth.valuation.formula import Formula, working
from hitchworth.valuation.indirect_costs import IndirectCostAmounts
from hitchworth.valuation.valued_build import ValuedLine, cost_to_cure


def workings(
    lines: Sequence[ValuedLine], amounts: IndirectCostAmounts, money: Money, day_count: DayCount
) -> Iterator[tuple[Working, ...]]:
    """Return the workings of each line, in the order in which they are computed.

    Historic and direct cost, the line's part of each indirect cost, replacement cost, age, the counted age if the
    convention of the schedule changes it, the shares at the years next to it, percent good, depreciation, actual cash
    value.
    """
    for index, line in enumerate(lines):
        yield (
            *_cost(line, amounts, index, money),
            *depreciation_workings(line.depreciated, day_count),
            *_value(line, money),
        )


def _cost(line: ValuedLine, amounts: IndirectCostAmounts, index: int, money: Money) -> Iterator[Working]:
    cost = line.cost
    historical, direct = money.from_minor_units(cost.historical), money.from_minor_units(cost.direct)
    yield working("historical_cost", _add_freight(_historical(cost), cost, money), historical)
    yield working("direct_cost", _add_freight(direct_cost_formula(cost), cost, money), direct)
    yield from _indirect_costs(amounts, index, money)
    parts = " + ".join(str(money.from_minor_units(part)) for part in (cost.direct, *line.indirect_costs))
    yield working("replacement_cost", ("replacement_cost", parts), money.from_minor_units(line.replacement_cost))


def _value(line: ValuedLine, money: Money) -> Iterator[Working]:
    replacement_cost = money.from_minor_units(line.replacement_cost)
    wear, cure = money.from_minor_units(line.wear), min(cost_to_cure(line.cost.entry, money), line.replacement_cost)
    lost = f"(1 - {format_percent_good(line.depreciated)})"
    if cure:
        cured = money.from_minor_units(cure)
        formula = f"{cured} + ({replacement_cost} - {cured}) x {lost}"
        yield working("depreciation", ("depreciation_with_cure", formula), wear)
    else:
        yield working("depreciation", ("depreciation", f"{replacement_cost} x {lost}"), wear)
    value = money.from_minor_units(line.replacement_cost - line.depreciation)
    obsolescence = [money.from_minor_units(part) for part in (line.functional, line.economic) if part]
    if obsolescence:
        parts = " + ".join(map(str, obsolescence))
        yield working("obsolescence", ("obsolescence", parts), sum(obsolescence, money.from_minor_units(0)))
        formula = " - ".join(map(str, (replacement_cost, wear, *obsolescence)))
        yield working("actual_cash_value", ("actual_cash_value_with_obsolescence", formula), value)
    else:
        yield working("actual_cash_value", ("actual_cash_value", f"{replacement_cost} - {wear}"), value)


def _indirect_costs(amounts: IndirectCostAmounts, index: int, money: Money) -> Iterator[Working]:
    """The line's part of each indirect cost that is added to it: the total, and how it is split by the lines' bases."""
    terms = amounts.terms
    if terms.overhead_rate and amounts.overhead_bases[index]:
        formula = _split_by_base(f"{terms.overhead_rate:f}", amounts.overhead_bases, index, money)
        yield working("overhead", ("overhead_split", formula), money.from_minor_units(amounts.overhead[index]))
    if terms.profit_rate and amounts.profit_bases[index]:
        rate = f"{terms.profit_rate:f}"
        rate = rate if terms.profit_basis == "markup" else f"{rate} / (1 - {rate})"
        formula = _split_by_base(rate, amounts.profit_bases, index, money)
        yield working("profit", ("profit_split", formula), money.from_minor_units(amounts.profit[index]))
    if terms.sales_tax_rate and amounts.taxable[index]:
        sales_tax = money.from_minor_units(amounts.sales_tax[index])
        yield working("sales_tax", _sales_tax(amounts, index, money), sales_tax)


def _split_by_base(rate: str, bases: Sequence[int], index: int, money: Money) -> str:
    total = money.from_minor_units(sum(bases))
    return f"{total} x {rate} x {money.from_minor_units(bases[index])} / {total}"


def _sales_tax(amounts: IndirectCostAmounts, index: int, money: Money) -> Formula:
    """Rounded line by line, or rounded on the total and split."""
    rate, taxable = f"{amounts.terms.sales_tax_rate:f}", money.from_minor_units(amounts.taxable[index])
    if amounts.terms.sales_tax_basis == "line":
        return "sales_tax_by_line", f"{taxable} x {rate}"
    total = money.from_minor_units(sum(amounts.taxable))
    return "sales_tax_split", f"{total} x {rate} x {taxable} / {total}"


def _add_freight(formula: Formula, cost: EntryCost, money: Money) -> Formula:
    rule, text = formula
    return (rule, f"{text} + {money.from_minor_units(cost.freight)}") if cost.freight else formula


def _historical(cost: EntryCost) -> Formula:
    entry = cost.entry
    if isinstance(entry, Labor):
        return "hours_as_paid", f"{entry.hours:f} x {entry.rate:f}"
    paid = _sum(f"{entry.quantity:f} x {entry.unit_cost:f}", entry.tax, entry.freight)
    return "price_as_paid", _exchange(paid, cost.exchange)


def direct_cost_formula(cost: EntryCost) -> Formula:
    """Return how the direct cost of an entry comes about, before its part of a lump sum of freight."""
    entry = cost.entry
    if isinstance(entry, Labor):
        return _direct_of_labor(entry, cost)
    if cost.quote is not None:
        quoted = _exchange(_sum(_quote(entry, cost), None, entry.freight), cost.quoted_exchange)
        if cost.trend is None:
            return "price_by_quote", quoted
        return "price_by_quote_and_index", f"({quoted}){_trend(cost)}"
    _, paid = _historical(cost)
    return ("price_as_paid", paid) if cost.trend is None else ("price_by_index", f"({paid}){_trend(cost)}")


def _quote(part: Component, cost: EntryCost) -> str:
    """The quote, and its tax at the rate that was paid where it is taxed so."""
    quote = f"{part.quantity:f} x {cost.quote:f}"
    return f"{quote} + {part.tax:f} x {cost.quote:f} / {part.unit_cost:f}" if cost.quote_taxed_as_paid else quote


def _direct_of_labor(labor: Labor, cost: EntryCost) -> Formula:
    rate = labor.rate if cost.market_rate is None else cost.market_rate
    product = f"{labor.hours:f} x {rate:f}"
    if cost.trend is not None:
        return "hours_by_index", product + _trend(cost)
    return "hours_as_paid" if cost.market_rate is None else "hours_at_market_rate", product


def _trend(cost: EntryCost) -> str:
    return "" if cost.trend is None else f" x {cost.trend.now:f} / {cost.trend.then:f}"


def _sum(product: str, *more: Decimal | None) -> str:
    return " + ".join([product, *(f"{part:f}" for part in more if part)])


def _exchange(formula: str, rate: Decimal) -> str:
    return formula if rate is SAME_CURRENCY else f"({formula}) x {rate:f}"
