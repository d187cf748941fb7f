"""Changes of kept builds and quotes: on what condition, by whom and why; each makes a revision, or nothing.

A change is an edit of the JSON of the document, and the outcome is read like any document that is sent: so whatever is
kept has passed every check, and the faults of an edit are told all at once.
"""

import re
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from functools import partial
from hashlib import sha256
from typing import Annotated, Any, Generic, TypeAlias

from msgspec import Meta, Struct
from msgspec.structs import replace

from hitchworth import validation
from hitchworth.model.caller import Caller
from hitchworth.model.document import FORMAT, Document
from hitchworth.model.fault import Fault
from hitchworth.model.kept import BuildEntry, KeptKind, Revision, RevisionAction
from hitchworth.model.kept_quote import QuoteEntry
from hitchworth.model.pricing import QuotePricing
from hitchworth.model.quote_document import QuoteDocument
from hitchworth.model.strings import ShortText
from hitchworth.operations.documents import AnyDocument, canonical, read_document, read_kept, require_whole
from hitchworth.store import Store
from hitchworth.store.builds import Builds, Change
from hitchworth.store.chain import KeptDocument
from hitchworth.store.errors import StaleError
from hitchworth.store.idempotency import IdempotencyClaim
from hitchworth.store.quotes import Quotes

Edit: TypeAlias = Callable[[bytes], bytes]
"""The JSON of the present document in, that of the next one out."""

_IF_MATCH = (
    "The ETag of the revision that the change is meant for: its digest, in quotes. If it has been changed "
    "since, it stays as it is."
)
IfMatch: TypeAlias = Annotated[
    str,
    Meta(pattern=r'^ *(\*|(W/)?"[^"]*"( *, *(W/)?"[^"]*")*) *$', max_length=2000, description=_IF_MATCH),
]
IdempotencyKey: TypeAlias = Annotated[str, Meta(pattern=r"^[!-~]+$", max_length=255)]
Why: TypeAlias = Annotated[
    ShortText | None,
    Meta(
        description="Why the change is made, for the history. Left out: the history has no reason.",
        examples=["Receipt of the second battery"],
    ),
]

_TAG = re.compile(r'(?:W/)?"[^"]*"')


