"""Keys: which workspace they open, and how far. Their secrets are not here."""

from datetime import UTC, datetime, timedelta

from sqlalchemy import ColumnElement, Connection, and_, func, or_, select, update

from hitchworth.model.access import KeyRecord
from hitchworth.model.caller import Scope
from hitchworth.store import credential_records
from hitchworth.store.builds import Clock
from hitchworth.store.credentials import Credential
from hitchworth.store.database import Database
from hitchworth.store.errors import NameTakenError, NotKeptError, RotatedError
from hitchworth.store.idempotency import IdempotencyClaim, take_for_secret
from hitchworth.store.tables import keys, read_record, workspaces

_COLUMNS = [keys.c[name] for name in KeyRecord.__struct_fields__]


class Keys:
    """The keys of every workspace. Each method but `find` takes the workspace, and sees no other."""

    def __init__(self, database: Database, clock: Clock) -> None:
        self._database = database
        self._clock = clock

    def find(self, credential: Credential) -> tuple[str, KeyRecord] | None:
        """Return the workspace and the record of a key, valid or not; None where there is no such key."""
        with self._database.reading() as connection:
            found = credential_records.found(connection, select(*_COLUMNS), keys, credential)
        return None if found is None else (found.workspace, read_record(KeyRecord, found))

    def has_administrator(self, at: datetime) -> bool:
        """Return whether a key can be used, at this time, to make others, in any workspace."""
        usable = select(func.count()).select_from(keys).where(keys.c.scope == "admin", *_usable(at))
        with self._database.reading() as connection:
            return bool(connection.scalar(usable))

    def create(
        self,
        workspace: str,
        credential: Credential,
        *,
        name: str,
        scope: Scope,
        actor: str,
        expires_at: datetime | None,
        claim: IdempotencyClaim | None = None,
    ) -> KeyRecord:
        """Keep a new key.

        Raises NotKeptError when there is no such workspace, NameTakenError, MadeBeforeError and KeyReusedError.
        """
        with self._database.writing() as connection:
            if not _take_turns(connection, workspace):
                raise NotKeptError(f"there is no workspace {workspace}")
            at = self._clock()
            take_for_secret(connection, workspace, claim, at)
            namesake = select(keys.c.id).where(_named(workspace, name), *_usable(at))
            if connection.scalar(namesake.limit(1)) is not None:
                raise NameTakenError("another key has this name")
            record = KeyRecord(
                id=credential.public,
                name=name,
                scope=scope,
                created_at=at,
                created_by=actor,
                expires_at=expires_at and expires_at.astimezone(UTC),
                revoked_at=None,
                replaced_at=None,
            )
            _replace(connection, workspace, record, credential, claim)
            return record

    def list(self, workspace: str) -> tuple[KeyRecord, ...]:
        """Return the keys of a workspace, the oldest first."""
        statement = select(*_COLUMNS).where(keys.c.workspace == workspace).order_by(keys.c.created_at, keys.c.id)
        with self._database.reading() as connection:
            return tuple(read_record(KeyRecord, row) for row in connection.execute(statement))

    def rotate(self, workspace: str, key: str, credential: Credential, *, actor: str, grace: timedelta) -> KeyRecord:
        """Keep a new key in place of another, which stays valid for a time of grace; none: it is revoked.

        Raises NotKeptError when there is no such key, or it is not valid any more; and RotatedError when it has been
        replaced already, and is in its time of grace.
        """
        with self._database.writing() as connection:
            _take_turns(connection, workspace)
            at = self._clock()
            old = _usable_key(connection, workspace, key, at)
            _require_newest(connection, workspace, old)
            end = {"expires_at": min(filter(None, (old.expires_at, at + grace)))} if grace else {"revoked_at": at}
            connection.execute(update(keys).where(_is(workspace, key)).values(**end))
            record = KeyRecord(
                id=credential.public,
                name=old.name,
                scope=old.scope,
                created_at=at,
                created_by=actor,
                expires_at=old.expires_at,
                revoked_at=None,
                replaced_at=None,
            )
            _replace(connection, workspace, record, credential)
            return record

    def revoke(self, workspace: str, key: str) -> KeyRecord:
        """End a key at once; one that has ended stays as it is. Raises NotKeptError when there is no such key."""
        with self._database.writing() as connection:
            _take_turns(connection, workspace)
            credential_records.revoke(connection, keys, _is(workspace, key), self._clock())
            return _record(connection, workspace, key)


def _is(workspace: str, key: str) -> ColumnElement[bool]:
    """The condition that every access to a single key goes through."""
    return and_(keys.c.workspace == workspace, keys.c.id == key)


def _named(workspace: str, name: str) -> ColumnElement[bool]:
    return and_(keys.c.workspace == workspace, keys.c.name == name)


def _usable(at: datetime) -> tuple[ColumnElement[bool], ...]:
    return keys.c.revoked_at.is_(None), or_(keys.c.expires_at.is_(None), keys.c.expires_at > at)


def _record(connection: Connection, workspace: str, key: str) -> KeyRecord:
    found = connection.execute(select(*_COLUMNS).where(_is(workspace, key))).one_or_none()
    if found is None:
        raise NotKeptError("there is no such key")
    return read_record(KeyRecord, found)


def _usable_key(connection: Connection, workspace: str, key: str, at: datetime) -> KeyRecord:
    record = _record(connection, workspace, key)
    if record.revoked_at is not None or (record.expires_at is not None and record.expires_at <= at):
        raise NotKeptError("the key is not valid any more; make a new one")
    return record


def _take_turns(connection: Connection, workspace: str) -> bool:
    """Wait until no other transaction changes keys of the workspace. Return whether there is such a workspace."""
    one = select(workspaces.c.id).where(workspaces.c.id == workspace).with_for_update(key_share=True)
    return connection.scalar(one) is not None


def _require_newest(connection: Connection, workspace: str, old: KeyRecord) -> None:
    """Raise RotatedError when another key has taken the place of this one."""
    if old.replaced_at is not None:
        newest = select(keys.c.id).where(_named(workspace, old.name), keys.c.replaced_at.is_(None))
        found = connection.scalar(newest)
        raise RotatedError(f"the key has been replaced by {found} already; rotate that one")


def _replace(
    connection: Connection,
    workspace: str,
    record: KeyRecord,
    credential: Credential,
    claim: IdempotencyClaim | None = None,
) -> None:
    """Keep a key as the newest of its name: the one before, valid or not, is replaced."""
    before = and_(_named(workspace, record.name), keys.c.replaced_at.is_(None))
    connection.execute(update(keys).where(before).values(replaced_at=record.created_at))
    credential_records.add(connection, keys, workspace, record, credential=credential, claim=claim)
