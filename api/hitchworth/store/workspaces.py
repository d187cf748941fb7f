"""Workspaces: made, counted, and deleted with everything in them."""

from sqlalchemy import ColumnElement, Connection, Table, delete, func, insert, select
from sqlalchemy.exc import IntegrityError

from hitchworth.model.access import WorkspaceRecord
from hitchworth.model.caller import DEFAULT_WORKSPACE
from hitchworth.model.kept import KeptKind
from hitchworth.store import tables
from hitchworth.store.access_log import AccessLog
from hitchworth.store.builds import Clock
from hitchworth.store.database import Database
from hitchworth.store.errors import NotKeptError, UnconfirmedError
from hitchworth.store.evidence import EvidenceFiles


class Workspaces:
    """All workspaces."""

    def __init__(self, database: Database, clock: Clock, access_log: AccessLog, files: EvidenceFiles) -> None:
        self._database = database
        self._files = files
        self._clock = clock
        self._access_log = access_log

    def create(self, workspace: str) -> bool:
        """Make a workspace. Return whether it was not there before."""
        with self._database.writing() as connection:
            try:
                with connection.begin_nested():
                    _insert(connection, workspace, self._clock)
            except IntegrityError:
                return False
            return True

    def list(self) -> tuple[WorkspaceRecord, ...]:
        """Return all workspaces, by name."""
        self._access_log.flush()
        with self._database.reading() as connection:
            names = connection.scalars(select(tables.workspaces.c.id).order_by(tables.workspaces.c.id))
            return tuple(_record(connection, name) for name in names.all())

    def read(self, workspace: str) -> WorkspaceRecord:
        """Return a workspace and how much it holds. Raises NotKeptError."""
        self._access_log.flush()
        with self._database.reading() as connection:
            return _record(connection, workspace)

    def delete(self, workspace: str, confirm: str | None) -> WorkspaceRecord:
        """Delete a workspace and everything in it, and return what it held. The default one is made again, empty.

        confirm: its name. Raises UnconfirmedError when it is another or none, and NotKeptError.
        """
        self._access_log.flush()
        with self._database.writing() as connection:
            held = _record(connection, workspace)
            if confirm != workspace:
                what = "Everything of the workspace would be deleted. If that is meant, confirm it with its name"
                raise UnconfirmedError(f"{what}: {workspace}")
            for table, inside in _contents(workspace):
                connection.execute(delete(table).where(inside))
            connection.execute(delete(tables.workspaces).where(tables.workspaces.c.id == workspace))
            if workspace == DEFAULT_WORKSPACE:
                _insert(connection, workspace, self._clock)
        self._files.forget(workspace)
        return held


def _contents(workspace: str) -> tuple[tuple[Table, ColumnElement[bool]], ...]:
    """Return what is in a workspace, in the order in which it can be deleted."""
    owned = select(tables.builds.c.id).where(tables.builds.c.workspace == workspace)
    inside = {
        table.name: table.c.workspace == workspace if "workspace" in table.c else table.c.build.in_(owned)
        for table in tables.metadata.sorted_tables
        if table is not tables.workspaces
    }
    return tuple(
        (table, inside[table.name]) for table in reversed(tables.metadata.sorted_tables) if table.name in inside
    )


def _record(connection: Connection, workspace: str) -> WorkspaceRecord:
    made = select(tables.workspaces.c.created_at).where(tables.workspaces.c.id == workspace)
    found = connection.execute(made).one_or_none()
    if found is None:
        raise NotKeptError(f"there is no workspace {workspace}")
    counts = {
        table.name: connection.scalar(select(func.count()).select_from(table).where(inside))
        for table, inside in _contents(workspace)
    }
    return WorkspaceRecord(
        id=workspace,
        created_at=found.created_at,
        builds=_count(connection, workspace, "build"),
        quotes=_count(connection, workspace, "quote"),
        revisions=counts["revisions"] or 0,
        keys=counts["keys"] or 0,
        shares=counts["shares"] or 0,
        access_entries=counts["access_log"] or 0,
    )


def _count(connection: Connection, workspace: str, kind: KeptKind) -> int:
    """Return how many builds, or quotes, a workspace has."""
    columns = tables.builds.c
    of_kind = select(func.count()).where(columns.workspace == workspace, columns.kind == kind)
    return connection.scalar(of_kind) or 0


def _insert(connection: Connection, workspace: str, clock: Clock) -> None:
    connection.execute(insert(tables.workspaces).values(id=workspace, created_at=clock()))
