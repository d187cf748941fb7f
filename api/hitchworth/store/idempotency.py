"""Idempotency keys: a request that is sent again is answered as the first time, and does nothing more."""

from datetime import datetime, timedelta

from msgspec import Struct
from sqlalchemy import ColumnElement, Connection, delete, insert, select, update
from sqlalchemy.exc import IntegrityError

from hitchworth.store.errors import KeyReusedError
from hitchworth.store.tables import idempotency_keys as keys

KEPT_FOR = timedelta(hours=24)


class Claim(Struct, frozen=True, kw_only=True):
    """The key of a request, and a digest of the request, by which another one under the same key is told apart."""

    actor: str
    key: str
    request_digest: str


class Done(Struct, frozen=True):
    """What a request under a key has made."""

    build: str
    revision: int


def take(connection: Connection, workspace: str, claim: Claim, at: datetime) -> Done | None:
    """Take the key for this transaction; where it was taken before, return what that request made.

    While another transaction holds the key, this waits for its end. Raises KeyReusedError.
    """
    connection.execute(delete(keys).where(keys.c.at < at - KEPT_FOR))
    try:
        with connection.begin_nested():
            values = {"request_digest": claim.request_digest, "at": at, "build": "", "revision": 0}
            connection.execute(insert(keys).values(workspace=workspace, actor=claim.actor, key=claim.key, **values))
    except IntegrityError:
        return made(connection, workspace, claim, at)
    return None


def keep(connection: Connection, workspace: str, claim: Claim, done: Done) -> None:
    """Note what the request under a key has made."""
    noted = update(keys).where(*_of(workspace, claim)).values(build=done.build, revision=done.revision)
    connection.execute(noted)


def made(connection: Connection, workspace: str, claim: Claim, at: datetime) -> Done | None:
    """Return what an earlier request under the key has made; None where there was none. Raises KeyReusedError."""
    found = connection.execute(
        select(keys.c.request_digest, keys.c.build, keys.c.revision).where(
            *_of(workspace, claim), keys.c.at >= at - KEPT_FOR
        )
    ).one_or_none()
    if found is None:
        return None
    if found.request_digest != claim.request_digest:
        raise KeyReusedError("the key was used for another request")
    return Done(found.build, found.revision)


def _of(workspace: str, claim: Claim) -> tuple[ColumnElement[bool], ...]:
    return keys.c.workspace == workspace, keys.c.actor == claim.actor, keys.c.key == claim.key
