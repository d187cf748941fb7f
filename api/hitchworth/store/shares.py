"""Share links: each opens one build to somebody without a key. Their secrets are not here."""

from datetime import UTC, datetime

from sqlalchemy import ColumnElement, and_, select

from hitchworth.model.access import ShareRecord
from hitchworth.store import credential_records
from hitchworth.store.builds import Clock
from hitchworth.store.credentials import Credential
from hitchworth.store.database import Database
from hitchworth.store.errors import NotKeptError
from hitchworth.store.idempotency import IdempotencyClaim, take_for_secret
from hitchworth.store.tables import builds, read_record, shares

_COLUMNS = [shares.c[name] for name in ShareRecord.__struct_fields__]


class Shares:
    """The share links of every workspace. Each method but `find` takes the workspace, and sees no other."""

    def __init__(self, database: Database, clock: Clock) -> None:
        self._database = database
        self._clock = clock

    def find(self, credential: Credential) -> tuple[str, ShareRecord, datetime | None] | None:
        """Return the workspace and the record of a link, working or not, and when its build was moved to the trash.

        None where there is no such link; the time is None where the build is not in the trash.
        """
        record = select(builds.c.trashed_at, *_COLUMNS).join(builds, builds.c.id == shares.c.build)
        with self._database.reading() as connection:
            found = credential_records.found(connection, record, shares, credential)
        return None if found is None else (found.workspace, read_record(ShareRecord, found), found.trashed_at)

    def create(
        self,
        workspace: str,
        build: str,
        credential: Credential,
        *,
        name: str,
        for_policy: str | None,
        actor: str,
        expires_at: datetime,
        claim: IdempotencyClaim | None = None,
    ) -> ShareRecord:
        """Keep a new link. Raises NotKeptError when there is no such build, MadeBeforeError and KeyReusedError."""
        with self._database.writing() as connection:
            at = self._clock()
            take_for_secret(connection, workspace, claim, at)
            owned = select(builds.c.id).where(
                builds.c.workspace == workspace, builds.c.kind == "build", builds.c.id == build
            )
            if connection.scalar(owned) is None:
                raise NotKeptError("there is no such build")
            record = ShareRecord(
                id=credential.public,
                build=build,
                name=name,
                for_policy=for_policy,
                created_at=at,
                created_by=actor,
                expires_at=expires_at.astimezone(UTC),
                revoked_at=None,
            )
            credential_records.add(connection, shares, workspace, record, credential=credential, claim=claim)
            return record

    def list(self, workspace: str, build: str) -> tuple[ShareRecord, ...]:
        """Return the links to a build, the oldest first; those that work no more, too."""
        mine = and_(shares.c.workspace == workspace, shares.c.build == build)
        statement = select(*_COLUMNS).where(mine).order_by(shares.c.created_at, shares.c.id)
        with self._database.reading() as connection:
            return tuple(read_record(ShareRecord, row) for row in connection.execute(statement))

    def revoke(self, workspace: str, build: str, share: str) -> ShareRecord:
        """End a link at once; one that has ended stays as it is. Raises NotKeptError when there is no such link."""
        one = _is(workspace, build, share)
        with self._database.writing() as connection:
            credential_records.revoke(connection, shares, one, self._clock())
            found = connection.execute(select(*_COLUMNS).where(one)).one_or_none()
        if found is None:
            raise NotKeptError("there is no such link")
        return read_record(ShareRecord, found)


def _is(workspace: str, build: str, share: str) -> ColumnElement[bool]:
    """The condition that every access to a single link goes through."""
    return and_(shares.c.workspace == workspace, shares.c.build == build, shares.c.id == share)
