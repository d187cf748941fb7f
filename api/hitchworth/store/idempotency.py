"""Idempotency keys: a request that is sent again is answered as the first time, and does nothing more."""

from datetime import datetime, timedelta

from msgspec import Struct
from sqlalchemy import ColumnElement, Connection, delete, insert, select, update
from sqlalchemy.exc import IntegrityError, OperationalError

from hitchworth.store.database_errors import LOCK_NOT_AVAILABLE
from hitchworth.store.errors import KeyInUseError, KeyReusedError, MadeBeforeError
from hitchworth.store.tables import idempotency_keys as keys

KEPT_FOR = timedelta(hours=24)


class IdempotencyClaim(Struct, frozen=True, kw_only=True):
    """The key of a request, and a digest of the request, by which another one under the same key is told apart."""

    actor: str
    key: str
    request_digest: str


class Done(Struct, frozen=True):
    """What a request under a key has made."""

    made: str
    """The id of a build, a quote, a key, a share link or a webhook."""
    revision: int = 0
    """That of a build or a quote. 0: what was made has none."""


def take(connection: Connection, workspace: str, claim: IdempotencyClaim, at: datetime) -> Done | None:
    """Take the key for this transaction; where it was taken before, return what that request made.

    While another transaction holds the key, this waits for its end; in SQLite, it has done so before. Raises
    KeyInUseError when that takes too long, and KeyReusedError.
    """
    connection.execute(delete(keys).where(keys.c.at < at - KEPT_FOR))
    try:
        with connection.begin_nested():
            values = {"request_digest": claim.request_digest, "at": at, "made": "", "revision": 0}
            connection.execute(insert(keys).values(workspace=workspace, actor=claim.actor, key=claim.key, **values))
    except IntegrityError:
        return made(connection, workspace, claim, at)
    except OperationalError as error:
        if getattr(error.orig, "sqlstate", None) == LOCK_NOT_AVAILABLE:
            raise KeyInUseError("a request under this key is still in work") from error
        raise
    return None


def take_for_secret(connection: Connection, workspace: str, claim: IdempotencyClaim | None, at: datetime) -> None:
    """Take the key for something with a secret, which no second answer can have. Raises MadeBeforeError too."""
    done = take(connection, workspace, claim, at) if claim is not None else None
    if done is not None:
        raise MadeBeforeError(
            f"the request has been answered before, and has made {done.made}; its secret was in that answer alone"
        )


def keep(connection: Connection, workspace: str, claim: IdempotencyClaim, done: Done) -> None:
    """Note what the request under a key has made."""
    noted = update(keys).where(*_of(workspace, claim)).values(made=done.made, revision=done.revision)
    connection.execute(noted)


def made(connection: Connection, workspace: str, claim: IdempotencyClaim, at: datetime) -> Done | None:
    """Return what an earlier request under the key has made; None where there was none. Raises KeyReusedError."""
    found = connection.execute(
        select(keys.c.request_digest, keys.c.made, keys.c.revision).where(
            *_of(workspace, claim), keys.c.at >= at - KEPT_FOR
        )
    ).one_or_none()
    if found is None:
        return None
    if found.request_digest != claim.request_digest:
        raise KeyReusedError("the key was used for another request")
    return Done(found.made, found.revision)


def _of(workspace: str, claim: IdempotencyClaim) -> tuple[ColumnElement[bool], ...]:
    return keys.c.workspace == workspace, keys.c.actor == claim.actor, keys.c.key == claim.key
