"""Changes of kept builds: on what condition, by whom and why; each makes a revision, or nothing.

A change is an edit of the JSON of the document, and the outcome is read like any document that is sent: so whatever is
kept has passed every check, and the faults of an edit are told all at once.
"""

import re
from collections.abc import Callable
from functools import partial
from hashlib import sha256
from typing import Annotated, TypeAlias

from msgspec import Meta, Struct

from hitchworth import validation
from hitchworth.model.caller import Caller
from hitchworth.model.document import FORMAT, Document
from hitchworth.model.kept import BuildEntry, Revision, RevisionAction
from hitchworth.model.strings import ShortText
from hitchworth.operations.documents import canonical, read_document, read_kept, require_whole
from hitchworth.store import Store
from hitchworth.store.builds import Change
from hitchworth.store.chain import KeptDocument
from hitchworth.store.errors import StaleError
from hitchworth.store.idempotency import Claim

Edit: TypeAlias = Callable[[bytes], bytes]
"""The JSON of the present document in, that of the next one out."""

_IF_MATCH = (
    "The ETag of the revision that the change is meant for: its digest, in quotes. If the build has been changed "
    "since, it stays as it is."
)
IfMatch: TypeAlias = Annotated[
    str,
    Meta(pattern=r'^ *(\*|(W/)?"[^"]*"( *, *(W/)?"[^"]*")*) *$', max_length=2000, description=_IF_MATCH),
]
IdempotencyKey: TypeAlias = Annotated[str, Meta(pattern=r"^[!-~]+$", max_length=255)]
Why: TypeAlias = Annotated[
    ShortText | None,
    Meta(description="Why the change is made, for the history.", examples=["Receipt of the second battery"]),
]

_TAG = re.compile(r'(?:W/)?"[^"]*"')


class Creation(Struct, frozen=True, kw_only=True):
    """How something new is kept."""

    idempotency_key: Annotated[
        IdempotencyKey | None,
        Meta(
            description="A text that the caller makes up for this one request. Sent again within 24 hours, the request "
            "is answered as the first time and does nothing more.",
            examples=["receipt-2026-11-27-battery"],
        ),
    ] = None
    message: Why = None


class SecretCreation(Struct, frozen=True, kw_only=True):
    """How something with a secret is made."""

    idempotency_key: Annotated[
        IdempotencyKey | None,
        Meta(
            description="A text that the caller makes up for this one request. Sent again within 24 hours, the request "
            "makes nothing more: the answer is 409 and names what was made, whose secret only the first answer had.",
            examples=["key-for-the-quoting-script"],
        ),
    ] = None


class Addition(Creation, frozen=True, kw_only=True):
    """How something is added: whatever else has been changed meanwhile, unless a revision is named."""

    if_match: Annotated[
        IfMatch | None, Meta(description=f"{_IF_MATCH} Left out: it is added whatever has been changed since.")
    ] = None


class Alteration(Struct, frozen=True, kw_only=True):
    """How something is altered: only as the caller has seen it."""

    if_match: IfMatch
    message: Why = None


class TrashedError(Exception):
    """The build is in the trash, where it cannot be changed."""


def change(
    store: Store,
    caller: Caller,
    build: str,
    how: Addition | Alteration,
    edit: Edit,
    *,
    action: RevisionAction = "changed",
    request: bytes = b"",
) -> Revision:
    """Make the next revision of a build, and return it. Where the edit changes nothing, return the present one.

    request: what tells this request from others under the same idempotency key. An addition without If-Match is made
    again to what others have kept meanwhile. Raises StaleError when If-Match names another revision, InvalidInputError
    when the outcome has faults, TrashedError, KeyReusedError and NotKeptError.
    """
    claim = claim_of(caller, how, build.encode() + b"\n" + request) if isinstance(how, Creation) else None
    made_of = partial(change_to, caller=caller, action=action, message=how.message, claim=claim)
    while True:
        entry, kept = store.builds.read(caller.workspace, build)
        if claim and (made := store.builds.made_before(caller.workspace, claim)):
            return made
        _require_match(how.if_match, kept.revision)
        if action != "recovered":
            require_not_trashed(entry)
        before = present_body(kept)
        try:
            document = read_document(edit(before))
        except (validation.MalformedBodyError, validation.InvalidInputError):
            require_whole(kept)  # the fault may be of what is kept, not of the change
            raise
        if _changes_nothing(action, entry, canonical(document) == before):
            return kept.revision
        try:
            return store.builds.change(caller.workspace, kept.revision, made_of(document))
        except StaleError:
            if how.if_match is not None:
                raise


def require_not_trashed(entry: BuildEntry) -> None:
    """Raise TrashedError when a build is in the trash."""
    if entry.trashed_at is not None:
        raise TrashedError("The build is in the trash. POST to its /recover first.")


def change_to(
    document: Document, caller: Caller, action: RevisionAction, *, message: str | None, claim: Claim | None = None
) -> Change:
    """Return a change that makes this the document of the next revision."""
    return Change(
        action=action,
        actor=caller.actor,
        message=message,
        format=FORMAT,
        body=canonical(document),
        name=document.build.name,
        jurisdiction=document.build.jurisdiction,
        registered_class=document.build.registered_class,
        claim=claim,
    )


def claim_of(caller: Caller, how: Creation | SecretCreation, request: bytes) -> Claim | None:
    """Return the claim of an idempotency key; None for a request without one."""
    if how.idempotency_key is None:
        return None
    message = how.message if isinstance(how, Creation) else None
    told = sha256(request + b"\n" + (message or "").encode())
    return Claim(actor=caller.actor, key=how.idempotency_key, request_digest=told.hexdigest())


def present_body(kept: KeptDocument) -> bytes:
    """Return the document in the present format."""
    return kept.body if kept.revision.format == FORMAT else canonical(read_kept(kept))


def _require_match(if_match: str | None, present: Revision) -> None:
    if if_match is None or if_match.strip() == "*":
        return
    if f'"{present.digest}"' not in _TAG.findall(if_match):
        raise StaleError(present)


def _changes_nothing(action: RevisionAction, entry: BuildEntry, is_same: bool) -> bool:
    return entry.trashed_at is None if action == "recovered" else is_same and action != "trashed"
