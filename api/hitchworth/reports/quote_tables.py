"""The tables of a quote that its readers share: the price from part to total, options, contingency, payments."""

from collections.abc import Iterator, Sequence
from decimal import Decimal

from hitchworth.localization.estimates import RATE_PLACES
from hitchworth.model.quote import AlternativeChoice, QuotedPayment, TaxAmount
from hitchworth.reports.content import AnyBlock, Column, Listing, Paragraph, Table
from hitchworth.reports.quote_context import QuoteContext

COMBINATIONS_SHOWN = 24
"""More combinations are not printed; the answer of the API has them all."""


def price_table(context: QuoteContext) -> tuple[AnyBlock, ...]:
    """Return how the total comes about. Every table adds up on paper."""
    quote, totals = context.quote, context.quote.totals
    rows = [(context.format("price"), context.money(totals.price))]
    if context.pricing.discount is not None:
        reason = context.format("discount", reason=context.pricing.discount.reason)
        rows.append((reason, context.money(-totals.discount)))
    if quote.contingency is not None:
        rate = quote.contingency.rate
        label = "contingency" if rate is None else "contingency_rate"
        rows.append((context.format(label, rate=rate), context.money(totals.contingency)))
    if len(rows) > 1:
        rows.append((context.format("before_tax"), context.money(totals.before_tax)))
    rows += _tax_rows(context)
    is_open = totals.total_at_most != totals.total
    foot = (context.format("total_open" if is_open else "total"), context.money(totals.total))
    columns = (Column(context.format("item"), width=1), Column(context.format("amount"), align="right"))
    table = Table(context.format("totals_caption"), columns, tuple(rows), foot)
    if not is_open or totals.total_at_most is None:
        return (table,)
    at_most = context.sheet("named", name=context.format("total_at_most"), value=context.money(totals.total_at_most))
    return (table, Paragraph(at_most))


def _tax_rows(context: QuoteContext) -> Iterator[tuple[str, str]]:
    taxed = [each for each in context.quote.taxes if each.tax]
    by_line = context.pricing.tax.basis == "line"
    for each in taxed:
        label = context.format(
            "tax_per_line" if by_line else "tax_on", kind=kind_label(context, each), rate=each.rate, base=each.base
        )
        yield label, context.money(each.tax)


def kind_label(context: QuoteContext, tax: TaxAmount) -> str:
    """Return what is taxed; work, where its kind is not known."""
    return context.format("work") if tax.kind is None else context.localizer.label("taxed_kind", tax.kind)


def contingency_draws(context: QuoteContext) -> tuple[AnyBlock, ...]:
    """Return what the contingency is for, and what each event took from it and left."""
    contingency = context.quote.contingency
    if contingency is None:
        return ()
    meaning = [context.format("contingency_meaning")]
    if contingency.unused_returned is not None:
        meaning.append(context.format("unused_goes_back" if contingency.unused_returned else "unused_is_kept"))
    paragraph = Paragraph(" ".join(meaning))
    if not contingency.draws:
        return (paragraph,)
    columns = (
        Column(context.format("event"), width=1),
        Column(context.format("drawn_on")),
        *(Column(context.format(title), align="right") for title in ("drawn", "remaining", "minimum")),
    )
    rows = tuple(
        (
            f"{draw.event}\n{context.format('below_minimum')}" if draw.below_minimum else draw.event,
            context.localizer.formats.day(draw.drawn_on),
            context.money(draw.amount),
            context.money(draw.remaining),
            "" if draw.minimum is None else context.money(draw.minimum),
        )
        for draw in contingency.draws
    )
    foot = (context.format("total"), "", context.money(contingency.drawn), context.money(contingency.remaining), "")
    return (paragraph, Table(context.format("draws_caption"), columns, rows, foot))


def option_tables(context: QuoteContext) -> tuple[AnyBlock, ...]:
    """Return each alternative with what it changes, and the totals of all combinations where there are not too many."""
    quote = context.quote
    if not quote.alternatives:
        return ()
    columns = (
        Column(context.format("option"), width=1),
        *(Column(context.format(title), align="right") for title in ("difference", "total")),
    )
    rows = tuple(
        (
            _alternative(context, each),
            context.format("in_total") if each.chosen else context.money(each.difference),
            context.money(each.total),
        )
        for each in quote.alternatives
    )
    table = Table(context.format("options_caption"), columns, rows)
    several = len(context.pricing.option_groups) > 1 and len(quote.combinations) <= COMBINATIONS_SHOWN
    return (table, *((_combinations(context),) if several else ()))


def _alternative(context: QuoteContext, choice: AlternativeChoice) -> str:
    if not choice.name:
        return context.format("without_option", group=choice.group)
    return context.sheet("named", name=choice.group, value=choice.name)


def _combinations(context: QuoteContext) -> Table:
    groups = context.pricing.option_groups
    columns = (
        *(Column(group.name, width=1) for group in groups),
        Column(context.format("total"), align="right"),
    )
    rows = tuple(
        (*(name or "–" for name in each.chosen), context.money(each.total)) for each in context.quote.combinations
    )
    return Table(context.format("combinations_caption"), columns, rows)


def payments_table(context: QuoteContext, payments: Sequence[QuotedPayment]) -> tuple[AnyBlock, ...]:
    """Return the payments at their milestones, and what is held back of them."""
    if not payments:
        return ()
    retainage, retained = context.pricing.retainage, sum((payment.retained for payment in payments), Decimal(0))
    held = bool(retained)
    dated = any(payment.due_on for payment in payments)
    shared = any(payment.share is not None for payment in payments)
    titles = (*(("share",) if shared else ()), "amount", *(("retained", "due") if held else ()))
    columns = (
        Column(context.format("milestone"), width=1),
        *((Column(context.format("due_on")),) if dated else ()),
        *(Column(context.format(title), align="right") for title in titles),
    )
    rows = tuple(_payment(context, payment, held=held, dated=dated, shared=shared) for payment in payments)
    sums = [sum((payment.amount for payment in payments), Decimal(0))]
    if held:
        sums += [retained, sums[0] - retained]
    foot = (context.format("total"), *("",) * (dated + shared), *map(context.money, sums))
    table = Table(context.format("payments_caption"), columns, rows, foot)
    if retainage is None:
        return (table,)
    return (table, Paragraph(context.format("retainage", rate=retainage.rate, released=retainage.released)))


def _payment(
    context: QuoteContext, payment: QuotedPayment, *, held: bool, dated: bool, shared: bool
) -> tuple[str, ...]:
    formats = context.localizer.formats
    milestone = payment.milestone
    if payment.paid_on is not None:
        milestone = f"{milestone}\n{context.format('paid_on', day=payment.paid_on)}"
    share = "" if payment.share is None else formats.percent(payment.share, RATE_PLACES)
    amounts = (payment.amount, *((payment.retained, payment.due) if held else ()))
    day = formats.day(payment.due_on) if payment.due_on else ""
    return (milestone, *((day,) if dated else ()), *((share,) if shared else ()), *map(context.money, amounts))


def listing(items: tuple[str, ...]) -> tuple[AnyBlock, ...]:
    """Return a list; nothing for no items."""
    return (Listing(items),) if items else ()
