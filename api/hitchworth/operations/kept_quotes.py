"""Kept quotes: created, found, read and changed as kept builds are, until they are accepted and become a build.

The docstrings of the functions are the descriptions of the API.
"""

from typing import Annotated, Any

from msgspec import Meta
from msgspec.structs import asdict, replace

from hitchworth import validation
from hitchworth.model.caller import Caller
from hitchworth.model.fault import Fault
from hitchworth.model.kept import QuoteId, Revision, RevisionNumber
from hitchworth.model.kept_quote import (
    KeptQuote,
    QuotePage,
    QuoteRevision,
    QuoteRevisionPage,
    QuoteVerification,
)
from hitchworth.model.quote_document import QuoteDocument
from hitchworth.model.request import QuoteRequest
from hitchworth.operations.builds import QuoteFilter, listed
from hitchworth.operations.changes import (
    Alteration,
    Creation,
    Edit,
    Keeping,
    as_it_is,
    change,
    change_to,
    claim_of,
    present_body,
    require_same,
)
from hitchworth.operations.clock import today
from hitchworth.operations.documents import canonical, read_document, request_at
from hitchworth.operations.merge_patch import patch_of
from hitchworth.operations.paging import Page
from hitchworth.operations.quotes import computed_contract
from hitchworth.operations.revisions import Number, listed_revisions
from hitchworth.store import Store
from hitchworth.validation.kept_quote_rules import accepted_elsewhere, altered_acceptance

KEPT_QUOTES = "/v1/kept-quotes"


def faults_of_change(before: QuoteDocument, after: QuoteDocument) -> tuple[Fault, ...]:
    """Return what a change alters of what was accepted, and what only computing the quote shows."""
    return (*altered_acceptance(before, after), *computed_faults(after))


def computed_faults(document: QuoteDocument) -> tuple[Fault, ...]:
    """Return the faults that only the computed quote shows: payments that do not add up, a contingency overdrawn."""
    try:
        computed_contract(request_at(document, QuoteRequest))
    except validation.InvalidInputError as error:
        return error.faults
    return ()


QUOTE: Keeping[QuoteDocument] = Keeping(kind="quote", document=QuoteDocument, faults_of_change=faults_of_change)

QuoteParameter = Annotated[QuoteId, Meta(examples=["7c1e5a90b3d84f26"])]


def create_kept_quote(store: Store, caller: Caller, request: bytes, how: Creation) -> KeptQuote:
    """Keep a quote.

    The body is the document of a build with its `pricing`, as POST /v1/quotes takes it without its date. Without a day
    of its own in `pricing.quoted_on`, it is quoted today. It is accepted later, by POST to its /accept; change orders
    come after that.
    """
    document = with_day(read_document(request, QuoteDocument))
    faults = (*accepted_elsewhere(document), *computed_faults(document))
    if faults:
        raise validation.InvalidInputError(faults)
    claim = claim_of(caller, how, b"kept-quotes\n" + request)
    first = change_to(document, caller, "created", message=how.message, claim=claim)
    return kept_quote(store, caller, store.quotes.create(caller.workspace, first))


def list_kept_quotes(store: Store, caller: Caller, which: QuoteFilter, page: Page) -> QuotePage:
    """List the kept quotes.

    In pages, without their documents. The address of the next page is in `next` and in the header Link.
    """
    items, following = listed(store.quotes, caller, which, page, path=KEPT_QUOTES)
    return QuotePage(items=items, next=following)


def get_kept_quote(store: Store, caller: Caller, quote: QuoteParameter) -> KeptQuote:
    """Read a kept quote.

    Its document as it is now: build, pricing and change orders. Fields at their defaults are left out.
    """
    return kept_quote(store, caller, store.quotes.present(caller.workspace, quote))


def replace_kept_quote(
    store: Store, caller: Caller, quote: QuoteParameter, request: bytes, how: Alteration
) -> KeptQuote:
    """Replace the document of a kept quote.

    The body is the whole document, or what GET answers. It becomes the next revision. Once the quote is accepted, what
    its price comes from stays: then a change is a change order. Payments made, draws on the contingency, certificates,
    policies and texts can still be written.
    """
    require_same("id", quote, validation.read_json(request))
    return kept_quote(store, caller, _altered(store, caller, quote, how, lambda _: request))


