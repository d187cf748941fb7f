"""Who asks, and whether they may: the host, the key or link, its scope, and how often."""

import re
from asyncio import get_running_loop
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from contextvars import copy_context
from typing import TypeVar

from hitchworth.model.caller import LOCAL_CALLER, Caller
from hitchworth.operations.authentication import (
    EndedCredentialError,
    UnknownCredentialError,
    caller_of_key,
    open_share,
)
from hitchworth.store import Store
from hitchworth.store.errors import StoreError
from hitchworth.web import problems
from hitchworth.web.hosts import host_of, host_of_origin
from hitchworth.web.http import HTTPRequest, request_id
from hitchworth.web.kept_problems import kept_problem
from hitchworth.web.operation import SHARED, Operation
from hitchworth.web.problems import RequestError

T = TypeVar("T")

_MAX_AUTHORIZATION = 200
"""A key has 55 characters."""

_ID = re.compile("[0-9a-z]{1,40}")
"""What can be the id of a build or quote. Anything else that was sent in its place is not kept."""

_FORWARDED = ("forwarded", "x-forwarded-for", "x-forwarded-host", "x-forwarded-proto", "x-real-ip", "via")
"""Headers that a proxy adds: behind one, whoever calls from this machine may stand for anybody."""

_LOOK_UPS = ThreadPoolExecutor(max_workers=4, thread_name_prefix="hitchworth-look-up")
"""The threads that look up keys and links: nobody waits behind long answers to be told that the key is wrong."""


async def caller_of(operation: Operation, request: HTTPRequest) -> Caller | None:
    """Return who asks; None where nobody needs to be known.

    Raises RequestError for a server name that is not allowed, a key that opens nothing, a missing key, and a caller
    who asks too often.
    """
    _require_known_host(request)
    caller = await (_opened_by_link(request) if operation.is_shared else _identified(operation, request))
    if caller is not None:
        request.state["workspace"] = caller.workspace
        if caller.key is not None:
            request.state["key"] = caller.key
            _count(request, caller.key)
    return caller


def require_scope(operation: Operation, caller: Caller | None) -> None:
    """Raise RequestError when the caller may not do this."""
    if caller is None or operation.scope is None or operation.scope in caller.scopes:
        return
    detail = f"This needs a key with the scope {operation.scope}; the key of {caller.actor} has not."
    challenge = f'Bearer realm="hitchworth", error="insufficient_scope", scope="{operation.scope}"'
    raise RequestError(problems.INSUFFICIENT_SCOPE, detail, headers={"www-authenticate": challenge})


def note_access(operation: Operation, request: HTTPRequest, caller: Caller | None, status: int) -> None:
    """Keep in the log who read or changed what. It is written later, so that it does not hold up the answer."""
    if caller is None or not operation.is_kept:
        return
    store = store_of(request)
    build = request.state[SHARED].share.build if operation.is_shared else _id_in(request, "build")
    store.access_log.add(
        caller.workspace,
        actor=caller.actor,
        key=caller.key,
        operation=operation.operation_id,
        build=build,
        quote=_id_in(request, "quote"),
        status=status,
        request_id=request_id(request),
    )


def _id_in(request: HTTPRequest, kind: str) -> str | None:
    """Return the id of the build or the quote that the path is about."""
    sent: str | None = request.path_params.get(kind)
    return sent if sent is not None and _ID.fullmatch(sent) else None


def store_of(request: HTTPRequest) -> Store:
    """Return the store of the application. Raises RequestError where it has none."""
    store = request.app.state.get("store")
    if store is None:
        raise RequestError(problems.NO_DATABASE, problems.NO_DATABASE.description)
    assert isinstance(store, Store)
    return store


async def _opened_by_link(request: HTTPRequest) -> Caller:
    """Return who reads through the share link in the path, and note what it opens. Raises RequestError."""
    store = store_of(request)
    try:
        opened = await _looked_up(lambda: open_share(store, str(request.path_params["link"])))
    except UnknownCredentialError:
        raise RequestError(problems.NOT_FOUND, "There is no such link.") from None
    except EndedCredentialError as error:
        raise RequestError(problems.LINK_ENDED, f"The link {error}. Ask who sent it for a new one.") from None
    request.state[SHARED] = opened
    return opened.caller


async def _identified(operation: Operation, request: HTTPRequest) -> Caller | None:
    store: Store | None = request.app.state.get("store")
    keys_are_required: bool = request.app.state["keys_are_required"]
    sent = request.headers.getall("authorization", [])
    if store is not None and sent and not operation.is_open:
        return await _caller_of_key(store, sent)
    if operation.scope is None and not (keys_are_required and store is not None and operation.request_type is not None):
        return None
    if keys_are_required and store is not None:
        raise _refused(problems.KEY_REQUIRED, problems.KEY_REQUIRED.description, "")
    if any(name in request.headers for name in _FORWARDED):
        raise _refused(problems.FORWARDED, problems.FORWARDED.description, "")
    return LOCAL_CALLER


async def _caller_of_key(store: Store, sent: list[str]) -> Caller:
    scheme, _, text = sent[0].partition(" ")
    if len(sent) > 1 or scheme.lower() != "bearer" or not text.strip() or len(text) > _MAX_AUTHORIZATION:
        raise _refused(
            problems.INVALID_KEY, "Authorization must be the word Bearer, a space and a key.", "invalid_request"
        )
    try:
        return await _looked_up(lambda: caller_of_key(store, text.strip()))
    except UnknownCredentialError:
        raise _refused(problems.INVALID_KEY, "There is no such key.", "invalid_token") from None
    except EndedCredentialError as error:
        raise _refused(problems.INVALID_KEY, f"The key {error}.", "invalid_token") from None


async def _looked_up(ask: Callable[[], T]) -> T:
    try:
        return await get_running_loop().run_in_executor(_LOOK_UPS, copy_context().run, ask)
    except StoreError as error:
        raise kept_problem(error) from error


def _refused(kind: problems.ProblemType, detail: str, error: str) -> RequestError:
    challenge = 'Bearer realm="hitchworth"' + (f', error="{error}"' if error else "")
    return RequestError(kind, detail, headers={"www-authenticate": challenge})


def _count(request: HTTPRequest, key: str) -> None:
    """Count the request, and have the answer say what the key has left. Raises RequestError when that is nothing."""
    quota = request.app.state["rate_limit"].take(key)
    if quota is None:
        return
    request.state["headers"] = request.state.get("headers", {}) | quota.headers
    if quota.remaining < 0:
        detail = f"A key may make {quota.limit:,} requests a minute. The next are answered in {quota.seconds} seconds."
        raise RequestError(problems.RATE_LIMITED, detail, headers={"retry-after": str(quota.seconds)})


def _require_known_host(request: HTTPRequest) -> None:
    """Raise RequestError when the request is for another server, or comes from the page of another in a browser."""
    names: frozenset[str] = request.app.state["allowed_names"]
    origins: frozenset[str] = request.app.state["origins"]
    host = host_of(request.headers.get("host", ""))
    if names and host not in names:
        raise RequestError(problems.WRONG_HOST, problems.WRONG_HOST.description)
    origin = request.headers.get("origin")
    if origin is None or origin in origins or not (names or origins):
        return
    if host_of_origin(origin) not in (names or {host}):
        raise RequestError(problems.FOREIGN_PAGE, problems.FOREIGN_PAGE.description)
