"""Change orders for the customer: what each adds and drops, its effect on total, payments and date, room to accept."""

from collections.abc import Iterator

from hitchworth.model.change_order import ChangedLine, Contract, QuotedChange
from hitchworth.reports.content import AnyBlock, Blanks, Column, Heading, Listing, Paragraph, Table
from hitchworth.reports.quote_context import QuoteContext, cautions, letterhead
from hitchworth.reports.quote_tables import payments_table


def change_orders(context: QuoteContext, contract: Contract) -> tuple[AnyBlock, ...]:
    """Return the blocks of the report: every change order, then the contract."""
    return (
        *letterhead(context),
        *(block for change in contract.changes for block in _change(context, change)),
        *((Paragraph(context.format("no_changes")),) if not contract.changes else ()),
        _contract(context, contract),
        *((Paragraph(context.format("open_tax")),) if contract.open_tax else ()),
        *payments_table(context, contract.payments),
        *_promised(context, contract),
        cautions(context),
    )


def _change(context: QuoteContext, change: QuotedChange) -> Iterator[AnyBlock]:
    yield Heading(context.format("change_order", number=change.number, reason=change.reason))
    yield Paragraph(" ".join((context.format("change_dated", dated=change.dated), _acceptance(context, change))))
    yield _lines(context, change)
    if change.questions:
        yield Listing(tuple(question.text for question in change.questions))
    if change.accepted_by is None:
        yield Blanks(tuple(map(context.format, ("accepted_name", "accepted_date", "accepted_signature"))))


def _acceptance(context: QuoteContext, change: QuotedChange) -> str:
    if change.accepted_by is None:
        return context.format("change_not_accepted")
    return context.format("change_accepted", accepted_by=change.accepted_by, accepted_on=change.accepted_on)


def _lines(context: QuoteContext, change: QuotedChange) -> Table:
    """Return the changes line by line; before - change - after leave what is not credited."""
    keeps = any(line.kept for line in change.lines)
    titles = ("before", "after", *(("kept",) if keeps else ()), "change", "tax")
    columns = (
        Column(context.format("item"), width=1),
        Column(context.format("effect")),
        *(Column(context.format(title), align="right") for title in titles),
    )
    rows = tuple(_line(context, line, titles) for line in change.lines)
    blank = ("",) * (len(titles) - 1)
    foot = (context.format("total"), *blank, context.money(change.change), context.money(change.tax))
    discounted = context.pricing.discount is not None
    caption = context.format("discounted_lines_caption" if discounted else "changed_lines_caption")
    return Table(caption, columns, rows, foot)


def _line(context: QuoteContext, line: ChangedLine, titles: tuple[str, ...]) -> tuple[str, ...]:
    effect = context.localizer.label("change_effect", line.effect)
    return (line.description, effect, *(context.amount(getattr(line, title)) for title in titles))


def _contract(context: QuoteContext, contract: Contract) -> Table:
    """Return the quote, each accepted change with its tax, and what they come to."""
    rows = [(context.format("quoted_total"), context.money(contract.quote.totals.total))]
    for change in contract.changes:
        if change.accepted_by is not None:
            label = context.format("change_order", number=change.number, reason=change.reason)
            if change.from_contingency:
                label = f"{label}\n{context.format('paid_by_contingency')}: {context.money(change.from_contingency)}"
            rows.append((label, context.amount(change.total_change)))
    columns = (Column(context.format("item"), width=1), Column(context.format("amount"), align="right"))
    foot = (context.format("contract_total"), context.money(contract.contract_total))
    return Table(context.format("contract_caption"), columns, tuple(rows), foot)


def _promised(context: QuoteContext, contract: Contract) -> tuple[AnyBlock, ...]:
    if contract.completion_on is None:
        return ()
    return (Paragraph(context.format("contract_date", day=contract.completion_on)),)
