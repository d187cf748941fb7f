"""The quotes of a workshop: a build and its pricing in; lines, totals, options and payments out.

The docstrings of the functions are the descriptions of the API. Where a request names no date, today's is used.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Annotated, Any

from msgspec import Meta

from hitchworth import appraisal
from hitchworth.localization.localize import localize
from hitchworth.localization.localizer import localizer_for
from hitchworth.model.document import Document
from hitchworth.model.quote import Quote
from hitchworth.model.request import GapRequest, QuoteRequest
from hitchworth.operations.appraisals import create_gap_statement
from hitchworth.operations.clock import today
from hitchworth.operations.documents import request_at
from hitchworth.operations.reports import PaperSize
from hitchworth.reports.content import Content
from hitchworth.reports.context import ReportContext
from hitchworth.reports.photo import printable
from hitchworth.reports.quote_catalog import QuoteReportName, make_handover_statement, make_quote_report
from hitchworth.reports.quote_context import QuoteContext
from hitchworth.validation import InvalidInputError


@contextmanager
def quote_faults() -> Iterator[None]:
    """Turn the faults that only the computed quote shows into those of the input."""
    try:
        yield
    except appraisal.QuoteFaultsError as error:
        raise InvalidInputError(error.faults) from None


def create_quote(request: QuoteRequest) -> Quote:
    """Quote a build.

    Every entry at its price: waste by category, labor at shop rates, overhead and profit as a markup or a margin. Then
    contingency, discount, tax by what the place taxes, every combination of the options, and payments that add up to
    the total. What is not known about tax is asked, and the total is without it. As CSV or TSV: the lines.
    """
    with quote_faults():
        quote = appraisal.quote(request.build, request.pricing, request.as_of or today(), request.options)
    return localize(quote, request.locale)


def create_quote_report(
    request: QuoteRequest,
    report: Annotated[QuoteReportName, Meta(description="The report.", examples=["customer-quote"])],
    paper: PaperSize = None,
) -> Content:
    """Make a report of a quote.

    The quote for the customer, without the workshop's costs; the quote for the workshop, with them; or the handover
    statement: replacement value, questions for the insurer, serial numbers, and what was certified by whom.
    """
    context = _context(request, create_quote(request))
    if report != "handover":
        return make_quote_report(report, context, paper)
    document = accepted_document(request)
    gap = request_at(document, GapRequest, request.as_of or today())
    owners = ReportContext(document.build, document.policies, create_gap_statement(gap), context.localizer)
    return make_handover_statement(context, owners, paper)


def accepted_document(request: QuoteRequest) -> Document:
    """Return the document of the build as its owner pays for it."""
    own: dict[str, Any] = {name: getattr(request, name) for name in Document.__struct_fields__}
    build = appraisal.accepted_build(request.build, request.pricing, request.as_of or today(), request.options)
    return Document(**{**own, "build": build})


def _context(request: QuoteRequest, quote: Quote) -> QuoteContext:
    workshop = request.pricing.workshop
    logo = None if workshop is None or workshop.logo is None else printable(workshop.logo)
    localizer = localizer_for(request.locale, request.build.currency)
    return QuoteContext(request.build, request.pricing, quote, localizer, logo)
