"""What needs attention among the kept builds and quotes.

The docstrings of the functions are the descriptions of the API.
"""

from collections.abc import Callable, Sequence
from datetime import date, datetime
from typing import Annotated, Any
from urllib.parse import urlencode

import msgspec
from msgspec import Meta, Struct
from msgspec.structs import replace

from hitchworth import validation
from hitchworth.attention import quote_items
from hitchworth.localization.localize import localize
from hitchworth.model.access import Instant
from hitchworth.model.attention import (
    AttentionCode,
    AttentionItem,
    AttentionPage,
    AttentionRequest,
    AttentionThresholds,
    OpenQuote,
)
from hitchworth.model.caller import Caller
from hitchworth.model.document import Locale
from hitchworth.model.kept import BuildEntry, BuildId
from hitchworth.model.kept_quote import QuoteEntry
from hitchworth.model.strings import ShortText
from hitchworth.operations.attention import create_attention
from hitchworth.operations.builds import BUILDS
from hitchworth.operations.clock import today
from hitchworth.operations.documents import read_kept, request_at
from hitchworth.operations.kept_appraisals import AsOf
from hitchworth.operations.kept_quotes import KEPT_QUOTES
from hitchworth.operations.paging import Page, next_page, place_of
from hitchworth.store import Store
from hitchworth.store.builds import BuildQuery
from hitchworth.store.errors import DamagedError, NotKeptError

ATTENTION = "/v1/attention"

MAX_BUILDS = 50
"""Builds that one page looks through: each takes as long as its settlements and a value curve for each policy."""

_Place = tuple[datetime, str]
"""Where a build or quote is in the order of the list: when it was made, and its id."""

_Start = tuple[int, _Place | None, int]
"""Where a page begins: among builds (0) or quotes (1), after which of them, and after how many items of the next."""

_FIRST: _Start = 0, None, 0
_Cursor = tuple[Annotated[int, Meta(ge=0, le=1)], tuple[Instant, str] | None, Annotated[int, Meta(ge=0, le=100_000)]]


class _QuotedBuild(Struct, frozen=True):
    currency: str


class _Quoted(Struct, frozen=True):
    """What of the document of a quote is read here."""

    build: _QuotedBuild


class AttentionFilter(Struct, frozen=True, kw_only=True):
    """Which items a list has, and as of when."""

    code: Annotated[AttentionCode | None, Meta(description="Only items of this kind.")] = None
    build: Annotated[BuildId | None, Meta(description="Only items of this build.")] = None
    name: Annotated[
        ShortText | None, Meta(description="Only builds whose name contains this text, without regard to case.")
    ] = None
    as_of: AsOf = None
    locale: Annotated[Locale, Meta(description="Locale of the sentences. Default: en-US.")] = "en-US"


def list_attention(
    store: Store, caller: Caller, which: AttentionFilter, thresholds: AttentionThresholds, page: Page
) -> AttentionPage:
    """List what needs attention among the kept builds.

    In pages, build by build, the first that was made first: the answer to POST /v1/attention for the document of each.
    Then the kept quotes that nobody has accepted and that expire. What is in the trash is left out.
    """
    as_of = which.as_of or today()
    validation.check(thresholds, as_of)
    first, place, skipped = place_of(page.cursor, _Cursor) or _FIRST
    items: list[AttentionItem] = []
    following: _Start | None = None
    left = MAX_BUILDS
    for kind in range(first, len(_KINDS)):
        found = _KINDS[kind](store, caller, which, place, left)
        for entry in found[:left]:
            shown = _shown(store, caller, entry, which, thresholds)[skipped:]
            room = page.limit - len(items)
            items.extend(shown[:room])
            if len(shown) > room:
                following = kind, place, skipped + room
                break
            place, skipped = (entry.created_at, entry.id), 0
        else:
            if len(found) > left:
                following = kind, place, 0
        if following is not None:
            break
        left, place, skipped = left - len(found), None, 0
    path = None
    if following is not None:
        given = {**msgspec.to_builtins(which), **msgspec.to_builtins(thresholds)}
        path = next_page(ATTENTION, given, page.limit, following)
    return AttentionPage(as_of=as_of, items=tuple(items), next=path)


