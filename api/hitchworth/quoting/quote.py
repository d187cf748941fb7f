"""The quote: direct cost, overhead, profit, contingency, discount, tax and payments, in this order."""

from collections.abc import Iterator, Sequence
from datetime import date
from decimal import Decimal, localcontext
from itertools import product

from hitchworth.model.build import Build
from hitchworth.model.entry import PriceContent
from hitchworth.model.options import Options
from hitchworth.model.pricing import QuotePricing
from hitchworth.model.quote import (
    AlternativeChoice,
    KnownCost,
    MarkupTerms,
    OptionCombination,
    Quote,
    QuotedContingency,
    QuotedPayment,
    QuoteLine,
    QuoteQuestion,
    QuoteTotals,
)
from hitchworth.money import PRECISE, Money, round_ratio
from hitchworth.quoting.contingency import overdrawn, quoted_contingency
from hitchworth.quoting.entries import QuoteEntry
from hitchworth.quoting.markup import factors, markup_by_kind
from hitchworth.quoting.payments import deposit_of, payment_faults, quoted_payments
from hitchworth.quoting.priced_quote import PricedQuote, QuoteFaultsError, Quoting
from hitchworth.quoting.tax import tax_amounts, tax_questions
from hitchworth.quoting.workings import line_workings, total_workings
from hitchworth.reference.quote_rules import deposit_yardstick
from hitchworth.valuation.indirect_costs import LACKS_OVERHEAD, LACKS_PROFIT

PLACES = 12
RATE_PLACES = 6
"""Decimal places of a margin."""


def quote(build: Build, pricing: QuotePricing, as_of: date, options: Options) -> Quote:
    """Return the quote of a validated build and pricing. Raises QuoteFaultsError for faults of its results."""
    with localcontext(PRECISE):
        quoting = Quoting(build, pricing, as_of, options)
        priced = quoting.priced(quoting.chosen)
        check(quoting, priced)
        return _quote(quoting, priced, options)


def check(quoting: Quoting, priced: PricedQuote) -> None:
    """Raise QuoteFaultsError where payments do not add up to the total, or the contingency is overdrawn."""
    pricing, money = quoting.pricing, quoting.money
    faults = [*overdrawn(pricing, priced.contingency, money), *payment_faults(pricing, priced.total, money)]
    if faults:
        raise QuoteFaultsError(faults)


def _quote(quoting: Quoting, priced: PricedQuote, options: Options) -> Quote:
    pricing, money, notes = quoting.pricing, quoting.money, quoting.notes
    payments = quoted_payments(pricing, priced.total, money)
    kept = pricing.contingency
    contingency = None if kept is None else quoted_contingency(kept, priced.price, money, notes)
    questions = (
        *tax_questions(priced.taxes, money),
        *_option_questions(quoting),
        *_contingency_questions(contingency),
    )
    combinations = tuple(_combinations(quoting))
    _note_terms(quoting, payments)
    return Quote(
        name=quoting.build.name,
        quoted_on=quoting.quoted_on,
        locale="",
        currency=quoting.build.currency,
        number=pricing.number,
        valid_until=pricing.valid_until,
        completion_on=pricing.completion_on,
        lines=tuple(quote_lines(quoting, priced, options)),
        customer_supplies=tuple(each.id for each in pricing.customer_supplies),
        markups=tuple(_markup_terms(quoting, priced)),
        totals=quote_totals(priced, money),
        known_cost=_known_cost(priced, money),
        contingency=contingency,
        taxes=tuple(tax_amounts(priced.taxes, money)),
        alternatives=tuple(_alternatives(quoting, priced.total)),
        combinations=combinations,
        payments=payments,
        retained=sum((payment.retained for payment in payments), money.zero),
        questions=questions,
        notes=notes.collected(),
        workings=tuple(total_workings(quoting.pricing, priced, payments, money)) if options.workings else (),
    )


def quote_lines(quoting: Quoting, priced: PricedQuote, options: Options) -> Iterator[QuoteLine]:
    """Yield the lines with their amounts, and with their formulas where the options ask for them."""
    money = quoting.money
    for index, entry in enumerate(priced.entries):
        taxed = priced.taxes.lines[index]
        yield QuoteLine(
            id=entry.id,
            kind=entry.kind,
            description=entry.description,
            category=entry.category,
            cost_kind=entry.cost_kind,
            quantity=entry.quantity,
            unit=entry.unit,
            priced_quantity=entry.priced_quantity,
            cost=None if entry.cost is None else money.from_minor_units(entry.cost),
            direct_cost=money.from_minor_units(entry.direct),
            includes=entry.includes,
            overhead=money.from_minor_units(priced.amounts.overhead[index]),
            profit=money.from_minor_units(priced.amounts.profit[index]),
            price=money.from_minor_units(priced.prices[index]),
            discount=money.from_minor_units(priced.discounts[index]),
            taxed_as=entry.taxed_as,
            taxed=taxed.treatment.taxed,
            tax=money.from_minor_units(priced.taxes.amounts[index]),
            option=entry.option,
            workings=tuple(line_workings(quoting.pricing, priced, index, money)) if options.workings else (),
        )


