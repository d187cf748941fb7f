"""Who may use a workspace: keys, links to share one build, the log of who did what, and the workspace itself."""

from datetime import datetime
from typing import Annotated, Literal, TypeAlias

from msgspec import Meta, Struct

from hitchworth.model.caller import Scope
from hitchworth.model.listing import NextPage
from hitchworth.model.strings import Identifier

SharedReport: TypeAlias = Literal["conversation-sheet", "inventory", "class-report"]
"""A report that a share link shows.

conversation-sheet: the sheet for the conversation about one policy
inventory: every part and hour of work, with its evidence
class-report: the registered class compared with the built use
"""

Instant = Annotated[datetime, Meta(tz=True)]
"""A point in time, with its offset from UTC."""

PublicPart = Annotated[str, Meta(description="Its public part: 8 characters that name it and open nothing.")]
Until = Annotated[datetime | None, Meta(description="When it stops being valid, in UTC. Null: never.")]
RevokedAt = Annotated[datetime | None, Meta(description="When it was revoked, in UTC. Null: it was not.")]
CreatedAt = Annotated[datetime, Meta(description="When it was made, in UTC.")]
CreatedBy = Annotated[str, Meta(description="Who made it: the name of a key, or `local` where no keys are used.")]


GraceSeconds = Annotated[
    int, Meta(ge=0, le=2_592_000, description="How long the old key stays valid beside the new one; at most 30 days.")
]


class KeyRequest(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A key to make."""

    name: Annotated[
        Identifier, Meta(description="Who will use it. Changes are recorded under this name; no other key may have it.")
    ]
    scope: Annotated[Scope, Meta(description="What it may do.")]
    expires_at: Annotated[
        Instant | None, Meta(description="When it stops being valid: 2027-11-27T00:00:00Z. Null: never.")
    ] = None


class KeyRotation(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """How a key is replaced by a new one."""

    grace_seconds: GraceSeconds = 0


class KeyRecord(Struct, frozen=True, kw_only=True):
    """A key, without its secret."""

    id: PublicPart
    name: Annotated[str, Meta(description="Who uses it; changes are recorded under this name.")]
    scope: Annotated[Scope, Meta(description="What it may do.")]
    created_at: CreatedAt
    created_by: CreatedBy
    expires_at: Until
    revoked_at: RevokedAt
    replaced_at: Annotated[
        datetime | None, Meta(description="When another key of its name took its place, in UTC. Null: none has.")
    ]


class NewKey(KeyRecord, frozen=True, kw_only=True):
    """A key that was just made: the only answer that has its secret."""

    key: Annotated[
        str, Meta(description="The key itself, for `Authorization: Bearer`. It is shown this once and not kept.")
    ]


class ShareRequest(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A link to make, through which somebody without a key reads one build."""

    name: Annotated[Identifier, Meta(description="Whom the link is for: the agent, the adjuster.")]
    expires_at: Annotated[Instant, Meta(description="When the link stops working: 2027-01-31T00:00:00Z.")]
    for_policy: Annotated[
        Identifier | None,
        Meta(
            description="Name of the policy that the link is about; no other is shown. Null: none is shown, and there "
            "is no conversation sheet."
        ),
    ] = None


class ShareRecord(Struct, frozen=True, kw_only=True):
    """A link through which somebody without a key reads one build, without its secret."""

    id: PublicPart
    build: Annotated[str, Meta(description="The build that it shows.")]
    name: Annotated[str, Meta(description="Whom it is for.")]
    for_policy: Annotated[str | None, Meta(description="The policy that it is about. Null: none is shown.")]
    created_at: CreatedAt
    created_by: CreatedBy
    expires_at: Annotated[datetime, Meta(description="When it stops working, in UTC.")]
    revoked_at: RevokedAt


class NewShare(ShareRecord, frozen=True, kw_only=True):
    """A link that was just made: the only answer that has its address."""

    path: Annotated[
        str,
        Meta(description="The path of the link on this server. It is shown this once and not kept: who has it, reads."),
    ]


class SharedBuild(Struct, frozen=True, kw_only=True):
    """What a link shows."""

    name: Annotated[str, Meta(description="Name of the build.")]
    shared_by: CreatedBy
    shared_with: Annotated[str, Meta(description="Whom the link is for.")]
    for_policy: Annotated[str | None, Meta(description="The policy that it is about. Null: none is shown.")]
    expires_at: Annotated[datetime, Meta(description="When the link stops working, in UTC.")]
    revision: Annotated[int, Meta(description="The revision that is shown: the present one.")]
    digest: Annotated[str, Meta(description="The digest of that revision.")]
    paths: Annotated[tuple[str, ...], Meta(description="What can be read under the link.")]


class AccessEntry(Struct, frozen=True, kw_only=True):
    """One request that read or changed what is kept."""

    id: Annotated[str, Meta(description="The id of the entry; later entries have greater ones.")]
    at: Annotated[datetime, Meta(description="When, in UTC.")]
    actor: Annotated[
        str, Meta(description="Who: the name of the key, `link: ` and whom a share link is for, or `local`.")
    ]
    key: Annotated[str | None, Meta(description="Public part of the key or link. Null: none was used.")]
    operation: Annotated[str, Meta(description="What was asked for: the operationId.")]
    build: Annotated[str | None, Meta(description="The build that it was about. Null: none.")]
    quote: Annotated[str | None, Meta(description="The quote that it was about. Null: none.")]
    status: Annotated[int, Meta(description="The HTTP status of the answer.")]
    request_id: Annotated[str, Meta(description="The X-Request-Id of the request.")]


class AccessPage(Struct, frozen=True, kw_only=True):
    """One page of the log, the latest entry first."""

    items: Annotated[tuple[AccessEntry, ...], Meta(description="The entries of this page.")]
    next: NextPage


class WorkspaceRecord(Struct, frozen=True, kw_only=True):
    """A workspace and how much it holds."""

    id: Annotated[str, Meta(description="Name of the workspace.")]
    created_at: CreatedAt
    builds: Annotated[int, Meta(description="How many builds, with those in the trash.")]
    quotes: Annotated[int, Meta(description="How many quotes, with those in the trash.")]
    revisions: Annotated[int, Meta(description="How many revisions of builds and quotes.")]
    keys: Annotated[int, Meta(description="How many keys, with those that are not valid any more.")]
    shares: Annotated[int, Meta(description="How many share links, with those that do not work any more.")]
    access_entries: Annotated[int, Meta(description="How many entries of the log of who did what.")]
