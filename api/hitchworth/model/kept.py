"""Kept builds: a document with its history, as the API answers them."""

from datetime import date, datetime
from typing import Annotated, Literal, TypeAlias

from msgspec import Meta, Struct

from hitchworth.model.document import Document
from hitchworth.model.evidence import Evidence
from hitchworth.model.listing import NextPage
from hitchworth.model.strings import Identifier, ShortText

RevisionAction: TypeAlias = Literal["created", "changed", "restored", "trashed", "recovered"]
"""What a revision did.

created: the build was kept for the first time
changed: the document was changed
restored: the document of an earlier revision was made the present one
trashed: the build was moved to the trash
recovered: the build was taken out of the trash
"""

BuildSort: TypeAlias = Literal["-updated_at", "updated_at", "-created_at", "created_at", "name", "-name"]
"""The order of a list of builds.

-updated_at: the last changed first
updated_at: the last changed last
-created_at: the newest first
created_at: the newest last
name: by name, without regard to case
-name: by name, backward
"""

KeptKind: TypeAlias = Literal["build", "quote"]
"""What is kept with a history of revisions.

build: the document of a build
quote: the document of a quote: a build, its pricing and its change orders
"""

BuildId = Annotated[
    str,
    Meta(pattern="^[0-9a-z]{1,40}$", description="The id of the build, made by the server: 16 hexadecimal digits."),
]
QuoteId = Annotated[
    str,
    Meta(pattern="^[0-9a-z]{1,40}$", description="The id of the quote, made by the server: 16 hexadecimal digits."),
]
MadeFrom = Annotated[
    str | None, Meta(description="Id of the kept quote that was accepted for it. Null: it comes from none.")
]
RevisionNumber = Annotated[int, Meta(ge=1, le=2**31 - 1, description="The number of the revision, counted from 1.")]
RevisionDigest = Annotated[
    str,
    Meta(
        description="SHA-256 of the digest of the revision before it, of who, when and why, and of the document: no "
        "part of the history can be altered without altering it. In quotes it is the ETag."
    ),
]
PresentRevision = Annotated[RevisionNumber, Meta(description="The number of the present revision.")]
PresentDigest = Annotated[str, Meta(description="Digest of the present revision; in quotes it is the ETag.")]
FirstKeptAt = Annotated[datetime, Meta(description="When it was kept for the first time, in UTC.")]
RevisedAt = Annotated[datetime, Meta(description="When this revision was made, in UTC.")]
TrashedAt = Annotated[datetime | None, Meta(description="When it was moved to the trash. Null: it is not there.")]
Message = Annotated[ShortText | None, Meta(description="Why the change was made. Null: nothing was said.")]


class HistoryStep(Struct, frozen=True, kw_only=True):
    """One step in the history of what is kept: who changed it, when and why."""

    revision: RevisionNumber
    action: Annotated[RevisionAction, Meta(description="What it did.")]
    at: Annotated[datetime, Meta(description="When it was made, in UTC.")]
    actor: Annotated[str, Meta(description="Who made it: the name of the key, or `local` where no keys are used.")]
    message: Message
    format: Annotated[int, Meta(description="Version of the document format in which it is kept.")]
    digest: RevisionDigest
    previous: Annotated[str, Meta(description="Digest of the revision before it; empty for the first.")]


class Revision(HistoryStep, frozen=True, kw_only=True):
    """One step in the history of a build: who changed it, when and why."""

    build: BuildId


class BuildEntry(Struct, frozen=True, kw_only=True):
    """A kept build in a list, without its document."""

    id: BuildId
    revision: PresentRevision
    digest: PresentDigest
    name: Annotated[str, Meta(description="Name of the build.")]
    jurisdiction: Annotated[str | None, Meta(description="Where it is registered. Null: not known.")]
    registered_class: Annotated[str | None, Meta(description="The class that its title names. Null: not known.")]
    created_at: FirstKeptAt
    updated_at: Annotated[datetime, Meta(description="When it was changed last, in UTC.")]
    trashed_at: TrashedAt
    quote: MadeFrom


class KeptBuild(Document, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A kept build: one revision of its document, and which one it is."""

    id: BuildId
    revision: RevisionNumber
    digest: RevisionDigest
    created_at: FirstKeptAt
    updated_at: RevisedAt
    trashed_at: TrashedAt
    quote: MadeFrom = None


class AddedEvidence(Evidence, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Evidence that was added to a kept build, and the revision that has it."""

    duplicate_of: Annotated[
        Identifier | None,
        Meta(description="Id of the evidence with the same file that the build had already. Null: the file is new."),
    ]
    build: BuildId
    revision: RevisionNumber
    digest: RevisionDigest


class BuildPage(Struct, frozen=True, kw_only=True):
    """One page of a list of kept builds."""

    items: Annotated[tuple[BuildEntry, ...], Meta(description="The builds of this page.")]
    next: NextPage


class RevisionPage(Struct, frozen=True, kw_only=True):
    """One page of the history of a build, the newest revision first."""

    items: Annotated[tuple[Revision, ...], Meta(description="The revisions of this page.")]
    next: NextPage


class HistoryVerification(Struct, frozen=True, kw_only=True):
    """Whether the history of what is kept is as it was written."""

    revisions: Annotated[int, Meta(description="How many revisions were checked, from the first on.")]
    intact: Annotated[bool, Meta(description="Every revision fits the one before it, and the last is the present one.")]
    first_unfit: Annotated[
        int | None,
        Meta(description="The first revision that was altered, is missing or does not fit. Null: there is none."),
    ]
    digest: Annotated[str, Meta(description="Digest of the last revision that fits; empty where none does.")]


class Verification(HistoryVerification, frozen=True, kw_only=True):
    """Whether the history of a build is as it was written, and whether a paper belongs to it."""

    build: BuildId
    belongs: Annotated[
        bool | None,
        Meta(
            description="Whether the digest asked about is that of a revision that fits, or of a paper made from one. "
            "Null: none was asked about."
        ),
    ]
    belongs_to: Annotated[
        tuple[int, ...], Meta(description="The revisions that the digest asked about belongs to, the oldest first.")
    ]
    as_of: Annotated[
        date | None, Meta(description="The valuation date of the paper whose digest was asked about. Null: none.")
    ]