class Creation(Struct, frozen=True, kw_only=True):
    """How something new is kept."""

    idempotency_key: Annotated[
        IdempotencyKey | None,
        Meta(
            description="A text that the caller makes up for this one request. Sent again within 24 hours, the request "
            "is answered as the first time and does nothing more. Left out: each request does it anew.",
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
            "makes nothing more: the answer is 409 and names what was made, whose secret only the first answer had. "
            "Left out: each request makes another.",
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
    """The build or quote is in the trash, where it cannot be changed."""


class QuoteStageError(Exception):
    """The quote is not at the stage that is needed: accepted already, or not yet."""


def no_further_faults(_before: Document, _after: Document) -> Iterable[Fault]:
    """Any document that passes every check may take the place of any other."""
    return ()


class Keeping(Struct, Generic[AnyDocument], frozen=True):
    """How one kind of document is kept."""

    kind: KeptKind
    document: type[AnyDocument]
    faults_of_change: Callable[[AnyDocument, AnyDocument], Iterable[Fault]] = no_further_faults
    """What is wrong with the change from one document to the next, where each is right by itself."""

    def records(self, store: Store) -> Builds | Quotes:
        """Return where they are kept."""
        return store.builds if self.kind == "build" else store.quotes

    def read(self, kept: KeptDocument) -> AnyDocument:
        """Return the document of a revision. Raises DamagedError."""
        return read_kept(kept, self.document)

    def require_out_of_trash(self, entry: BuildEntry | QuoteEntry) -> None:
        """Raise TrashedError for what is in the trash."""
        if entry.trashed_at is not None:
            raise TrashedError(f"The {self.kind} is in the trash. POST to its /recover first.")


BUILD = Keeping(kind="build", document=Document)


def change(
    store: Store,
    caller: Caller,
    build: str,
    how: Addition | Alteration,
    edit: Edit,
    *,
    action: RevisionAction = "changed",
    request: bytes = b"",
    keeping: Keeping[Any] = BUILD,
) -> Revision:
    """Make the next revision of a build or quote, and return it. Where the edit changes nothing, return the present.

    request: what tells this request from others under the same idempotency key. An addition without If-Match is made
    again to what others have kept meanwhile. Raises StaleError when If-Match names another revision, InvalidInputError
    when the outcome has faults, TrashedError, KeyReusedError and NotKeptError.
    """
    records = keeping.records(store)
    claim = claim_of(caller, how, build.encode() + b"\n" + request) if isinstance(how, Creation) else None
    made_of = partial(change_to, caller=caller, action=action, message=how.message, claim=claim)
    while True:
        entry, kept = records.read(caller.workspace, build)
        if claim and (made := records.made_before(caller.workspace, claim)):
            return made
        require_match(how.if_match, kept.revision, keeping.kind)
        if action != "recovered":
            keeping.require_out_of_trash(entry)
        before = present_body(kept, keeping.document)
        document = edited(keeping, kept, edit(before))
        if _changes_nothing(action, entry, canonical(document) == before):
            return kept.revision
        try:
            return records.change(caller.workspace, kept.revision, made_of(document))
        except StaleError:
            if how.if_match is not None:
                raise


def as_it_is(body: bytes) -> bytes:
    """Return the document unchanged: for the trash, which changes nothing in it."""
    return body


def edited(keeping: Keeping[AnyDocument], kept: KeptDocument, body: bytes) -> AnyDocument:
    """Return the next document of what is kept. Raises InvalidInputError with its faults."""
    try:
        document = read_document(body, keeping.document)
        if keeping.faults_of_change is not no_further_faults:
            faults = tuple(keeping.faults_of_change(keeping.read(kept), document))
            if faults:
                raise validation.InvalidInputError(faults)
    except (validation.MalformedBodyError, validation.InvalidInputError):
        require_whole(kept)  # the fault may be of what is kept, not of the change
        raise
    return document


def change_to(
    document: Document,
    caller: Caller,
    action: RevisionAction,
    *,
    message: str | None,
    claim: IdempotencyClaim | None = None,
) -> Change:
    """Return a change that makes this the document of the next revision."""
    pricing = document.pricing if isinstance(document, QuoteDocument) else QuotePricing()
    return Change(
        action=action,
        actor=caller.actor,
        message=message,
        format=FORMAT,
        body=canonical(document),
        name=document.build.name,
        jurisdiction=document.build.jurisdiction,
        registered_class=document.build.registered_class,
        number=pricing.number,
        valid_until=pricing.valid_until,
        accepted_on=None if pricing.acceptance is None else pricing.acceptance.accepted_on,
        claim=claim,
    )


def claim_of(caller: Caller, how: Creation | SecretCreation, request: bytes) -> IdempotencyClaim | None:
    """Return the claim of an idempotency key; None for a request without one."""
    if how.idempotency_key is None:
        return None
    message = how.message if isinstance(how, Creation) else None
    told = sha256(request + b"\n" + (message or "").encode())
    return IdempotencyClaim(actor=caller.actor, key=how.idempotency_key, request_digest=told.hexdigest())


def require_same(field: str, wanted: str, body: Any) -> None:
    """Raise InvalidInputError when the JSON of a body has another id or name than the address."""
    if not isinstance(body, dict) or body.get(field, wanted) == wanted:
        return
    fault = Fault(
        pointer=f"/{field}",
        detail="The body is about something else than the address",
        expected=wanted,
        found=str(body[field])[:60],
    )
    raise validation.InvalidInputError([fault])


def present_body(kept: KeptDocument, kind: type[Document] = Document) -> bytes:
    """Return the document in the present format."""
    return kept.body if kept.revision.format == FORMAT else canonical(read_kept(kept, kind))


def require_match(if_match: str | None, present: Revision, kind: KeptKind = "build") -> None:
    """Raise StaleError when If-Match names another revision than the present one."""
    if if_match is None or if_match.strip() == "*":
        return
    if f'"{present.digest}"' not in _TAG.findall(if_match):
        raise StaleError(present, kind)


def _changes_nothing(action: RevisionAction, entry: BuildEntry | QuoteEntry, is_same: bool) -> bool:
    return entry.trashed_at is None if action == "recovered" else is_same and action != "trashed"


@contextmanager
def seen_from(pointer: str | Callable[[], str], kind: KeptKind = "build") -> Iterator[None]:
    """Give the faults of a part pointers into its own body. A fault elsewhere says that it is in the document.

    pointer: where the part is in the document; a function where only the edit knows it.
    """
    try:
        yield
    except validation.InvalidInputError as error:
        at = pointer if isinstance(pointer, str) else pointer()
        raise validation.InvalidInputError([_relative(fault, at, kind) for fault in error.faults]) from None


def _relative(fault: Fault, pointer: str, kind: KeptKind) -> Fault:
    if fault.pointer == pointer or fault.pointer.startswith(f"{pointer}/"):
        return replace(fault, pointer=fault.pointer.removeprefix(pointer), also_at=())
    return replace(fault, detail=f"In the document of the {kind}: {fault.detail}")
