"""Copies of a whole database with its files: a backup, and the way from SQLite to PostgreSQL and back.

A copy is one state of the database, whatever is written meanwhile.
"""

import os
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from datetime import UTC, datetime
from functools import partial
from pathlib import Path

from msgspec import Struct
from msgspec.structs import replace
from sqlalchemy import Connection, Table, delete, func, insert, select
from sqlalchemy.exc import DBAPIError, StatementError

from hitchworth.store import tables
from hitchworth.store.blobs import Blobs, blobs_of
from hitchworth.store.builds import Builds
from hitchworth.store.database import Database, create_file, exists
from hitchworth.store.errors import DamagedError, StoreError, UnavailableError
from hitchworth.store.evidence import copy_files
from hitchworth.store.quotes import Quotes
from hitchworth.store.schema import migrate, prepare

_BATCH = 200
"""Rows at a time; a row may hold a document of some megabytes."""


class NotEmptyError(StoreError):
    """The place to copy to holds something already."""


class Copied(Struct, frozen=True):
    """What was copied."""

    rows: dict[str, int]
    """How many rows, by table."""
    unfit: tuple[str, ...] = ()
    """The revisions from which on a history was not as it was written, in the source already."""
    lost_files: tuple[str, ...] = ()
    """The hashes of the files of evidence that were missing or not as they were, in the source already."""


def back_up(where: str, file: Path, *, evidence: Blobs | None = None) -> Copied:
    """Write one state of a database into a new SQLite file that its owner alone can read.

    evidence: the files of the database, which are copied beside the new one, where a store looks for them. None: they
        are not copied.

    The file appears when everything is complete. Raises NotEmptyError when it is there already, and StoreError.
    """
    if file.exists():
        raise NotEmptyError(f"{file} is there already")
    unfinished = file.with_name(f"{file.name}.partial")
    unfinished.unlink(missing_ok=True)
    try:
        if _is_file(where):
            _copy_file(where, unfinished)
            copied = Copied(_counts(str(unfinished)))
        else:
            copied = copy(where, str(unfinished))
        _settle(unfinished)
        if evidence is not None and (beside := blobs_of(str(file))) is not None:
            copied = replace(copied, lost_files=_copied_files(str(unfinished), evidence, beside))
        os.replace(unfinished, file)  # noqa: PTH105  (atomic, and over nothing)
    except OSError as error:
        raise UnavailableError(f"{file}: {error.strerror}") from None
    finally:
        unfinished.unlink(missing_ok=True)
    return copied


def _copied_files(where: str, source: Blobs, target: Blobs) -> tuple[str, ...]:
    with closing(prepare(where)) as database, database.reading() as connection:
        return copy_files(connection, source, target)


def copy(source: str, target: str, *, evidence: tuple[Blobs, Blobs] | None = None) -> Copied:
    """Copy one state of a database into another, which must hold nothing, in one transaction, and verify it.

    evidence: the files of the source, and where those of the target are to be; they are there before the target names
        them. None: they are not copied.

    Raises NotEmptyError, DamagedError when a value is not of the kind of its column, SchemaError when one of the
    databases is not of this release, and StoreError. Nothing is in the target then.
    """
    if not exists(source):
        raise UnavailableError(f"{source} is not there")
    with closing(prepare(source)) as original, original.snapshot() as state:
        unfit = tuple(_unfit_revisions(state))
        migrate(target)
        with closing(prepare(target)) as copied, copied.writing() as writing, state.reading() as reading:
            _require_empty(writing)
            writing.execute(delete(tables.workspaces))
            try:
                rows = {table.name: _copy_rows(reading, writing, table) for table in tables.metadata.sorted_tables}
            except StatementError as error:
                if isinstance(error, DBAPIError):
                    raise
                where = f"; these do not fit: {', '.join(unfit)}" if unfit else ""
                raise DamagedError(f"what is kept has been altered and cannot be copied{where}") from None
            lost = () if evidence is None else copy_files(reading, *evidence)
        return Copied(rows, unfit, lost)


def _unfit_revisions(state: Database) -> Iterator[str]:
    """Yield the first revision of each build and quote that does not fit."""
    columns = tables.builds.c
    clock = partial(datetime.now, UTC)
    records: dict[str, Builds | Quotes] = {each.kind: each for each in (Builds(state, clock), Quotes(state, clock))}
    with state.reading() as connection:
        owned = connection.execute(select(columns.workspace, columns.kind, columns.id)).all()
    for workspace, kind, build in owned:
        try:
            unfit = records[kind].verify(workspace, build).first_unfit
        except (DamagedError, KeyError):
            yield f"{kind} {build}"
        else:
            if unfit is not None:
                yield f"revision {unfit} of {kind} {build}"


def _copy_rows(reading: Connection, writing: Connection, table: Table) -> int:
    count = 0
    rows = reading.execute(select(table), execution_options={"yield_per": _BATCH})
    for batch in rows.mappings().partitions():
        writing.execute(insert(table), [dict(row) for row in batch])
        count += len(batch)
    return count


def _require_empty(connection: Connection) -> None:
    """Raise NotEmptyError when there is more than a workspace that is made with the tables."""
    for table in tables.metadata.sorted_tables:
        count = connection.scalar(select(func.count()).select_from(table)) or 0
        if count > (1 if table is tables.workspaces else 0):
            raise NotEmptyError("the database to copy to is not empty")


def _copy_file(where: str, file: Path) -> None:
    """Copy a SQLite database page by page, in the state of one moment."""
    create_file(str(file))
    database: Database = prepare(where)
    with closing(database), database.reading() as connection, closing(sqlite3.connect(file)) as target:
        connection.execute(select(func.count()).select_from(tables.workspaces))  # from here on it sees one state
        driver = connection.connection.driver_connection
        assert isinstance(driver, sqlite3.Connection)
        driver.backup(target)


def _counts(where: str) -> dict[str, int]:
    with closing(prepare(where)) as database, database.reading() as connection:
        return {
            table.name: connection.scalar(select(func.count()).select_from(table)) or 0
            for table in tables.metadata.sorted_tables
        }


def _settle(file: Path) -> None:
    """Leave a single file that is whole: no log beside it, every page checked, everything on the disk."""
    with closing(sqlite3.connect(file)) as connection:
        connection.execute("PRAGMA journal_mode=DELETE")
        (found,) = connection.execute("PRAGMA integrity_check").fetchone()
    if found != "ok":
        raise UnavailableError(f"the copy is damaged: {found}")
    with file.open("rb") as written:
        os.fsync(written.fileno())


def _is_file(where: str) -> bool:
    if not exists(where):
        raise UnavailableError(f"{where} is not there")
    return "://" not in where
