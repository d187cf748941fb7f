"""The quotes of a workshop: a build and its pricing in; lines, totals, options and payments out.

The docstrings of the functions are the descriptions of the API. Where a request names no date, today's is used.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Annotated, Any

from msgspec import Meta
from msgspec.structs import replace

from hitchworth import appraisal
from hitchworth.localization.localize import localize
from hitchworth.localization.localizer import localizer_for
from hitchworth.localization.texts import texts
from hitchworth.model.change_order import Contract
from hitchworth.model.document import Document
from hitchworth.model.fault import Fault
from hitchworth.model.loss import Loss
from hitchworth.model.policy import Policy
from hitchworth.model.pricing import Workshop
from hitchworth.model.progress_bill import ProgressBill
from hitchworth.model.quote import Quote
from hitchworth.model.quote_variance import QuoteVariance
from hitchworth.model.request import GapRequest, ProgressBillRequest, QuoteRequest, QuoteVarianceRequest
from hitchworth.operations.appraisals import create_gap_statement
from hitchworth.operations.clock import today
from hitchworth.operations.documents import request_at
from hitchworth.operations.reports import PaperSize
from hitchworth.operations.workshop import with_workshop
from hitchworth.reports.content import Content
from hitchworth.reports.context import ReportContext
from hitchworth.reports.photo import printable
from hitchworth.reports.quote_catalog import (
    QuoteReportName,
    make_change_order_report,
    make_handover_statement,
    make_quote_report,
)
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


def create_contract(request: QuoteRequest) -> Contract:
    """Apply change orders to a quote.

    What each adds, drops and reprices, and its effect on the total, the payments and the promised date. A change order
    counts once it is accepted by name and date. It is priced by itself, so the quote and the changes add up to the
    contract. Whether overhead and profit go back with a credit is as agreed, or asked.
    """
    return localize(computed_contract(request), request.locale)


def computed_contract(request: QuoteRequest) -> Contract:
    """Return the contract of a quote, without texts. Raises InvalidInputError with what only computing it shows."""
    with quote_faults():
        return appraisal.contract(
            request.build, request.pricing, request.changes, request.as_of or today(), request.options
        )


def create_accepted_document(request: QuoteRequest, workshop: Workshop | None = None) -> Document:
    """Turn an accepted quote into the document of a build.

    Each line of the contract at what its owner pays, with the written quote as its evidence, to be replaced by receipts
    line by line. Overhead and profit are in the prices.
    """
    if request.pricing.acceptance is None:
        fault = Fault(
            pointer="/pricing/acceptance",
            detail="Nobody has accepted the quote",
            expected="accepted_by and accepted_on",
            found="nothing",
        )
        raise InvalidInputError([fault])
    return accepted_document(with_workshop(request, workshop))


def create_quote_variance(request: QuoteVarianceRequest) -> QuoteVariance:
    """Compare a quote with what was built.

    Direct cost as quoted, accepted change orders included, against what was paid and the hours that it took: by
    category and cause (scope, quantity, labor hours, price). Also what the hours say for the next quote, with a range.
    """
    return compared_with(request)


def compared_with(request: QuoteVarianceRequest, as_quoted: frozenset[str] = frozenset()) -> QuoteVariance:
    """Return the variance of a quote. as_quoted: ids of entries of which nothing but the quote is known yet."""
    with quote_faults():
        variance = appraisal.quote_variance(
            request.build,
            request.pricing,
            request.changes,
            request.as_of or today(),
            request.options,
            built=request.built,
            as_quoted=as_quoted,
        )
    return localize(variance, request.locale)


def create_progress_bill(request: ProgressBillRequest) -> ProgressBill:
    """Bill the progress of a contract.

    A schedule of values: each line of the contract with what was done in earlier periods and in this one, what is
    stored, what is left, and what is held back. Then what is due for this period, its tax, and what is to be paid after
    the deposit, which is credited in full on the first bills. The contingency is billed only as change orders use it.
    """
    with quote_faults():
        billing = appraisal.ProgressBilling(
            request.build, request.pricing, request.changes, request.as_of or today(), request.options
        )
        earlier = appraisal.EarlierBills(
            request.earlier_certificates, request.earlier_tax, request.earlier_deposit_credit
        )
        bill = billing.bill(request.progress, earlier)
    return localize(bill, request.locale)


def create_quote_report(
    request: QuoteRequest,
    report: Annotated[QuoteReportName, Meta(description="The report.", examples=["customer-quote"])],
    paper: PaperSize = None,
    workshop: Workshop | None = None,
) -> Content:
    """Make a report of a quote.

    The quote for the customer, without the workshop's costs; the quote for the workshop, with them; the handover
    statement: replacement value, questions for the insurer, serial numbers, and what was certified by whom. Change
    orders have a report of their own. A quote that names no workshop is that of the server's settings.
    """
    request = with_workshop(request, workshop)
    if report == "change-orders":
        contract = create_contract(request)
        return make_change_order_report(_context(request, contract.quote), contract, paper)
    if report != "handover":
        return make_quote_report(report, _context(request, create_quote(request)), paper)
    return handover_statement(request, accepted_document(request), paper)


def handover_statement(request: QuoteRequest, built: Document, paper: PaperSize) -> Content:
    """Return the handover statement of a quote, on the document of the build that it became."""
    context = _context(request, create_quote(request))
    document = with_any_policy(built)
    gap = request_at(document, GapRequest, request.as_of or today())
    owners = ReportContext(document.build, document.policies, create_gap_statement(gap), context.localizer)
    return make_handover_statement(context, owners, paper, policies_known=bool(built.policies))


def with_any_policy(document: Document) -> Document:
    """Return the document; without policies, with one of which nothing is known, so that its questions can be asked.

    Without losses, the trailer is stolen or burns: what every policy has to answer for.
    """
    localizer = localizer_for(document.locale)
    policies = document.policies or (Policy(name=localizer.format(texts().quote["any_policy"])),)
    losses = document.losses or tuple(
        Loss(name=localizer.heading("peril", peril), peril=peril, extent="total") for peril in ("theft", "fire")
    )
    return replace(document, policies=policies, losses=losses)


def accepted_document(request: QuoteRequest) -> Document:
    """Return the document of the build as its owner pays for it. Raises InvalidInputError."""
    own: dict[str, Any] = {name: getattr(request, name) for name in Document.__struct_fields__}
    day = request.as_of or today()
    with quote_faults():
        build = appraisal.accepted_build(request.build, request.pricing, request.changes, day, request.options)
    return Document(**{**own, "build": build})


def _context(request: QuoteRequest, quote: Quote) -> QuoteContext:
    workshop = request.pricing.workshop
    logo = None if workshop is None or workshop.logo is None else printable(workshop.logo)
    localizer = localizer_for(request.locale, request.build.currency)
    return QuoteContext(request.build, request.pricing, quote, localizer, logo)
