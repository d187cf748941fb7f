"""The history of a kept build: its revisions, read, restored and verified.

The docstrings of the functions are the descriptions of the API.
"""

from datetime import date
from typing import Annotated, Any

from msgspec import Meta

from hitchworth import canonical
from hitchworth.model.caller import Caller
from hitchworth.model.kept import KeptBuild, Revision, RevisionNumber, RevisionPage, Verification
from hitchworth.model.request import GapRequest
from hitchworth.operations.builds import BUILDS, BuildParameter, kept_build
from hitchworth.operations.changes import Alteration, change, present_body
from hitchworth.operations.documents import read_kept, request_at
from hitchworth.operations.paging import Page, cut, next_page, place_of
from hitchworth.store import Store
from hitchworth.store.builds import KeptRecords
from hitchworth.store.chain import KeptDocument

Number = Annotated[RevisionNumber, Meta(examples=[1])]
DigestText = Annotated[str, Meta(pattern="^[0-9a-f]{12,64}$")]
Digest = Annotated[
    DigestText | None,
    Meta(
        description="A digest to look for: as a report prints it, or that of a revision, whole or its first 12 digits "
        "at least. Left out: none is looked for.",
    ),
]


def list_revisions(store: Store, caller: Caller, build: BuildParameter, page: Page) -> RevisionPage:
    """List the revisions of a kept build.

    The newest first: who made it, when and why, and its digest.
    """
    items, following = listed_revisions(store.builds, caller, build, page, path=BUILDS)
    return RevisionPage(items=items, next=following)


def listed_revisions(
    records: KeptRecords[Any], caller: Caller, kept: str, page: Page, *, path: str
) -> tuple[tuple[Revision, ...], str | None]:
    """Return the revisions of a page of a history, and the address of the next; None after the first revision.

    Raises InvalidInputError when the cursor is not one of a history, and NotKeptError.
    """
    found = records.revisions(caller.workspace, kept, place_of(page.cursor, RevisionNumber), page.limit)
    items, last = cut(found, page.limit)
    if last is None:
        return items, None
    return items, next_page(f"{path}/{kept}/revisions", {}, page.limit, last.revision)


def get_revision(store: Store, caller: Caller, build: BuildParameter, revision: Number) -> KeptBuild:
    """Read a revision of a kept build.

    The document as it was then.
    """
    return kept_build(store, caller, store.builds.read(caller.workspace, build, revision)[1].revision)


def restore_revision(
    store: Store, caller: Caller, build: BuildParameter, revision: Number, how: Alteration
) -> Revision:
    """Restore a revision of a kept build.

    Its document becomes the next revision. Nothing of the history is lost.
    """
    earlier = store.builds.read(caller.workspace, build, revision)[1]
    return change(store, caller, build, how, lambda _: present_body(earlier), action="restored")


def verify_build(
    store: Store,
    caller: Caller,
    build: BuildParameter,
    digest: Digest = None,
    as_of: Annotated[
        date | None,
        Meta(
            description="The valuation date of the report, where the digest is that of its data. Left out: the "
            "digest is that of a revision."
        ),
    ] = None,
) -> Verification:
    """Verify the history of a kept build.

    Computes every digest anew, from the first revision on, and names the first that does not fit. With a digest, it
    also says whether that belongs to this history, and to which revisions.
    """
    belongs_to: list[int] = []

    def look(kept: KeptDocument) -> None:
        if digest is not None and _is_digest_of(kept, digest, as_of):
            belongs_to.append(kept.revision.revision)

    chain = store.builds.verify(caller.workspace, build, look)
    return Verification(
        build=build,
        revisions=chain.revisions,
        intact=chain.first_unfit is None,
        first_unfit=chain.first_unfit,
        digest=chain.digest,
        belongs=None if digest is None else bool(belongs_to),
        belongs_to=tuple(belongs_to),
        as_of=as_of,
    )


def _is_digest_of(kept: KeptDocument, digest: str, as_of: date | None) -> bool:
    """Return whether a digest is that of a revision, or of a report made from it on the date."""
    if kept.revision.digest.startswith(digest):
        return True
    if as_of is None:
        return False
    return canonical.digest(request_at(read_kept(kept), GapRequest, as_of), as_of) == digest
