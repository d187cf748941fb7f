"""The quote for the customer: what is quoted and at which price, and nothing of what it costs the workshop."""

from collections.abc import Sequence
from decimal import Decimal

from hitchworth.model.quote import QuoteLine
from hitchworth.reports.content import AnyBlock, Blanks, Column, GroupedTable, Heading, Listing, Paragraph
from hitchworth.reports.quote_context import QuoteContext, by_category, cautions, letterhead, quantity, questions
from hitchworth.reports.quote_tables import contingency_draws, listing, option_tables, payments_table, price_table


def customer_quote(context: QuoteContext) -> tuple[AnyBlock, ...]:
    """Return the blocks of the report, the acceptance last."""
    return (
        *letterhead(context, with_days=True),
        *_lines(context),
        *price_table(context),
        *contingency_draws(context),
        *option_tables(context),
        *payments_table(context, context.quote.payments),
        *_supplied(context),
        *_exclusions(context),
        *questions(context),
        *_terms(context),
        cautions(context),
        *_acceptance(context),
    )


def _lines(context: QuoteContext) -> tuple[AnyBlock, ...]:
    """Return the lines at their prices before discount and tax, a group with subtotals for each category."""
    if not context.quote.lines:
        return ()
    columns = (
        Column(context.format("item"), width=1),
        Column(context.format("quantity"), align="right"),
        Column(context.format("line_price"), align="right"),
    )
    groups = by_category(
        context,
        lambda line: (_item(context, line), quantity(context, line.quantity, line.unit), context.money(line.price)),
        lambda lines: ("", context.money(_price(lines))),
    )
    foot = (context.format("price"), "", context.money(context.quote.totals.price))
    return (GroupedTable(context.format("lines_caption"), columns, groups, foot),)


def _item(context: QuoteContext, line: QuoteLine) -> str:
    remark = context.format(line.kind) if line.kind in {"allowance", "handling"} else ""
    return "\n".join(filter(None, (line.description, remark)))


def _price(lines: Sequence[QuoteLine]) -> Decimal:
    return sum((line.price for line in lines), Decimal(0))


def _supplied(context: QuoteContext) -> tuple[AnyBlock, ...]:
    parts = {part.id: part.description for part in context.build.components}
    supplied = tuple(parts[name] for name in context.quote.customer_supplies)
    return (Heading(context.format("supplied_caption")), Listing(supplied)) if supplied else ()


def _exclusions(context: QuoteContext) -> tuple[AnyBlock, ...]:
    exclusions = context.pricing.exclusions
    return (Heading(context.format("exclusions")), *listing(exclusions)) if exclusions else ()


def _terms(context: QuoteContext) -> tuple[AnyBlock, ...]:
    """Return the workshop's own terms as they were written, a paragraph for each."""
    paragraphs = tuple(part.strip() for part in context.pricing.terms.split("\n\n") if part.strip())
    return (Heading(context.format("terms")), *map(Paragraph, paragraphs)) if paragraphs else ()


def _acceptance(context: QuoteContext) -> tuple[AnyBlock, ...]:
    blanks = ("accepted_name", "accepted_date", "accepted_signature")
    return (Heading(context.format("acceptance")), Blanks(tuple(map(context.format, blanks))))
