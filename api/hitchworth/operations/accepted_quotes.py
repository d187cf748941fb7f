"""What becomes of a kept quote: it is accepted and becomes a build, it gets change orders, and is compared with both.

The docstrings of the functions are the descriptions of the API.
"""

from datetime import date
from typing import Annotated, Any

from msgspec import Meta, Struct
from msgspec.structs import replace

from hitchworth import appraisal, validation
from hitchworth.model.build import Build
from hitchworth.model.caller import Caller
from hitchworth.model.change_order import ChangeOrder, Contract
from hitchworth.model.fault import Fault
from hitchworth.model.kept import BuildEntry, KeptBuild, QuoteId
from hitchworth.model.kept_quote import KeptQuote, QuoteAcceptance, QuoteEntry, QuoteRevision
from hitchworth.model.pricing import Acceptance, Workshop
from hitchworth.model.quote_document import QuoteDocument
from hitchworth.model.quote_variance import QuoteVariance
from hitchworth.model.request import QuoteRequest, QuoteVarianceRequest
from hitchworth.operations.builds import AtRevision, kept_build
from hitchworth.operations.changes import (
    BUILD,
    Addition,
    Alteration,
    QuoteStageError,
    change_to,
    claim_of,
    edited,
    require_match,
    seen_from,
)
from hitchworth.operations.clock import today
from hitchworth.operations.documents import canonical, request_at
from hitchworth.operations.kept_quotes import QUOTE, QuoteParameter, kept_quote, quote_revision
from hitchworth.operations.parts import Parts, add_part, remove_part, replace_part
from hitchworth.operations.quotes import (
    accepted_document,
    compared_with,
    create_contract,
    create_quote_report,
    handover_statement,
)
from hitchworth.operations.reports import PaperSize
from hitchworth.operations.workshop import with_workshop
from hitchworth.reports.content import Content
from hitchworth.reports.quote_catalog import QuoteReportName
from hitchworth.store import Store
from hitchworth.store.chain import KeptDocument
from hitchworth.store.errors import NotKeptError, StaleError

Accepted = Annotated[QuoteId, Meta(examples=["2a9f6c03d7e518b4"])]
"""A quote that is accepted, in the examples."""
Number = Annotated[str, Meta(description="Number of the change order.", examples=["2"])]
AsOf = Annotated[
    date | None, Meta(description="Day of the report. Null: today, where the server is.", examples=[date(2026, 6, 1)])
]


class QuoteVersion(Struct, frozen=True, kw_only=True):
    """Which state of a quote, and on which day."""

    as_of: AsOf = None
    revision: AtRevision = None


def _require_accepted(document: Any) -> None:
    if document["pricing"].get("acceptance") is None:
        raise QuoteStageError("Nobody has accepted the quote, so it can still be changed itself. POST to its /accept.")


def _require_not_accepted(order: Any) -> None:
    if order.get("accepted_by") is not None:
        raise QuoteStageError(
            f"Change order {order['number']} is accepted, so it stays. What follows it is another one."
        )


CHANGE_ORDERS = Parts(
    "changes",
    "change order",
    "number",
    keeping=QUOTE,
    require_addable=_require_accepted,
    require_changeable=_require_not_accepted,
)


def accept_kept_quote(
    store: Store,
    caller: Caller,
    quote: QuoteParameter,
    request: bytes,
    how: Addition,
    *,
    workshop: Workshop | None = None,
) -> KeptBuild:
    """Accept a kept quote.

    By name and date, while the quote is valid. It becomes the document of a kept build: each line at what its owner
    pays, with the written quote as its evidence until a receipt takes its place. The answer is that build, and its
    `quote` is this one. With If-Match, what is accepted is what was seen. A quote is accepted once.
    """
    wanted = validation.read(request, QuoteAcceptance)
    claim = claim_of(caller, how, f"{quote}\naccept\n".encode() + request)
    if claim and (made := store.builds.made_before(caller.workspace, claim)):
        return kept_build(store, caller, made)
    entry, kept = store.quotes.read(caller.workspace, quote)
    require_match(how.if_match, kept.revision, "quote")
    QUOTE.require_out_of_trash(entry)
    document = QUOTE.read(kept)
    if document.pricing.acceptance is not None:
        raise QuoteStageError(_accepted_already(entry, document.pricing.acceptance))
    _require_choices(document)
    day = _day(wanted)
    acceptance = Acceptance(accepted_by=wanted.accepted_by, accepted_on=day)
    accepted = replace(document, pricing=replace(document.pricing, acceptance=acceptance))
    with seen_from("/pricing/acceptance", "quote"):
        validation.check(accepted, today())
    built = accepted_document(with_workshop(request_at(accepted, QuoteRequest, day), workshop))
    revision = store.quotes.accept(
        caller.workspace,
        kept.revision,
        change_to(accepted, caller, "changed", message=how.message or f"Accepted by {wanted.accepted_by}"),
        change_to(built, caller, "created", message=how.message or f"Quote {quote} accepted", claim=claim),
    )
    return kept_build(store, caller, revision)