def quote_totals(priced: PricedQuote, money: Money) -> QuoteTotals:
    """Return the sums of the lines."""
    total, open_tax = priced.total, priced.taxes.open_at_most
    return QuoteTotals(
        direct_cost=money.from_minor_units(sum(entry.direct for entry in priced.entries)),
        overhead=money.from_minor_units(sum(priced.amounts.overhead)),
        profit=money.from_minor_units(sum(priced.amounts.profit)),
        price=money.from_minor_units(priced.price),
        discount=money.from_minor_units(priced.discount),
        contingency=money.from_minor_units(priced.contingency),
        before_tax=money.from_minor_units(total - priced.tax),
        tax=money.from_minor_units(priced.tax),
        total=money.from_minor_units(total),
        total_at_most=None if open_tax is None else money.from_minor_units(total + open_tax),
    )


def _known_cost(priced: PricedQuote, money: Money) -> KnownCost:
    rows = [
        (entry.cost, price - discount)
        for entry, price, discount in zip(priced.entries, priced.prices, priced.discounts, strict=True)
    ]
    known = [(cost, price) for cost, price in rows if cost is not None]
    cost, price = sum(cost for cost, _ in known), sum(price for _, price in known)
    return KnownCost(
        lines=len(known),
        lines_unknown=len(rows) - len(known),
        cost=money.from_minor_units(cost),
        price=money.from_minor_units(price),
        gross_profit=money.from_minor_units(price - cost),
        margin=_signed_ratio(price - cost, price) if price else None,
        markup=_signed_ratio(price - cost, cost) if cost else None,
    )


def _signed_ratio(numerator: int, denominator: int) -> Decimal:
    ratio = round_ratio(abs(numerator), denominator, RATE_PLACES)
    return ratio if numerator >= 0 else -ratio


def _markup_terms(quoting: Quoting, priced: PricedQuote) -> Iterator[MarkupTerms]:
    for kind, markup in markup_by_kind(quoting.pricing).items():
        entries = [entry for entry in priced.entries if entry.cost_kind == kind]
        if entries:
            shares = factors(markup)
            yield MarkupTerms(
                kind=kind,
                markup=markup,
                overhead_base=_base(entries, LACKS_OVERHEAD, quoting.money),
                profit_base=_base(entries, LACKS_PROFIT, quoting.money),
                overhead_on_cost=round_ratio(*shares.overhead.as_integer_ratio(), PLACES),
                profit_on_cost=round_ratio(*shares.profit.as_integer_ratio(), PLACES),
            )


def _base(entries: Sequence[QuoteEntry], lacks: frozenset[PriceContent], money: Money) -> Decimal:
    return money.from_minor_units(sum(entry.direct for entry in entries if entry.includes in lacks))


def _alternatives(quoting: Quoting, total: int) -> Iterator[AlternativeChoice]:
    """Yield each alternative of each group, and none of them, the other groups as they are chosen."""
    money = quoting.money
    for index, group in enumerate(quoting.pricing.option_groups):
        for name in _names_of_group(quoting, index):
            chosen = (*quoting.chosen[:index], name, *quoting.chosen[index + 1 :])
            with_it = quoting.total(chosen)
            yield AlternativeChoice(
                group=group.name,
                name=name,
                chosen=name == quoting.chosen[index],
                total=money.from_minor_units(with_it),
                difference=money.from_minor_units(with_it - total),
            )


def _combinations(quoting: Quoting) -> Iterator[OptionCombination]:
    groups = quoting.pricing.option_groups
    if groups:
        for chosen in product(*(_names_of_group(quoting, index) for index in range(len(groups)))):
            yield OptionCombination(chosen=chosen, total=quoting.money.from_minor_units(quoting.total(chosen)))


def _names_of_group(quoting: Quoting, index: int) -> tuple[str, ...]:
    """The names to choose from; none of them comes first where it may be left out."""
    group = quoting.pricing.option_groups[index]
    return (*(() if group.required else ("",)), *(alternative.name for alternative in group.alternatives))


def _option_questions(quoting: Quoting) -> Iterator[QuoteQuestion]:
    for group in quoting.pricing.option_groups:
        if group.required and group.chosen is None:
            yield QuoteQuestion(code="option", about=group.name)


def _contingency_questions(contingency: QuotedContingency | None) -> Iterator[QuoteQuestion]:
    if contingency is not None and contingency.unused_returned is None:
        yield QuoteQuestion(code="unused_contingency", about="", base=contingency.remaining)


def _note_terms(quoting: Quoting, payments: Sequence[QuotedPayment]) -> None:
    pricing, money, notes = quoting.pricing, quoting.money, quoting.notes
    if pricing.valid_until is None:
        notes.add("quote_without_validity")
    yardstick = deposit_yardstick(pricing.tax.place or quoting.build.jurisdiction, quoting.build.currency)
    first = deposit_of(payments)
    if yardstick is not None and first is not None:
        total = sum((payment.amount for payment in payments), money.zero)
        least = min(yardstick.amount, total * yardstick.share)
        if first.amount > least:
            deposit = f"{first.amount:f}"
            limit = f"{money.from_minor_units(money.to_minor_units(least)):f}"
            notes.add("deposit_above_yardstick", deposit=deposit, limit=limit, source=yardstick.source)
