"""The kept quotes of a client: one method for each operation under /v1/kept-quotes.

A change is made to a quote as the caller has seen it, as with kept builds. A quote is accepted by its id, or as it was
seen: then nothing else is accepted than what was shown.
"""

from collections.abc import Iterator
from datetime import date, datetime
from typing import Any, TypeAlias, TypeVar, Unpack, overload

from hitchworth_sdk import _operations as operations
from hitchworth_sdk._calls import (
    Caller,
    CallOptions,
    FileReport,
    KeptQuoteReportOptions,
    ReportFormat,
    TextReport,
)
from hitchworth_sdk._exchange import NO_BODY, Operation
from hitchworth_sdk._types import (
    BuildSort,
    ChangeOrder,
    Contract,
    KeptBuild,
    KeptQuote,
    QuoteAcceptance,
    QuoteDocument,
    QuoteEntry,
    QuoteReportName,
    QuoteRevision,
    QuoteVariance,
    QuoteVerification,
)

T = TypeVar("T")
SeenQuote: TypeAlias = KeptQuote | QuoteEntry | QuoteRevision
"""A kept quote as the caller has seen it: what a read, a list or a change has returned."""


class KeptQuotes(Caller):
    """The methods of a client for kept quotes. The server must have been started with a database."""

    def create_kept_quote(
        self, request: QuoteDocument, *, message: str | None = None, **options: Unpack[CallOptions]
    ) -> KeptQuote:
        """Keep a quote: a document with its pricing. Sent again when no answer came, it is kept once."""
        return self._add_to_quote(operations.CREATE_KEPT_QUOTE, None, request, message, options)

    def list_kept_quotes(
        self,
        *,
        name: str | None = None,
        accepted: bool | None = None,
        updated_since: datetime | None = None,
        trashed: bool = False,
        sort: BuildSort = "-updated_at",
        limit: int = 50,
        **options: Unpack[CallOptions],
    ) -> Iterator[QuoteEntry]:
        """Iterate over the kept quotes, without their documents. Pages are fetched as they are needed.

        name: only quotes whose build has it in its name. accepted: only those that are, or are not. trashed: those in
        the trash instead. limit: how many to fetch at a time.
        """
        which = {
            "name": name,
            "accepted": accepted,
            "updated_since": updated_since,
            "trashed": trashed or None,
            "sort": sort,
            "limit": limit,
        }
        return self._items(operations.LIST_KEPT_QUOTES, options, **which)

    def get_kept_quote(self, quote: SeenQuote | str, **options: Unpack[CallOptions]) -> KeptQuote:
        """Get a kept quote with its document, as it is now."""
        return self._read_quote(operations.GET_KEPT_QUOTE, quote, options)

    def replace_kept_quote(
        self, quote: SeenQuote, request: QuoteDocument, *, message: str | None = None, **options: Unpack[CallOptions]
    ) -> KeptQuote:
        """Replace the document of a quote, as it was seen. Raises StaleRevision when it has been changed since."""
        return self._change_quote(operations.REPLACE_KEPT_QUOTE, quote, request, message, options)

    def patch_kept_quote(
        self, quote: SeenQuote, request: dict[str, Any], *, message: str | None = None, **options: Unpack[CallOptions]
    ) -> KeptQuote:
        """Change parts of the document by a JSON Merge Patch (RFC 7396). Raises StaleRevision."""
        return self._change_quote(operations.PATCH_KEPT_QUOTE, quote, request, message, options)

    def trash_kept_quote(
        self, quote: SeenQuote, *, message: str | None = None, **options: Unpack[CallOptions]
    ) -> QuoteRevision:
        """Move a quote to the trash, where it can be read and recovered. Raises StaleRevision."""
        return self._change_quote(operations.TRASH_KEPT_QUOTE, quote, NO_BODY, message, options)

    def recover_kept_quote(
        self, quote: SeenQuote, *, message: str | None = None, **options: Unpack[CallOptions]
    ) -> QuoteRevision:
        """Take a quote out of the trash. Raises StaleRevision."""
        return self._change_quote(operations.RECOVER_KEPT_QUOTE, quote, NO_BODY, message, options)

    def list_quote_revisions(
        self, quote: SeenQuote | str, *, limit: int = 50, **options: Unpack[CallOptions]
    ) -> Iterator[QuoteRevision]:
        """Iterate over the history of a quote, the newest revision first. limit: how many to fetch at a time."""
        return self._items(operations.LIST_QUOTE_REVISIONS, options, quote=quote_id_of(quote), limit=limit)

    def get_quote_revision(self, quote: SeenQuote | str, revision: int, **options: Unpack[CallOptions]) -> KeptQuote:
        """Get a quote as one of its revisions had it."""
        return self._read_quote(operations.GET_QUOTE_REVISION, quote, options, revision=revision)

    def restore_quote_revision(
        self, quote: SeenQuote, revision: int, *, message: str | None = None, **options: Unpack[CallOptions]
    ) -> QuoteRevision:
        """Make the document of an earlier revision the present one, as a new revision. Raises StaleRevision."""
        return self._change_quote(
            operations.RESTORE_QUOTE_REVISION, quote, NO_BODY, message, options, revision=revision
        )

    def verify_kept_quote(self, quote: SeenQuote | str, **options: Unpack[CallOptions]) -> QuoteVerification:
        """Verify that the history of a quote is as it was written."""
        return self._read_quote(operations.VERIFY_KEPT_QUOTE, quote, options)

    def accept_kept_quote(
        self,
        quote: SeenQuote | str,
        request: QuoteAcceptance,
        *,
        message: str | None = None,
        **options: Unpack[CallOptions],
    ) -> KeptBuild:
        """Accept a quote; it becomes the kept build that is returned.

        Raises QuoteStage when it is accepted already, InvalidInput when it is not valid on the day.
        """
        return self._add_to_quote(operations.ACCEPT_KEPT_QUOTE, quote, request, message, options)

    def add_change_order(
        self,
        quote: SeenQuote | str,
        request: ChangeOrder,
        *,
        message: str | None = None,
        **options: Unpack[CallOptions],
    ) -> QuoteRevision:
        """Add a change order to an accepted quote; it counts once it is accepted. Raises QuoteStage before that."""
        return self._add_to_quote(operations.ADD_CHANGE_ORDER, quote, request, message, options)

    def replace_change_order(
        self,
        quote: SeenQuote,
        number: str,
        request: ChangeOrder,
        *,
        message: str | None = None,
        **options: Unpack[CallOptions],
    ) -> QuoteRevision:
        """Replace a change order that is not accepted. Raises StaleRevision."""
        return self._change_quote(operations.REPLACE_CHANGE_ORDER, quote, request, message, options, number=number)

    def withdraw_change_order(
        self, quote: SeenQuote, number: str, *, message: str | None = None, **options: Unpack[CallOptions]
    ) -> QuoteRevision:
        """Withdraw a change order that is not accepted. Raises StaleRevision."""
        return self._change_quote(operations.WITHDRAW_CHANGE_ORDER, quote, NO_BODY, message, options, number=number)

    def accept_change_order(
        self,
        quote: SeenQuote | str,
        number: str,
        request: QuoteAcceptance,
        *,
        message: str | None = None,
        **options: Unpack[CallOptions],
    ) -> KeptQuote:
        """Accept a change order: from then on it is in the contract and in the build. Raises QuoteStage."""
        return self._add_to_quote(operations.ACCEPT_CHANGE_ORDER, quote, request, message, options, number=number)

    def get_contract(
        self,
        quote: SeenQuote | str,
        *,
        as_of: date | None = None,
        revision: int | None = None,
        **options: Unpack[CallOptions],
    ) -> Contract:
        """Compute a quote with its change orders, and the contract as it stands.

        as_of: the day of the report. Default: today. revision: its number. Default: the present one.
        """
        return self._read_quote(operations.GET_CONTRACT, quote, options, as_of=as_of, revision=revision)

    def get_kept_quote_variance(
        self,
        quote: SeenQuote | str,
        *,
        as_of: date | None = None,
        revision: int | None = None,
        **options: Unpack[CallOptions],
    ) -> QuoteVariance:
        """Compare a quote with the build that it became, and learn how many hours work takes.

        as_of: the day of the report. Default: today. revision: of the quote. Default: the present one.
        """
        return self._read_quote(operations.GET_KEPT_QUOTE_VARIANCE, quote, options, as_of=as_of, revision=revision)

    @overload
    def get_kept_quote_report(
        self,
        quote: SeenQuote | str,
        report: QuoteReportName,
        media_type: TextReport = "text/html",
        **options: Unpack[KeptQuoteReportOptions],
    ) -> str: ...

    @overload
    def get_kept_quote_report(
        self,
        quote: SeenQuote | str,
        report: QuoteReportName,
        media_type: FileReport,
        **options: Unpack[KeptQuoteReportOptions],
    ) -> bytes: ...

    def get_kept_quote_report(
        self,
        quote: SeenQuote | str,
        report: QuoteReportName,
        media_type: ReportFormat = "text/html",
        **options: Unpack[KeptQuoteReportOptions],
    ) -> str | bytes:
        """Make a report of a kept quote: text for HTML and Markdown, bytes for PDF and DOCX."""
        return self._read_quote(operations.GET_KEPT_QUOTE_REPORT[media_type], quote, options, report=report)

    def _read_quote(
        self, operation: Operation[T], quote: SeenQuote | str, options: CallOptions, **arguments: object
    ) -> T:
        return self._call(operation, NO_BODY, options, None, quote=quote_id_of(quote), **arguments)

    def _change_quote(
        self,
        operation: Operation[T],
        quote: SeenQuote,
        body: object,
        message: str | None,
        options: CallOptions,
        **arguments: object,
    ) -> T:
        """Change a quote as it was seen."""
        own = {"quote": quote_id_of(quote), "message": message, **arguments}
        return self._call(operation, body, options, quote_match(quote), **own)

    def _add_to_quote(
        self,
        operation: Operation[T],
        quote: SeenQuote | str | None,
        body: object,
        message: str | None,
        options: CallOptions,
        **arguments: object,
    ) -> T:
        """Create something: in a quote as it was seen, or in whatever it is now."""
        if quote is None:
            return self._call(operation, body, options, message=message)
        headers = None if isinstance(quote, str) else quote_match(quote)
        own = {"quote": quote_id_of(quote), "message": message, **arguments}
        return self._call(operation, body, options, headers, **own)


def quote_id_of(quote: SeenQuote | str) -> str:
    """Return the id of a quote."""
    if isinstance(quote, str):
        return quote
    return quote.quote if isinstance(quote, QuoteRevision) else quote.id


def quote_match(seen: SeenQuote) -> dict[str, str]:
    """Return the header by which a change is made to what was seen only."""
    return {"If-Match": f'"{seen.digest}"'}


def quote_document_of(kept: KeptQuote) -> QuoteDocument:
    """Return the document of a kept quote, to change it and to put it back."""
    return QuoteDocument(**{name: getattr(kept, name) for name in QuoteDocument.__struct_fields__})
