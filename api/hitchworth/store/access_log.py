"""The log of who read and changed what is kept. It holds no contents: who, when, which operation, which build or quote.

Entries are written a moment after they are added, so that no answer waits for whoever holds the database.
"""

from collections.abc import Callable, Iterator, Sequence
from datetime import datetime, timedelta

from msgspec.structs import asdict
from sqlalchemy import delete, insert, select

from hitchworth.model.access import AccessEntry
from hitchworth.store.batch_writer import BatchWriter
from hitchworth.store.builds import Clock
from hitchworth.store.database import WAIT_SECONDS, Database
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
        self._writer = BatchWriter(self._write, "Entries of the log of who did what")

    def add(
        self,
        workspace: str,
        *,
        actor: str,
        key: str | None,
        operation: str,
        build: str | None = None,
        quote: str | None = None,
        status: int,
        request_id: str,
    ) -> None:
        """Add an entry, which is written soon.

        Nothing is written for a workspace that is not there any more: the request has deleted it.
        """
        at = self._clock()
        entry = AccessEntry(
            id=_first_id(at) + self._new_id()[:8],
            at=at,
            actor=actor,
            key=key,
            operation=operation,
            build=build,
            quote=quote,
            status=status,
            request_id=request_id,
        )
        self._writer.add((workspace, entry))

    def flush(self) -> bool:
        """Wait until the entries so far are written, as long as a writer waits for another. Return whether they are."""
        return self._writer.flush(WAIT_SECONDS)

    def _write(self, entries: Sequence[tuple[str, AccessEntry]]) -> None:
        """Write entries, and drop those of their workspaces that are older than 400 days."""
        latest = {workspace: entry.at for workspace, entry in entries}
        there = select(workspaces.c.id).where(workspaces.c.id.in_(latest)).with_for_update(read=True, key_share=True)
        with self._database.writing() as connection:
            present = set(connection.scalars(there))
            for workspace in present:
                first = _first_id(latest[workspace] - KEPT_FOR)
                connection.execute(delete(log).where(log.c.workspace == workspace, log.c.id < first))
            rows = [{"workspace": each, **asdict(entry)} for each, entry in entries if each in present]
            if rows:
                connection.execute(insert(log), rows)

    def list(
        self, workspace: str, *, build: str | None, quote: str | None, before: str | None, limit: int
    ) -> tuple[AccessEntry, ...]:
        """Return entries, the latest first; one more than the limit where there are more.

        build, quote: only those about it.
        """
        self.flush()
        statement = select(*_COLUMNS).where(log.c.workspace == workspace).order_by(log.c.id.desc()).limit(limit + 1)
        if build is not None:
            statement = statement.where(log.c.build == build)
        if quote is not None:
            statement = statement.where(log.c.quote == quote)
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