def kept_attention(
    store: Store,
    workspace: str,
    entry: BuildEntry,
    *,
    as_of: date | None,
    thresholds: AttentionThresholds,
    locale: str,
) -> tuple[AttentionItem, ...]:
    """Return the items of a build as it is kept now; where it cannot be read or valued, the one that says so."""
    try:
        document = read_kept(store.builds.read(workspace, entry.id)[1])
        request = request_at(document, AttentionRequest, as_of, thresholds=thresholds)
    except (DamagedError, validation.InvalidInputError) as error:
        why = str(error) if isinstance(error, DamagedError) else error.summary
        return (_unreadable(entry, why, locale),)
    found = create_attention(replace(request, locale=locale))
    return tuple(replace(item, build=entry.id, path=_path(item, entry.id)) for item in found.items)


def quote_attention(
    store: Store,
    workspace: str,
    entry: QuoteEntry,
    *,
    as_of: date | None,
    thresholds: AttentionThresholds,
    locale: str,
) -> tuple[AttentionItem, ...]:
    """Return the item of a kept quote that nobody has accepted and that expires; none where it does not."""
    if entry.valid_until is None or entry.accepted_on is not None:
        return ()
    day = as_of or today()
    quote = OpenQuote(name=entry.number or entry.name, valid_until=entry.valid_until)
    found = tuple(quote_items([quote], day, thresholds))
    if not found:
        return ()
    try:
        currency = msgspec.json.decode(store.quotes.read(workspace, entry.id)[1].body, type=_Quoted).build.currency
    except (DamagedError, msgspec.MsgspecError):
        return (_unreadable(entry, "its document has been altered", locale),)
    named = (replace(item, name=entry.name, currency=currency, path=f"{KEPT_QUOTES}/{entry.id}") for item in found)
    return tuple(localize(item, locale) for item in named)


def _shown(
    store: Store,
    caller: Caller,
    entry: BuildEntry | QuoteEntry,
    which: AttentionFilter,
    thresholds: AttentionThresholds,
) -> tuple[AttentionItem, ...]:
    how: Any = {"as_of": which.as_of, "thresholds": thresholds, "locale": which.locale}
    if isinstance(entry, QuoteEntry):
        items = quote_attention(store, caller.workspace, entry, **how)
    else:
        items = kept_attention(store, caller.workspace, entry, **how)
    return tuple(item for item in items if which.code in (None, item.code))


def _unreadable(entry: BuildEntry | QuoteEntry, why: str, locale: str) -> AttentionItem:
    item = AttentionItem(
        code="unreadable",
        condition="unreadable",
        name=entry.name,
        build=entry.id if isinstance(entry, BuildEntry) else None,
        since=None,
        amount=None,
        currency=None,
        path=f"{BUILDS if isinstance(entry, BuildEntry) else KEPT_QUOTES}/{entry.id}",
        parameters={"why": why},
    )
    return localize(item, locale)


def _builds(
    store: Store, caller: Caller, which: AttentionFilter, place: _Place | None, limit: int
) -> Sequence[BuildEntry]:
    """Return the builds from a place on, one more than the limit where there are more."""
    if which.build is None:
        query = BuildQuery(name=which.name, sort="created_at", after=place, limit=limit)
        return store.builds.list(caller.workspace, query)
    try:
        entry = store.builds.entry(caller.workspace, which.build)
    except NotKeptError:
        return ()
    is_left_out = (
        entry.trashed_at is not None
        or (place is not None and (entry.created_at, entry.id) <= place)
        or (which.name is not None and which.name.casefold() not in entry.name.casefold())
    )
    return () if is_left_out else (entry,)


def _quotes(
    store: Store, caller: Caller, which: AttentionFilter, place: _Place | None, limit: int
) -> Sequence[QuoteEntry]:
    """Return the quotes that nobody has accepted from a place on, one more than the limit where there are more."""
    if which.build is not None:
        return ()
    query = BuildQuery(name=which.name, accepted=False, sort="created_at", after=place, limit=limit)
    return store.quotes.list(caller.workspace, query)


_KINDS: tuple[Callable[..., Sequence[Any]], ...] = (_builds, _quotes)
"""What a list looks through, in order."""


def _path(item: AttentionItem, build: str) -> str:
    match item.code:
        case "limit_exceeded" | "limit_outgrown":
            asked = urlencode({name: item.parameters[name] for name in ("limit", "basis")})
            return f"{BUILDS}/{build}/value-curve?{asked}"
        case "gap":
            return f"{BUILDS}/{build}/gap-statement"
        case "answer_old":
            return f"{BUILDS}/{build}/answers"
        case _:
            return f"{BUILDS}/{build}"
