"""Kept quotes: a quote with its history, as the API answers it, and what its customer accepts."""

from datetime import date, datetime
from typing import Annotated

from msgspec import Meta, Struct

from hitchworth.model.kept import Message, QuoteId, RevisionAction, RevisionDigest, RevisionNumber
from hitchworth.model.quote_document import QuoteDocument
from hitchworth.model.strings import ShortText

BuildMade = Annotated[
    str | None, Meta(description="Id of the kept build that the accepted quote became. Null: it is not accepted.")
]


class QuoteEntry(Struct, frozen=True, kw_only=True):
    """A kept quote in a list, without its document."""

    id: QuoteId
    revision: Annotated[RevisionNumber, Meta(description="The number of the present revision.")]
    digest: Annotated[str, Meta(description="Digest of the present revision; in quotes it is the ETag.")]
    name: Annotated[str, Meta(description="Name of the build that is quoted.")]
    number: Annotated[str | None, Meta(description="The workshop's number of the quote. Null: none.")]
    valid_until: Annotated[date | None, Meta(description="Last day on which it can be accepted. Null: not stated.")]
    accepted_on: Annotated[date | None, Meta(description="The day on which it was accepted. Null: it is not.")]
    made_build: BuildMade
    created_at: Annotated[datetime, Meta(description="When it was kept for the first time, in UTC.")]
    updated_at: Annotated[datetime, Meta(description="When it was changed last, in UTC.")]
    trashed_at: Annotated[datetime | None, Meta(description="When it was moved to the trash. Null: it is not there.")]


class KeptQuote(QuoteDocument, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A kept quote: one revision of its document, and which one it is."""

    id: QuoteId
    revision: RevisionNumber
    digest: RevisionDigest
    created_at: Annotated[datetime, Meta(description="When the quote was kept for the first time, in UTC.")]
    updated_at: Annotated[datetime, Meta(description="When this revision was made, in UTC.")]
    trashed_at: Annotated[
        datetime | None, Meta(description="When the quote was moved to the trash. Null: it is not there.")
    ]
    made_build: BuildMade = None


class QuotePage(Struct, frozen=True, kw_only=True):
    """One page of a list of kept quotes."""

    items: Annotated[tuple[QuoteEntry, ...], Meta(description="The quotes of this page.")]
    next: Annotated[
        str | None,
        Meta(description="Address of the next page, also in the header Link. Null: this is the last."),
    ]


class QuoteRevision(Struct, frozen=True, kw_only=True):
    """One step in the history of a quote: who changed it, when and why."""

    quote: QuoteId
    revision: RevisionNumber
    action: Annotated[RevisionAction, Meta(description="What it did.")]
    at: Annotated[datetime, Meta(description="When it was made, in UTC.")]
    actor: Annotated[str, Meta(description="Who made it: the name of the key, or `local` where no keys are used.")]
    message: Message
    format: Annotated[int, Meta(description="Version of the document format in which it is kept.")]
    digest: RevisionDigest
    previous: Annotated[str, Meta(description="Digest of the revision before it; empty for the first.")]


class QuoteRevisionPage(Struct, frozen=True, kw_only=True):
    """One page of the history of a quote, the newest revision first."""

    items: Annotated[tuple[QuoteRevision, ...], Meta(description="The revisions of this page.")]
    next: Annotated[
        str | None,
        Meta(description="Address of the next page, also in the header Link. Null: this is the last."),
    ]


class QuoteVerification(Struct, frozen=True, kw_only=True):
    """Whether the history of a quote is as it was written."""

    quote: QuoteId
    revisions: Annotated[int, Meta(description="How many revisions were checked, from the first on.")]
    intact: Annotated[bool, Meta(description="Every revision fits the one before it, and the last is the present one.")]
    first_unfit: Annotated[
        int | None,
        Meta(description="The first revision that was altered, is missing or does not fit. Null: there is none."),
    ]
    digest: Annotated[str, Meta(description="Digest of the last revision that fits; empty where none does.")]


class QuoteAcceptance(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Who accepts a quote or a change order, and when."""

    accepted_by: Annotated[ShortText, Meta(description="Who accepts it.")]
    accepted_on: Annotated[
        date | None, Meta(description="The day, not in the future. Null: today, where the server is.")
    ] = None