def add_change_order(store: Store, caller: Caller, quote: Accepted, request: bytes, how: Addition) -> QuoteRevision:
    """Add a change order to an accepted quote.

    After those that it has. It does not count before it is accepted; the contract shows what it would change. Its
    number must be new, so a change order that is sent twice is kept once.
    """
    return quote_revision(add_part(CHANGE_ORDERS, store, caller, quote, request=request, how=how))


def replace_change_order(
    store: Store, caller: Caller, quote: Accepted, *, number: Number, request: bytes, how: Alteration
) -> QuoteRevision:
    """Replace a change order that is not accepted yet.

    Its number stays: one in the body must be that of the address.
    """
    return quote_revision(replace_part(CHANGE_ORDERS, store, caller, quote, wanted=number, request=request, how=how))


def withdraw_change_order(
    store: Store, caller: Caller, quote: Accepted, number: Number, how: Alteration
) -> QuoteRevision:
    """Withdraw a change order that is not accepted.

    It stays in the history.
    """
    return quote_revision(remove_part(CHANGE_ORDERS, store, caller, quote, wanted=number, how=how))


def accept_change_order(
    store: Store,
    caller: Caller,
    quote: Accepted,
    *,
    number: Number,
    request: bytes,
    how: Addition,
    workshop: Workshop | None = None,
) -> KeptQuote:
    """Accept a change order.

    By name and date; those before it must be accepted or withdrawn. From then on it is in the contract and in the build
    that the quote became: what is added, dropped or repriced changes there, except for lines that have a receipt.
    """
    wanted = validation.read(request, QuoteAcceptance)
    claim = claim_of(caller, how, f"{quote}\n{number}\naccept\n".encode() + request)
    while True:
        if claim and (made := store.quotes.made_before(caller.workspace, claim)):
            return kept_quote(store, caller, made)
        entry, kept = store.quotes.read(caller.workspace, quote)
        require_match(how.if_match, kept.revision, "quote")
        QUOTE.require_out_of_trash(entry)
        before = QUOTE.read(kept)
        after = _with_accepted(before, number, wanted)
        built_entry, built = _kept_build_of(store, caller, entry)
        BUILD.require_out_of_trash(built_entry)
        document = BUILD.read(built)
        priced = _accepted_build(before, workshop), _accepted_build(after, workshop)
        altered = appraisal.with_change_order(document.build, *priced)
        outcome = edited(BUILD, built, canonical(replace(document, build=altered)))
        message = how.message or f"Change order {number} accepted by {wanted.accepted_by}"
        try:
            revision = store.quotes.change_with_build(
                caller.workspace,
                kept.revision,
                change_to(after, caller, "changed", message=message, claim=claim),
                built.revision,
                change_to(outcome, caller, "changed", message=message),
            )
        except StaleError as error:
            if how.if_match is not None and error.kind == "quote":
                raise
        else:
            return kept_quote(store, caller, revision)


def get_contract(store: Store, caller: Caller, quote: QuoteParameter, version: QuoteVersion) -> Contract:
    """Compute a kept quote with its change orders.

    The answer to POST /v1/contracts for its document: the quote itself, each change order, and the contract as it
    stands, which is the quote and the accepted changes added up.
    """
    return create_contract(_request(store, caller, quote, version))


def get_kept_quote_variance(store: Store, caller: Caller, quote: Accepted, version: QuoteVersion) -> QuoteVariance:
    """Compare a kept quote with the build that it became.

    Direct cost as quoted, accepted change orders included, against what was paid and the hours that it took, as
    POST /v1/quote-variances does. Lines of the build whose evidence is still the written quote count as quoted; they
    are named in `still_quoted`, and teach nothing about hours.
    """
    entry, kept = store.quotes.read(caller.workspace, quote, version.revision)
    _, built = _kept_build_of(store, caller, entry)
    document, build = QUOTE.read(kept), BUILD.read(built).build
    as_quoted = appraisal.still_quoted(build)
    whole = appraisal.with_own_work(build, document.build)
    request = request_at(document, QuoteVarianceRequest, version.as_of, built=whole)
    return compared_with(request, as_quoted)


