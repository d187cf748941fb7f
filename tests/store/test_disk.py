"""A disk that is full or read-only: a clear error, nothing half-kept, and what was kept can be read."""

import os
import pwd
from collections.abc import Iterator
from pathlib import Path
from tempfile import mkdtemp

import psycopg
import pytest

from databases import new_database
from hitchworth.store import Store, open_store
from hitchworth.store.builds import BuildQuery
from hitchworth.store.chain import fitting
from hitchworth.store.errors import FullError, ReadOnlyError, StoreError
from small_disk import fill, make_read_only, small_disk
from store_changes import behind_its_back, change

LARGE = os.urandom(300_000)


@pytest.fixture
def disk() -> Iterator[Path]:
    parent = Path(mkdtemp(dir="/tmp"))  # a folder of pytest is closed to the user that PostgreSQL runs as
    parent.chmod(0o755)
    with small_disk(parent / "disk", megabytes=16) as disk:
        yield disk
    (parent / "disk").rmdir()
    parent.rmdir()


def keep_until_full(store: Store, kept: list[bytes]) -> None:
    """Keep large revisions of one build until there is no room, and note each that was acknowledged."""
    seen = store.builds.create("default", change(b"0"))
    kept.append(b"0")
    for number in range(200):
        body = b"%d" % number + LARGE
        seen = store.builds.change("default", seen, change(body))
        kept.append(body)


def assert_kept(store: Store, kept: list[bytes]) -> None:
    """The store has the one build with these bodies, unaltered, and nothing else."""
    (entry,) = store.builds.list("default", BuildQuery())
    assert [each.body for each in fitting(store.builds.history("default", entry.id))] == kept
    assert entry.revision == len(kept)


def test_a_full_disk_under_sqlite(disk: Path) -> None:
    store, kept = open_store(str(disk / "builds.db")), list[bytes]()
    with pytest.raises(FullError):
        keep_until_full(store, kept)
    assert len(kept) > 10
    assert_kept(store, kept)
    store.close()
    fill(disk)
    reopened = open_store(str(disk / "builds.db"))
    assert_kept(reopened, kept)
    reopened.close()


def test_a_full_disk_under_postgresql(disk: Path, postgresql_server: str) -> None:
    """Only the tables of this database lie on the small disk, so the server itself goes on."""
    folder = disk / "tables"
    folder.mkdir()
    if os.geteuid() == 0:
        os.chown(folder, pwd.getpwnam("postgres").pw_uid, -1)
    where = new_database(postgresql_server)
    name = where.partition("/test_")[2].partition("?")[0]
    with psycopg.connect(postgresql_server, autocommit=True) as connection:
        connection.execute(f"CREATE TABLESPACE small_{name} LOCATION '{folder}'")
        connection.execute(f"ALTER DATABASE test_{name} SET TABLESPACE small_{name}")
    store, kept = open_store(where), list[bytes]()
    try:
        with pytest.raises(FullError):
            keep_until_full(store, kept)
        assert len(kept) > 10
        assert_kept(store, kept)
    finally:
        store.close()
        with psycopg.connect(postgresql_server, autocommit=True) as connection:
            connection.execute(f"DROP DATABASE test_{name}")
            connection.execute(f"DROP TABLESPACE small_{name}")


def test_a_file_that_may_not_grow(tmp_path: Path) -> None:
    """The same limit without a small disk: SQLite itself counts the pages."""
    store, kept = open_store(str(tmp_path / "builds.db")), list[bytes]()
    with behind_its_back(store) as connection:
        connection.exec_driver_sql("PRAGMA max_page_count = 500")  # of 4,096 bytes
    with pytest.raises(FullError):
        keep_until_full(store, kept)
    assert 3 < len(kept) < 8
    assert_kept(store, kept)
    store.close()


def test_a_database_that_becomes_read_only(where: str) -> None:
    store = open_store(where)
    first = store.builds.create("default", change(b"1"))
    if where.startswith("postgresql"):
        with psycopg.connect(where, autocommit=True) as connection:
            connection.execute(f"ALTER DATABASE {connection.info.dbname} SET default_transaction_read_only = on")
        store.close()  # a new connection has the new setting
    else:
        with behind_its_back(store) as connection:
            connection.exec_driver_sql("PRAGMA query_only = ON")
    with pytest.raises(ReadOnlyError):
        store.builds.change("default", first, change(b"2"))
    with pytest.raises(ReadOnlyError):
        store.builds.create("default", change(b"2"))
    assert_kept(store, [b"1"])
    store.close()


def test_opening_on_a_read_only_disk_says_so(disk: Path) -> None:
    place = str(disk / "builds.db")
    open_store(place).close()
    make_read_only(disk)
    with pytest.raises(StoreError, match=r"read-?only|unable to open"):
        open_store(place)
    with pytest.raises(StoreError, match="Read-only file system"):
        open_store(str(disk / "new.db"))