def patch_kept_quote(store: Store, caller: Caller, quote: QuoteParameter, request: bytes, how: Alteration) -> KeptQuote:
    """Change parts of the document of a kept quote.

    The body is a JSON Merge Patch (RFC 7396) of the document: what it names is replaced, null removes, and a list is
    replaced as a whole. Once the quote is accepted, what its price comes from stays.
    """
    return kept_quote(store, caller, _altered(store, caller, quote, how, patch_of(request)))


def trash_kept_quote(
    store: Store, caller: Caller, quote: Annotated[QuoteId, Meta(examples=["7c1e5a90b3d84f26"])], how: Alteration
) -> QuoteRevision:
    """Move a kept quote to the trash.

    It can still be read there, with its history, and taken out again. The build that it became stays.
    """
    return quote_revision(change(store, caller, quote, how, as_it_is, action="trashed", keeping=QUOTE))


def recover_kept_quote(
    store: Store, caller: Caller, quote: Annotated[QuoteId, Meta(examples=["e40d92c86b1f7a35"])], how: Alteration
) -> QuoteRevision:
    """Take a kept quote out of the trash.

    Where it is not in the trash, nothing happens.
    """
    return quote_revision(change(store, caller, quote, how, as_it_is, action="recovered", keeping=QUOTE))


def list_quote_revisions(store: Store, caller: Caller, quote: QuoteParameter, page: Page) -> QuoteRevisionPage:
    """List the revisions of a kept quote.

    The newest first: who made it, when and why, and its digest. A change order is a revision when it is written, and
    another when it is accepted.
    """
    items, following = listed_revisions(store.quotes, caller, quote, page, path=KEPT_QUOTES)
    return QuoteRevisionPage(items=tuple(map(quote_revision, items)), next=following)


def get_quote_revision(store: Store, caller: Caller, quote: QuoteParameter, revision: Number) -> KeptQuote:
    """Read a revision of a kept quote.

    The document as it was then.
    """
    return kept_quote(store, caller, store.quotes.read(caller.workspace, quote, revision)[1].revision)


def restore_quote_revision(
    store: Store,
    caller: Caller,
    quote: QuoteParameter,
    revision: Annotated[RevisionNumber, Meta(examples=[1])],
    how: Alteration,
) -> QuoteRevision:
    """Restore a revision of a kept quote.

    Its document becomes the next revision. What was accepted since stays accepted: a revision without it is refused.
    """
    earlier = store.quotes.read(caller.workspace, quote, revision)[1]
    body = present_body(earlier, QuoteDocument)
    return quote_revision(change(store, caller, quote, how, lambda _: body, action="restored", keeping=QUOTE))


def verify_kept_quote(store: Store, caller: Caller, quote: QuoteParameter) -> QuoteVerification:
    """Verify the history of a kept quote.

    Computes every digest anew, from the first revision on, and names the first that does not fit.
    """
    chain = store.quotes.verify(caller.workspace, quote)
    return QuoteVerification(
        quote=quote,
        revisions=chain.revisions,
        intact=chain.first_unfit is None,
        first_unfit=chain.first_unfit,
        digest=chain.digest,
    )


def kept_quote(store: Store, caller: Caller, revision: Revision) -> KeptQuote:
    """Return the quote as one of its revisions has it."""
    entry, kept = store.quotes.read(caller.workspace, revision.build, revision.revision)
    own: dict[str, Any] = asdict(QUOTE.read(kept))
    return KeptQuote(
        **own,
        id=entry.id,
        revision=revision.revision,
        digest=revision.digest,
        created_at=entry.created_at,
        updated_at=revision.at,
        trashed_at=revision.at if revision.action == "trashed" else None,
        made_build=entry.made_build,
    )


def quote_revision(revision: Revision) -> QuoteRevision:
    """Return a revision of a quote as one: the store calls what it is of a build."""
    told = asdict(revision)
    return QuoteRevision(quote=told.pop("build"), **told)


def with_day(document: QuoteDocument) -> QuoteDocument:
    """Return a quote with its day: today where it has none, so that what is kept costs the same tomorrow."""
    pricing = document.pricing
    return document if pricing.quoted_on else replace(document, pricing=replace(pricing, quoted_on=today()))


def _altered(store: Store, caller: Caller, quote: str, how: Alteration, edit: Edit) -> Revision:
    """Make the next revision of a quote, which has a day as the first has."""

    def dated(body: bytes) -> bytes:
        return canonical(with_day(read_document(edit(body), QuoteDocument)))

    return change(store, caller, quote, how, dated, keeping=QUOTE)
