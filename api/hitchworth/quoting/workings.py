"""Workings of a quote: its formulas with their numbers, so that a person can work them out again."""

from collections.abc import Iterator, Sequence
from decimal import Decimal
from fractions import Fraction

from hitchworth.model.pricing import Markup, QuotePricing
from hitchworth.model.quote import QuotedPayment, QuoteFigure, QuoteWorking
from hitchworth.money import Money
from hitchworth.quoting.markup import factors, markup_by_kind
from hitchworth.quoting.payments import retainage_rate
from hitchworth.quoting.priced_quote import PricedQuote
from hitchworth.valuation.formula import format_number
from hitchworth.valuation.indirect_costs import LACKS_OVERHEAD, LACKS_PROFIT


def line_workings(pricing: QuotePricing, priced: PricedQuote, index: int, money: Money) -> Iterator[QuoteWorking]:
    """Yield the formulas of a line. Overhead, profit, discount and tax of a line are its part, by largest remainder."""
    entry, shares = priced.entries[index], factors(markup_by_kind(pricing)[priced.entries[index].cost_kind])
    direct, price = money.from_minor_units(entry.direct), money.from_minor_units(priced.prices[index])
    if entry.priced_quantity != entry.quantity and entry.quantity is not None:
        waste = next(each for each in pricing.waste if each.category == entry.category)
        exact = entry.quantity * (1 + waste.rate)
        bought = f"{exact:f}" if exact == entry.priced_quantity else f"{exact:f}, {entry.priced_quantity:f}"
        yield _working("quantity", f"{entry.quantity:f} x (1 + {waste.rate:f})", bought)
    if entry.formula:
        yield _working("direct_cost", entry.formula, direct)
    if entry.includes in LACKS_OVERHEAD and shares.overhead:
        overhead = money.from_minor_units(priced.amounts.overhead[index])
        yield _working("overhead", f"{direct} x {format_number(shares.overhead)}", overhead)
    share = shares.profit if entry.includes in LACKS_OVERHEAD else shares.profit_alone
    if entry.includes in LACKS_PROFIT and share:
        yield _working(
            "profit", f"{direct} x {format_number(share)}", money.from_minor_units(priced.amounts.profit[index])
        )
    parts = [entry.direct, priced.amounts.overhead[index], priced.amounts.profit[index]]
    yield _working("price", _sum(parts, money), price)
    if priced.discount:
        total, discount = money.from_minor_units(priced.price), money.from_minor_units(priced.discount)
        part = money.from_minor_units(priced.discounts[index])
        yield _working("discount", f"{discount} x {price} / {total}", part)
    treatment = priced.taxes.lines[index].treatment
    if treatment.taxed and treatment.rate is not None:
        base = money.from_minor_units(priced.prices[index] - priced.discounts[index])
        tax = money.from_minor_units(priced.taxes.amounts[index])
        yield _working("tax", f"{base} x {treatment.rate:f}", tax)


def total_workings(
    pricing: QuotePricing, priced: PricedQuote, payments: Sequence[QuotedPayment], money: Money
) -> Iterator[QuoteWorking]:
    """Yield the formulas of the totals: overhead and profit by kind, contingency, discount, tax, total, payments."""
    yield from _markups(pricing, priced, money)
    price = money.from_minor_units(priced.price)
    if pricing.contingency is not None and pricing.contingency.rate is not None:
        contingency = money.from_minor_units(priced.contingency)
        yield _working("contingency", f"{price} x {pricing.contingency.rate:f}", contingency)
    if pricing.discount is not None and pricing.discount.rate is not None:
        yield _working("discount", f"{price} x {pricing.discount.rate:f}", money.from_minor_units(priced.discount))
    yield from _tax(pricing, priced, money)
    discount, contingency, tax, total = map(
        money.from_minor_units, (priced.discount, priced.contingency, priced.tax, priced.total)
    )
    yield _working("total", f"{price} - {discount} + {contingency} + {tax}", total)
    for index, payment in enumerate(payments):
        if payment.share is not None:
            yield _working("payment", f"{total} x {payment.share:f}", payment.amount)
        if payment.retained:
            yield _working("retained", f"{payment.amount} x {retainage_rate(pricing, index):f}", payment.retained)


def _markups(pricing: QuotePricing, priced: PricedQuote, money: Money) -> Iterator[QuoteWorking]:
    """Overhead and profit as a whole: by kind of cost and by what the lines include, then rounded once."""
    overhead: list[str] = []
    profit: list[str] = []
    for kind, markup in markup_by_kind(pricing).items():
        of_kind = [entry for entry in priced.entries if entry.cost_kind == kind]
        whole = sum(entry.direct for entry in of_kind if entry.includes in LACKS_OVERHEAD)
        part = sum(entry.direct for entry in of_kind if entry.includes in LACKS_PROFIT - LACKS_OVERHEAD)
        shares = factors(markup)
        if whole and shares.overhead:
            overhead.append(f"{money.from_minor_units(whole)} x {_overhead_share(markup, shares.overhead)}")
        profit += [
            f"{money.from_minor_units(base)} x {format_number(share)}"
            for base, share in ((whole, shares.profit), (part, shares.profit_alone))
            if base and share
        ]
    if overhead:
        yield _working("overhead", " + ".join(overhead), money.from_minor_units(sum(priced.amounts.overhead)))
    if profit:
        yield _working("profit", " + ".join(profit), money.from_minor_units(sum(priced.amounts.profit)))


def _overhead_share(markup: Markup, share: Fraction) -> str:
    return f"{markup.overhead_rate:f}" if markup.overhead_basis == "markup" else format_number(share)


def _tax(pricing: QuotePricing, priced: PricedQuote, money: Money) -> Iterator[QuoteWorking]:
    """The tax on the taxable total; on each line, it stands with the lines."""
    if pricing.tax.basis != "total" or not priced.tax:
        return
    bases: dict[Decimal, int] = {}
    for line in priced.taxes.lines:
        if line.treatment.taxed and line.treatment.rate is not None and line.base:
            bases[line.treatment.rate] = bases.get(line.treatment.rate, 0) + line.base
    formula = " + ".join(f"{money.from_minor_units(base)} x {rate:f}" for rate, base in bases.items())
    yield _working("tax", formula, money.from_minor_units(priced.tax))


def _sum(parts: Sequence[int], money: Money) -> str:
    return " + ".join(str(money.from_minor_units(part)) for part in parts)


def _working(figure: QuoteFigure, formula: str, result: Decimal | str) -> QuoteWorking:
    return QuoteWorking(figure=figure, formula=f"{formula} = {result}")
