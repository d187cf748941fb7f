"""The log of who read and changed what is kept. It holds no contents: who, when, which operation, which build."""

from collections.abc import Callable, Iterator
from datetime import datetime, timedelta

from msgspec.structs import asdict
from sqlalchemy import delete, insert, select

from hitchworth.model.access import AccessEntry
from hitchworth.store.builds import Clock
from hitchworth.store.database import Database
from hitchworth.store.tables import access_log as log
from hitchworth.store.tables import read_record, workspaces

KEPT_FOR = timedelta(days=400)

_COLUMNS = [log.c[name] for name in AccessEntry.__struct_fields__]


class AccessLog:
    """The entries of every workspace. Each method takes the workspace, and sees no other."""

    def __init__(self, database: Database, clock: Clock, new_id: Callable[[], str]) -> None:
        self._database = database
        self._clock = clock
        self._new_id = new_id

    def add(
        self,
        workspace: str,
        *,
        actor: str,
        key: str | None,
        operation: str,
        build: str | None,
        status: int,
        request_id: str,
    ) -> None:
        """Add an entry, and drop those of the workspace that are older than 400 days.

        Nothing is added for a workspace that is not there any more: the request has deleted it.
        """
        with self._database.writing() as connection:
            if connection.scalar(select(workspaces.c.id).where(workspaces.c.id == workspace)) is None:
                return
            at = self._clock()
            connection.execute(delete(log).where(log.c.workspace == workspace, log.c.id < _first_id(at - KEPT_FOR)))
            entry = AccessEntry(
                id=_first_id(at) + self._new_id()[:8],
                at=at,
                actor=actor,
                key=key,
                operation=operation,
                build=build,
                status=status,
                request_id=request_id,
            )
            connection.execute(insert(log).values(workspace=workspace, **asdict(entry)))

    def list(self, workspace: str, build: str | None, before: str | None, limit: int) -> tuple[AccessEntry, ...]:
        """Return entries, the latest first; one more than the limit where there are more."""
        statement = select(*_COLUMNS).where(log.c.workspace == workspace).order_by(log.c.id.desc()).limit(limit + 1)
        if build is not None:
            statement = statement.where(log.c.build == build)
        if before is not None:
            statement = statement.where(log.c.id < before)
        with self._database.reading() as connection:
            return tuple(read_record(AccessEntry, row) for row in connection.execute(statement))

    def all(self, workspace: str) -> Iterator[AccessEntry]:
        """Yield every entry of a workspace, the oldest first."""
        statement = select(*_COLUMNS).where(log.c.workspace == workspace).order_by(log.c.id)
        with self._database.reading() as connection:
            for row in connection.execute(statement, execution_options={"yield_per": 500}):
                yield read_record(AccessEntry, row)


def _first_id(at: datetime) -> str:
    """Return an id that no entry of an earlier time is after."""
    return f"{int(at.timestamp() * 1_000_000):014x}"
