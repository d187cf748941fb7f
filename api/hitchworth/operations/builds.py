"""Kept builds: created, found, read, replaced, patched, moved to the trash and taken out of it.

The docstrings of the functions are the descriptions of the API.
"""

from collections.abc import Iterator
from datetime import UTC, datetime
from typing import Annotated, Any, TypeVar

import msgspec
from msgspec import Meta, Struct
from msgspec.structs import asdict

from hitchworth import validation
from hitchworth.model.access import Instant
from hitchworth.model.caller import Caller
from hitchworth.model.fault import Fault
from hitchworth.model.kept import BuildEntry, BuildId, BuildPage, BuildSort, KeptBuild, Revision, RevisionNumber
from hitchworth.model.kept_quote import QuoteEntry
from hitchworth.model.strings import Identifier, Jurisdiction, ShortText
from hitchworth.operations.changes import Alteration, Creation, as_it_is, change, change_to, claim_of, require_same
from hitchworth.operations.documents import read_document, read_kept
from hitchworth.operations.merge_patch import patch_of
from hitchworth.operations.paging import Page, cut, foreign_cursor, next_page, place_of
from hitchworth.store import Store
from hitchworth.store.builds import BuildQuery, KeptRecords

BUILDS = "/v1/builds"

Listed = TypeVar("Listed", BuildEntry, QuoteEntry)

BuildParameter = Annotated[BuildId, Meta(examples=["5f0c9f2e4a1d4e7b"])]
AtRevision = Annotated[RevisionNumber | None, Meta(description="Which revision. Null: the present one.")]


class BuildFilter(Struct, frozen=True, kw_only=True):
    """Which builds a list has, and in which order."""

    name: Annotated[
        ShortText | None, Meta(description="Only builds whose name contains this text, without regard to case.")
    ] = None
    jurisdiction: Annotated[Jurisdiction | None, Meta(description="Only builds that are registered there.")] = None
    registered_class: Annotated[Identifier | None, Meta(description="Only builds registered under this class.")] = None
    updated_since: Annotated[
        datetime | None,
        Meta(tz=True, description="Only builds that were changed at this time or later: 2026-11-27T00:00:00Z."),
    ] = None
    trashed: Annotated[bool, Meta(description="The builds in the trash instead of the others.")] = False
    sort: Annotated[BuildSort, Meta(description="The order of the list. Default: -updated_at.")] = "-updated_at"


class QuoteFilter(Struct, frozen=True, kw_only=True):
    """Which quotes a list has, and in which order."""

    name: Annotated[
        ShortText | None, Meta(description="Only quotes whose build has this text in its name, whatever its case.")
    ] = None
    accepted: Annotated[
        bool | None, Meta(description="Only quotes that are accepted; false: only those that are not. Null: both.")
    ] = None
    updated_since: Annotated[
        datetime | None,
        Meta(tz=True, description="Only quotes that were changed at this time or later: 2026-11-27T00:00:00Z."),
    ] = None
    trashed: Annotated[bool, Meta(description="The quotes in the trash instead of the others.")] = False
    sort: Annotated[BuildSort, Meta(description="The order of the list. Default: -updated_at.")] = "-updated_at"


def create_build(store: Store, caller: Caller, request: bytes, how: Creation) -> KeptBuild:
    """Keep a build.

    The body is a document, as the gap statement takes it without its date; a build alone is the shortest. It is kept as
    the first revision.
    """
    claim = claim_of(caller, how, b"builds\n" + request)
    first = change_to(read_document(request), caller, "created", message=how.message, claim=claim)
    return kept_build(store, caller, store.builds.create(caller.workspace, first))


def list_builds(store: Store, caller: Caller, which: BuildFilter, page: Page) -> BuildPage:
    """List the kept builds.

    In pages, without their documents. The address of the next page is in `next` and in the header Link.
    """
    faults = tuple(validation.unknown_jurisdiction(which.jurisdiction))
    items, following = listed(store.builds, caller, which, page, path=BUILDS, faults=faults)
    return BuildPage(items=items, next=following)


