"""The reports of a quote by name. Each has one reader; its content is built once and printed in any format."""

from datetime import date
from typing import Literal, TypeAlias

from hitchworth.model.change_order import Contract
from hitchworth.reports.change_orders import change_orders
from hitchworth.reports.content import AnyBlock, Content, Paper, default_paper, footer_name
from hitchworth.reports.context import ReportContext
from hitchworth.reports.customer_quote import customer_quote
from hitchworth.reports.handover import handover_statement
from hitchworth.reports.quote_context import QuoteContext
from hitchworth.reports.workshop_quote import workshop_quote

QuoteReportName: TypeAlias = Literal["customer-quote", "workshop-quote", "change-orders", "handover"]
"""A report of a quote.

customer-quote: for the customer: prices, options, payments and terms, without the workshop's costs
workshop-quote: for the workshop: cost, overhead, profit and price of every line
change-orders: for the customer: what changed after the quote, with room to accept it
handover: for the customer at handover: replacement value, questions for the insurer, serial numbers, certificates
"""


def make_quote_report(
    name: Literal["customer-quote", "workshop-quote"], context: QuoteContext, paper: Paper | None = None
) -> Content:
    """Return the content of a report on the quote. Default paper: that of the locale's region."""
    blocks = customer_quote(context) if name == "customer-quote" else workshop_quote(context)
    return _content(context, name.replace("-", "_"), context.quote.quoted_on, blocks, paper)


def make_change_order_report(context: QuoteContext, contract: Contract, paper: Paper | None = None) -> Content:
    """Return the content of the report on change orders, dated by the last of them."""
    days = [change.dated for change in contract.changes]
    return _content(
        context, "change_orders", max(days, default=context.quote.quoted_on), change_orders(context, contract), paper
    )


def make_handover_statement(
    context: QuoteContext, report: ReportContext, paper: Paper | None = None, *, policies_known: bool
) -> Content:
    """Return the content of the handover statement, dated by the valuation."""
    blocks = handover_statement(context, report, policies_known=policies_known)
    return _content(context, "handover", report.statement.as_of, blocks, paper)


def _content(
    context: QuoteContext, title: str, day: date, blocks: tuple[AnyBlock, ...], paper: Paper | None
) -> Content:
    titled, number = context.format(title), context.quote.number
    subtitle = "of_day" if number is None else "numbered"
    return Content(
        title=context.build.name,
        subtitle=context.format(subtitle, title=titled, number=number, day=day),
        language=context.localizer.locale.texts,
        paper=paper or default_paper(context.localizer.formats.locale.territory),
        dated=day,
        footer=context.format("footer", title=titled, name=footer_name(context.build.name), day=day),
        blocks=(*context.footnote(blocks), *blocks),
    )
