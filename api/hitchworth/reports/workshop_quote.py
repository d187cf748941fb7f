"""The quote for the workshop: cost, overhead, profit and price of every line, what is left, and why what is taxed."""

from collections.abc import Iterator, Sequence
from decimal import Decimal

from hitchworth.localization.localizer import capital
from hitchworth.model.indirect_costs import ProfitBasis
from hitchworth.model.quote import MarkupTerms, QuoteLine, QuoteWorking, TaxAmount
from hitchworth.reports.content import AnyBlock, Caution, Column, Group, GroupedTable, Heading, Paragraph, Table
from hitchworth.reports.quote_context import QuoteContext, by_category, cautions, letterhead, quantity, questions
from hitchworth.reports.quote_tables import (
    contingency_draws,
    kind_label,
    listing,
    option_tables,
    payments_table,
    price_table,
)

AMOUNTS = ("direct_cost", "overhead", "profit", "price")


def workshop_quote(context: QuoteContext) -> tuple[AnyBlock, ...]:
    """Return the blocks of the report."""
    notes = tuple(dict.fromkeys(note.text for note in context.quote.notes))
    return (
        *letterhead(context, with_days=True),
        Caution(context.format("for_the_workshop"), (context.format("not_for_the_customer"),)),
        *_lines(context),
        *_left(context),
        *_markups(context),
        *price_table(context),
        *_taxes(context),
        *contingency_draws(context),
        *option_tables(context),
        *payments_table(context, context.quote.payments),
        *questions(context),
        *((Heading(context.format("notes")), *listing(notes)) if notes else ()),
        *_workings(context),
        cautions(context),
    )


def _lines(context: QuoteContext) -> tuple[AnyBlock, ...]:
    if not context.quote.lines:
        return ()
    titles = ("quantity", "own_cost", "direct_cost", "overhead", "profit", "line_price")
    columns = (
        Column(context.format("item"), width=1),
        *(Column(context.format(title), align="right") for title in titles),
    )
    groups = by_category(context, lambda line: _line(context, line), lambda lines: _subtotals(context, lines))
    totals = context.quote.totals
    foot = (
        context.format("total"),
        "",
        context.amount(context.quote.known_cost.cost),
        *(context.amount(getattr(totals, name)) for name in AMOUNTS),
    )
    return (GroupedTable(context.format("cost_lines_caption"), columns, groups, foot),)


def _line(context: QuoteContext, line: QuoteLine) -> tuple[str, ...]:
    cost = "?" if line.cost is None else context.amount(line.cost)
    amounts = (context.amount(getattr(line, name)) for name in AMOUNTS)
    return (line.description, quantity(context, line.priced_quantity, line.unit), cost, *amounts)


def _subtotals(context: QuoteContext, lines: Sequence[QuoteLine]) -> tuple[str, ...]:
    known = sum((line.cost for line in lines if line.cost is not None), Decimal(0))
    sums = (sum((getattr(line, name) for line in lines), Decimal(0)) for name in AMOUNTS)
    return ("", context.amount(known), *map(context.amount, sums))


def _left(context: QuoteContext) -> tuple[AnyBlock, ...]:
    """Return what is left of the price of the lines whose cost is known."""
    known = context.quote.known_cost
    texts = []
    if known.lines:
        amounts = {"cost": known.cost, "price": known.price, "gross_profit": known.gross_profit}
        texts.append(context.format("known_cost", lines=str(known.lines), **amounts))
        if known.margin is not None and known.markup is not None:
            texts.append(context.format("known_margin", margin=known.margin, markup=known.markup))
    if known.lines_unknown:
        texts.append(context.format("cost_not_known", count=str(known.lines_unknown)))
    return (Paragraph(" ".join(texts)),) if texts else ()


def _markups(context: QuoteContext) -> tuple[AnyBlock, ...]:
    """Return the overhead and profit of each kind of cost that bears any; a shop rate holds both already."""
    rows = tuple(
        (
            capital(context.localizer.label("cost_kind", each.kind)),
            _bearing(
                context, _share(context, each.markup.overhead_rate, each.markup.overhead_basis), each.overhead_base
            ),
            _bearing(context, _profit(context, each), each.profit_base),
        )
        for each in context.quote.markups
        if (each.markup.overhead_rate and each.overhead_base) or (each.markup.profit_rate and each.profit_base)
    )
    columns = tuple(Column(context.format(title), width=1) for title in ("cost_kind", "overhead", "profit"))
    return (Table(context.format("markups_caption"), columns, rows),) if rows else ()


def _bearing(context: QuoteContext, share: str, base: Decimal) -> str:
    """Return a share with the cost that bears it in small print."""
    return f"{share}\n{context.format('bearing', base=base)}"


def _profit(context: QuoteContext, terms: MarkupTerms) -> str:
    markup = terms.markup
    if markup.compounded and markup.profit_basis == "markup" and markup.profit_rate:
        return context.format("markup_compounded", rate=markup.profit_rate)
    return _share(context, markup.profit_rate, markup.profit_basis)


def _share(context: QuoteContext, rate: Decimal, basis: ProfitBasis) -> str:
    return context.format(basis, rate=rate) if rate else "–"


def _taxes(context: QuoteContext) -> tuple[AnyBlock, ...]:
    taxes = context.quote.taxes
    if not taxes:
        return ()
    columns = (
        Column(context.format("item"), width=1),
        Column(context.format("why"), width=2),
        *(Column(context.format(title), align="right") for title in ("base", "rate", "tax")),
    )
    rows = tuple(
        (
            capital(kind_label(context, each)),
            "\n".join(filter(None, (context.localizer.label("tax_basis", each.basis), _source(context, each)))),
            context.money(each.base),
            "" if each.rate is None else context.localizer.formats.percent(each.rate, 10),
            context.amount(each.tax),
        )
        for each in taxes
    )
    return (Table(context.format("taxes_caption"), columns, rows),)


def _source(context: QuoteContext, tax: TaxAmount) -> str:
    return context.cite(tax.source, verified=tax.provenance != "unverified")


def _workings(context: QuoteContext) -> tuple[AnyBlock, ...]:
    groups = tuple(_working_groups(context))
    if not groups:
        return ()
    columns = (
        Column(context.format("figure")),
        Column(context.format("formula"), width=1),
        Column(context.format("rule"), width=1),
    )
    return (GroupedTable(context.format("workings_caption"), columns, groups),)


def _working_groups(context: QuoteContext) -> Iterator[Group]:
    for line in context.quote.lines:
        if line.workings:
            yield Group(line.description, _rows(context, line.workings))
    if context.quote.workings:
        yield Group(context.format("whole_quote"), _rows(context, context.quote.workings))


def _rows(context: QuoteContext, workings: Sequence[QuoteWorking]) -> tuple[tuple[str, ...], ...]:
    titles = {"price": "line_price", "discount": "discount_short"}
    return tuple((context.format(titles.get(each.figure, each.figure)), each.formula, each.text) for each in workings)
