"""Kept quotes: a quote with its history, as the API answers it, and what its customer accepts."""

from datetime import date, datetime
from typing import Annotated

from msgspec import Meta, Struct

from hitchworth.model.kept import (
    FirstKeptAt,
    HistoryStep,
    HistoryVerification,
    PresentDigest,
    PresentRevision,
    QuoteId,
    RevisedAt,
    RevisionDigest,
    RevisionNumber,
    TrashedAt,
)
from hitchworth.model.listing import NextPage
from hitchworth.model.quote_document import QuoteDocument
from hitchworth.model.strings import ShortText

BuildMade = Annotated[
    str | None, Meta(description="Id of the kept build that the accepted quote became. Null: it is not accepted.")
]


class QuoteEntry(Struct, frozen=True, kw_only=True):
    """A kept quote in a list, without its document."""

    id: QuoteId
    revision: PresentRevision
    digest: PresentDigest
    name: Annotated[str, Meta(description="Name of the build that is quoted.")]
    number: Annotated[str | None, Meta(description="The workshop's number of the quote. Null: none.")]
    valid_until: Annotated[date | None, Meta(description="Last day on which it can be accepted. Null: not stated.")]
    accepted_on: Annotated[date | None, Meta(description="The day on which it was accepted. Null: it is not.")]
    made_build: BuildMade
    created_at: FirstKeptAt
    updated_at: Annotated[datetime, Meta(description="When it was changed last, in UTC.")]
    trashed_at: TrashedAt


class KeptQuote(QuoteDocument, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A kept quote: one revision of its document, and which one it is."""

    id: QuoteId
    revision: RevisionNumber
    digest: RevisionDigest
    created_at: FirstKeptAt
    updated_at: RevisedAt
    trashed_at: TrashedAt
    made_build: BuildMade = None


class QuotePage(Struct, frozen=True, kw_only=True):
    """One page of a list of kept quotes."""

    items: Annotated[tuple[QuoteEntry, ...], Meta(description="The quotes of this page.")]
    next: NextPage


class QuoteRevision(HistoryStep, frozen=True, kw_only=True):
    """One step in the history of a quote: who changed it, when and why."""

    quote: QuoteId


class QuoteRevisionPage(Struct, frozen=True, kw_only=True):
    """One page of the history of a quote, the newest revision first."""

    items: Annotated[tuple[QuoteRevision, ...], Meta(description="The revisions of this page.")]
    next: NextPage


class QuoteVerification(HistoryVerification, frozen=True, kw_only=True):
    """Whether the history of a quote is as it was written."""

    quote: QuoteId


class QuoteAcceptance(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Who accepts a quote or a change order, and when."""

    accepted_by: Annotated[ShortText, Meta(description="Who accepts it.")]
    accepted_on: Annotated[
        date | None, Meta(description="The day, not in the future. Null: today, where the server is.")
    ] = None
