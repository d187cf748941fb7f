"""The connection to the database: SQLite in a file, or PostgreSQL. The rest of the store is the same for both."""

import os
from collections.abc import Iterator
from contextlib import AbstractContextManager, closing, contextmanager, nullcontext
from pathlib import Path
from threading import RLock
from typing import Any

from sqlalchemy import URL, Connection, Engine, create_engine, event, make_url
from sqlalchemy.exc import ArgumentError
from sqlalchemy.pool import StaticPool

from hitchworth.store.database_errors import translated
from hitchworth.store.errors import ReadOnlyError, UnavailableError

IN_MEMORY = ":memory:"
"""The place of a database that ends with the process, for examples and tests: all threads take turns."""

WAIT_SECONDS = 10
"""How long a writer waits for another."""

_POSTGRESQL = ("postgresql://", "postgres://")


class Database:
    """A database, with one engine for reading and one for writing.

    In SQLite, a transaction that writes has to say so when it begins: one that reads first and writes after somebody
    else has written would fail at once, however long it may wait. All writers of a process share one connection, so
    they take turns in the order in which they come.
    """

    def __init__(self, where: str) -> None:
        require_known(where)
        self._turns: AbstractContextManager[object] = RLock() if where == IN_MEMORY else nullcontext()
        self.is_postgresql = where.startswith(_POSTGRESQL)
        if self.is_postgresql:
            self._writer = self._reader = _postgresql(where)
        else:
            self._writer = _sqlite(where, "BEGIN IMMEDIATE", pool_size=1, max_overflow=0, pool_timeout=3 * WAIT_SECONDS)
            self._reader = self._writer if where == IN_MEMORY else _sqlite(where, "BEGIN", pool_timeout=WAIT_SECONDS)

    @contextmanager
    def writing(self) -> Iterator[Connection]:
        """Run a transaction that writes: all of it is kept, or nothing. Raises StoreError."""
        with self._turns, translated(), self._writer.begin() as connection:
            yield connection

    @contextmanager
    def reading(self) -> Iterator[Connection]:
        """Run a transaction that reads: all its statements see the same state. Raises StoreError."""
        with self._turns, translated(), self._reader.connect() as connection:
            if self.is_postgresql:
                connection.execution_options(isolation_level="REPEATABLE READ")
            with connection.begin():
                yield connection

    @contextmanager
    def snapshot(self) -> Iterator["Database"]:
        """Yield the database in one state, for reading alone, whatever is written meanwhile. Raises StoreError."""
        with self.reading() as connection:
            yield _Snapshot(connection)

    def copy(self) -> "Database":
        """Return a database in memory with what is in this one, which is in memory, too. Both then change apart."""
        copied = Database(IN_MEMORY)
        with (
            self._turns,
            closing(self._writer.raw_connection()) as source,
            closing(copied._writer.raw_connection()) as target,
        ):
            connection: Any = source.driver_connection
            connection.backup(target.driver_connection)
        return copied

    def close(self) -> None:
        """Close every connection."""
        self._writer.dispose()
        self._reader.dispose()


class _Snapshot(Database):
    """A transaction that reads, in the place of a database."""

    def __init__(self, connection: Connection) -> None:
        self._connection = connection

    @contextmanager
    def reading(self) -> Iterator[Connection]:
        yield self._connection

    @contextmanager
    def writing(self) -> Iterator[Connection]:
        raise ReadOnlyError("a snapshot is for reading alone")
        yield


def require_known(where: str) -> None:
    """Raise UnavailableError for a URL of anything but PostgreSQL. It is not repeated: it may have a password."""
    if "://" in where and not where.startswith(_POSTGRESQL):
        raise UnavailableError("the address of the database is neither a path nor a URL that begins with postgresql://")


def exists(where: str) -> bool:
    """Return whether the database is there. A PostgreSQL database always is: the store creates none.

    Raises UnavailableError for an address that is neither.
    """
    require_known(where)
    return where.startswith(_POSTGRESQL) or (where != IN_MEMORY and Path(where).exists())


def _postgresql(where: str) -> Engine:
    try:
        url = make_url(where).set(drivername="postgresql+psycopg")
    except ArgumentError:
        raise UnavailableError("the address of the database is not a URL") from None
    options = f"-c lock_timeout={WAIT_SECONDS}s -c timezone=UTC"
    return create_engine(
        url, pool_pre_ping=True, pool_timeout=WAIT_SECONDS, connect_args={"options": options}, hide_parameters=True
    )


def _sqlite(where: str, begin: str, **pool: Any) -> Engine:
    if where == IN_MEMORY:
        pool = {"poolclass": StaticPool, "connect_args": {"check_same_thread": False}}
    engine = create_engine(URL.create("sqlite", database=where), hide_parameters=True, **pool)

    @event.listens_for(engine, "connect")
    def _configure(connection: Any, _record: object) -> None:
        connection.isolation_level = None  # the driver begins no transaction by itself
        for pragma in ("journal_mode=WAL", "synchronous=FULL", "foreign_keys=ON", f"busy_timeout={WAIT_SECONDS}000"):
            connection.execute(f"PRAGMA {pragma}")

    @event.listens_for(engine, "begin")
    def _begin(connection: Connection) -> None:
        connection.exec_driver_sql(begin)

    return engine


def create_file(where: str) -> None:
    """Create an empty file for a database that only its owner can read. Raises OSError."""
    os.close(os.open(where, os.O_CREAT | os.O_EXCL | os.O_RDWR, 0o600))