def get_kept_quote_report(
    store: Store,
    caller: Caller,
    quote: Accepted,
    *,
    report: Annotated[QuoteReportName, Meta(description="The report.", examples=["customer-quote"])],
    version: QuoteVersion,
    paper: PaperSize = None,
    workshop: Workshop | None = None,
) -> Content:
    """Make a report of a kept quote.

    As POST /v1/quote-reports/{report} does for its document; the handover statement is about the build that the quote
    became, with the receipts and serial numbers that it has by now.
    """
    request = with_workshop(_request(store, caller, quote, version), workshop)
    entry = store.quotes.entry(caller.workspace, quote)
    if report != "handover" or entry.made_build is None:
        return create_quote_report(request, report, paper)
    _, built = _kept_build_of(store, caller, entry)
    return handover_statement(request, BUILD.read(built), paper)


def _request(store: Store, caller: Caller, quote: str, version: QuoteVersion) -> QuoteRequest:
    kept = store.quotes.read(caller.workspace, quote, version.revision)[1]
    return request_at(QUOTE.read(kept), QuoteRequest, version.as_of)


def _kept_build_of(store: Store, caller: Caller, entry: QuoteEntry) -> tuple[BuildEntry, KeptDocument]:
    """Return the build that a quote became. Raises QuoteStageError while it is not accepted."""
    if entry.made_build is None:
        raise QuoteStageError("Nobody has accepted the quote. POST to its /accept first.")
    return store.builds.read(caller.workspace, entry.made_build)


def _accepted_build(document: QuoteDocument, workshop: Workshop | None) -> Build:
    acceptance = document.pricing.acceptance
    assert acceptance is not None
    request = request_at(document, QuoteRequest, acceptance.accepted_on)
    return accepted_document(with_workshop(request, workshop)).build


def _with_accepted(document: QuoteDocument, number: str, wanted: QuoteAcceptance) -> QuoteDocument:
    """Return the quote with a change order accepted. Raises NotKeptError, QuoteStageError and InvalidInputError."""
    numbers = [order.number for order in document.changes]
    if number not in numbers:
        raise NotKeptError(f"The quote has no change order {number!r}.")
    place = numbers.index(number)
    order = document.changes[place]
    if order.accepted_by is not None:
        raise QuoteStageError(
            f"Change order {number} was accepted by {order.accepted_by} on {order.accepted_on}, and is once."
        )
    _require_none_pending(document.changes[:place])
    accepted = replace(order, accepted_by=wanted.accepted_by, accepted_on=_day(wanted))
    changes = (*document.changes[:place], accepted, *document.changes[place + 1 :])
    after = replace(document, changes=changes)
    with seen_from(f"/changes/{place}", "quote"):
        validation.check(after, today())
    return after


def _require_choices(document: QuoteDocument) -> None:
    """Raise InvalidInputError for options of which one has to be chosen, and none is."""
    faults = [
        Fault(
            pointer=f"/pricing/option_groups/{index}/chosen",
            detail="In the document of the quote: nothing is chosen, so nobody can accept the price",
            expected=f"one of {', '.join(each.name for each in group.alternatives)}",
            found="nothing",
        )
        for index, group in enumerate(document.pricing.option_groups)
        if group.required and group.chosen is None
    ]
    if faults:
        raise validation.InvalidInputError(faults)


def _require_none_pending(earlier: tuple[ChangeOrder, ...]) -> None:
    pending = [order.number for order in earlier if order.accepted_by is None]
    if pending:
        raise QuoteStageError(
            f"Change order {pending[0]} comes before it and is not accepted. Accept or withdraw it first: each is "
            "priced on those before it."
        )


def _day(wanted: QuoteAcceptance) -> date:
    """Return the day of an acceptance. Raises InvalidInputError for one in the future."""
    now = today()
    if wanted.accepted_on is not None and wanted.accepted_on > now:
        fault = Fault(
            pointer="/accepted_on", detail="In the future", expected=f"{now} or before", found=str(wanted.accepted_on)
        )
        raise validation.InvalidInputError([fault])
    return wanted.accepted_on or now


def _accepted_already(entry: QuoteEntry, acceptance: Acceptance) -> str:
    made = f"the build is {entry.made_build}"
    return f"The quote was accepted by {acceptance.accepted_by} on {acceptance.accepted_on}; {made}."