def listed(
    records: KeptRecords[Listed],
    caller: Caller,
    which: BuildFilter | QuoteFilter,
    page: Page,
    *,
    path: str,
    faults: tuple[Fault, ...] = (),
) -> tuple[tuple[Listed, ...], str | None]:
    """Return the items of a page of builds or quotes, and the address of the next; None after the last.

    Raises InvalidInputError with the faults of the parameters.
    """
    faults += tuple(_beyond_calendar(which.updated_since))
    if faults:
        raise validation.InvalidInputError(faults)
    query = BuildQuery(**asdict(which), after=_place(page.cursor, which), limit=page.limit)
    items, last = cut(records.list(caller.workspace, query), page.limit)
    if last is None:
        return items, None
    return items, next_page(path, _given(which), page.limit, _place_in_order(last, which))


def get_build(store: Store, caller: Caller, build: BuildParameter) -> KeptBuild:
    """Read a kept build.

    Its document as it is now. Fields at their defaults are left out.
    """
    return kept_build(store, caller, store.builds.present(caller.workspace, build))


def replace_build(store: Store, caller: Caller, build: BuildParameter, request: bytes, how: Alteration) -> KeptBuild:
    """Replace the document of a kept build.

    The body is the whole document. It becomes the next revision. It may be what GET answers, with changes or without:
    the fields that the server adds say which build it was, and are not part of the document. Their `id` must be that of
    the address.
    """
    require_same("id", build, validation.read_json(request))
    return kept_build(store, caller, change(store, caller, build, how, lambda _: request))


def patch_build(store: Store, caller: Caller, build: BuildParameter, request: bytes, how: Alteration) -> KeptBuild:
    """Change parts of the document of a kept build.

    The body is a JSON Merge Patch (RFC 7396) of the document: what it names is replaced, null removes, and a list is
    replaced as a whole. The outcome is checked as any document is, and pointers of faults are those of the outcome.
    """
    return kept_build(store, caller, change(store, caller, build, how, patch_of(request)))


def trash_build(store: Store, caller: Caller, build: BuildParameter, how: Alteration) -> Revision:
    """Move a kept build to the trash.

    It can still be read there, with its history, and taken out again.
    """
    return change(store, caller, build, how, as_it_is, action="trashed")


def recover_build(
    store: Store,
    caller: Caller,
    build: Annotated[BuildId, Meta(examples=["b2d85a1790c34f6e"])],
    how: Alteration,
) -> Revision:
    """Take a kept build out of the trash.

    Where it is not in the trash, nothing happens.
    """
    return change(store, caller, build, how, as_it_is, action="recovered")


def kept_build(store: Store, caller: Caller, revision: Revision) -> KeptBuild:
    """Return the build as one of its revisions has it."""
    entry, kept = store.builds.read(caller.workspace, revision.build, revision.revision)
    document = read_kept(kept)
    return KeptBuild(
        **{name: getattr(document, name) for name in document.__struct_fields__},
        id=entry.id,
        revision=revision.revision,
        digest=revision.digest,
        created_at=entry.created_at,
        updated_at=revision.at,
        trashed_at=revision.at if revision.action == "trashed" else None,
        quote=entry.quote,
    )


def _given(which: BuildFilter | QuoteFilter) -> dict[str, Any]:
    """Return the parameters of a list that are not at their defaults."""
    defaults = msgspec.to_builtins(type(which)())
    return {name: value for name, value in msgspec.to_builtins(which).items() if value != defaults[name]}


def _beyond_calendar(since: datetime | None) -> Iterator[Fault]:
    """Yield the fault of a time that has no date in UTC: before the year 1 or after the year 9999."""
    if since is None:
        return
    try:
        since.astimezone(UTC)
    except OverflowError:
        expected = "a time from the year 1 to the year 9999 in UTC"
        yield Fault(pointer="/updated_since", detail="Time is out of range", expected=expected, found=since.isoformat())


def _place_in_order(last: BuildEntry | QuoteEntry, which: BuildFilter | QuoteFilter) -> tuple[str, Any, str]:
    """Return where a page ended: the order, the place of the last build or quote in it, and its id."""
    name = which.sort.removeprefix("-")
    return which.sort, last.name.casefold() if name == "name" else getattr(last, name), last.id


def _place(cursor: str | None, which: BuildFilter | QuoteFilter) -> tuple[Any, str] | None:
    """Return where a page begins. Raises InvalidInputError when the cursor is not one of this list in this order."""
    if cursor is None:
        return None
    key: Any = str if which.sort.endswith("name") else Instant
    sort, place, last = place_of(cursor, tuple[str, key, str])
    if sort != which.sort:
        raise foreign_cursor(cursor)
    return place, last
