"""Backups and copies of a whole database: one state of it, whatever is written meanwhile, from each to each."""

import shutil
import sqlite3
import stat
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path
from threading import Event, Thread

import pytest
from sqlalchemy import insert, select

from databases import new_database
from hitchworth.model.webhook import MessageBody, WebhookRequest
from hitchworth.store import Store, copies, open_store, tables
from hitchworth.store.blobs import FolderBlobs, open_blobs
from hitchworth.store.builds import Change
from hitchworth.store.chain import fitting
from hitchworth.store.copies import NotEmptyError, back_up, copy
from hitchworth.store.errors import StoreError, UnavailableError
from hitchworth.store.migrations import HEAD
from store_changes import behind_its_back


def change(body: bytes, **more: object) -> Change:
    usual = {"action": "changed", "actor": "Anna", "message": None, "format": 1, "name": "Camper Größe"}
    return Change(**{**usual, "jurisdiction": "US-WA", "registered_class": None, "body": body, **more})  # type: ignore[arg-type]


def fill(store: Store) -> None:
    """Something in every table."""
    store.workspaces.create("shop")
    for workspace in ("default", "shop"):
        wanted = WebhookRequest(url="https://shop.example/hitchworth", events=("build.changed", "attention.gap"))
        webhook = store.webhooks.create(workspace, wanted, secret=store.new_webhook_secret(), actor="Anna")
        first = store.builds.create(workspace, change(b'{"b":1.10,"a":1,"\xc3\xa4":"\\u0000"}', action="created"))
        store.builds.change(workspace, first, change(bytes(range(256)) * 500, message="Not even text"))
        gap = MessageBody(type="attention.gap", timestamp=store.clock(), data={})
        store.webhooks.hold(workspace, webhook.id, first.build, {"gap": gap}, complete=True)
        credential = store.new_credential("hw")
        store.keys.create(workspace, credential, name="Key", scope="admin", actor="local", expires_at=None)
        until = datetime(2027, 1, 31, 12, 0, 0, 1, tzinfo=UTC)
        link = store.new_credential("hs")
        store.shares.create(workspace, first.build, link, name="Agent", for_policy=None, actor="Anna", expires_at=until)
        store.access_log.add(
            workspace, actor="Anna", key=None, operation="get_build", build=first.build, status=200, request_id="1"
        )
        kept = {"workspace": workspace, "sha256": "0" * 64, "size": 1, "media_type": "image/jpeg"}
        with behind_its_back(store) as connection:
            connection.execute(insert(tables.evidence_files).values(**kept, added_at=store.clock()))
    assert store.access_log.flush()


def contents(where: str) -> dict[str, list[tuple[object, ...]]]:
    """Every row of every table."""
    store = open_store(where)
    with store._database.reading() as connection:
        found = {
            table.name: sorted((tuple(row) for row in connection.execute(select(table))), key=repr)
            for table in tables.metadata.sorted_tables
        }
    store.close()
    return found


@pytest.fixture
def filled(where: str) -> Iterator[str]:
    store = open_store(where)
    fill(store)
    yield where
    store.close()


def test_every_table_has_something_in_it(filled: str) -> None:
    assert {name for name, rows in contents(filled).items() if not rows} <= {"idempotency_keys"}


def test_a_backup_has_every_row_to_the_byte(filled: str, tmp_path: Path) -> None:
    before = contents(filled)
    file = tmp_path / "backup.db"
    counts = back_up(filled, file)
    assert counts.rows == {name: len(rows) for name, rows in before.items()}
    assert {path.name for path in tmp_path.iterdir() if path.name.startswith("backup")} == {"backup.db"}
    assert stat.S_IMODE(file.stat().st_mode) == 0o600
    with sqlite3.connect(file) as connection:
        assert connection.execute("SELECT version_num FROM alembic_version").fetchall() == [(HEAD,)]
    assert contents(str(file)) == before


def test_a_copy_goes_from_each_database_to_each(
    where: str, filled: str, tmp_path: Path, postgresql_server: str
) -> None:
    before = contents(filled)
    there, back = new_database(postgresql_server), str(tmp_path / "back.db")
    copy(filled, there)
    assert contents(there) == before
    counts = copy(there, back)
    assert counts.rows["revisions"] == 4
    assert contents(back) == before
    assert contents(where) == before


def test_what_was_copied_works_on(filled: str, tmp_path: Path) -> None:
    back_up(filled, tmp_path / "backup.db")
    copy(str(tmp_path / "backup.db"), str(tmp_path / "restored.db"))
    store = open_store(str(tmp_path / "restored.db"))
    (build,) = store.builds.ids("shop")
    assert len(list(fitting(store.builds.history("shop", build)))) == 2
    store.builds.change("shop", store.builds.present("shop", build), change(b"{}"))
    assert len(list(fitting(store.builds.history("shop", build)))) == 3
    store.close()


@contextmanager
def written_to(where: str) -> Iterator[None]:
    """Meanwhile, another thread keeps builds and changes them."""
    store = open_store(where)
    over, begun = Event(), Event()

    def write() -> None:
        while not over.is_set():
            build = store.builds.create("default", change(b"1" * 5_000))
            store.builds.change("default", build, change(b"2" * 5_000))
            begun.set()

    thread = Thread(target=write)
    thread.start()
    begun.wait(20)
    try:
        yield
    finally:
        over.set()
        thread.join()
        store.close()


def test_a_backup_is_one_state_while_others_write(filled: str, tmp_path: Path) -> None:
    files = [tmp_path / f"backup-{number}.db" for number in range(5)]
    sizes = []
    with written_to(filled):
        for file in files:
            sizes.append(back_up(filled, file).rows["revisions"])
    assert sizes == sorted(sizes)
    assert sizes[-1] > sizes[0]
    for file in files:
        store = open_store(str(file))
        for build in store.builds.ids("default"):
            history = list(store.builds.history("default", build))
            assert len(list(fitting(history))) == len(history)
            assert store.builds.present("default", build).digest == history[-1].revision.digest
        store.close()


def test_nothing_is_copied_over_something(filled: str, tmp_path: Path) -> None:
    other = str(tmp_path / "other.db")
    store = open_store(other)
    store.workspaces.create("mine")
    store.close()
    before = contents(other)
    with pytest.raises(NotEmptyError):
        copy(filled, other)
    assert contents(other) == before
    (tmp_path / "there.db").write_bytes(b"mine")
    with pytest.raises(NotEmptyError, match="there already"):
        back_up(filled, tmp_path / "there.db")
    assert (tmp_path / "there.db").read_bytes() == b"mine"


def test_what_is_not_there_or_no_database_is_told_and_nothing_left(tmp_path: Path) -> None:
    (tmp_path / "text.db").write_bytes(b"This is no database, but long enough to look at." * 100)
    for where in (tmp_path / "missing.db", tmp_path / "text.db"):
        with pytest.raises(StoreError):
            back_up(str(where), tmp_path / "backup.db")
        with pytest.raises(StoreError):
            copy(str(where), str(tmp_path / "copy.db"))
    assert not (tmp_path / "missing.db").exists()
    assert not list(tmp_path.glob("backup*"))
    source = str(tmp_path / "source.db")
    open_store(source).close()
    with pytest.raises(UnavailableError, match="no-folder"):
        back_up(source, tmp_path / "no-folder" / "backup.db")


def test_a_copy_that_breaks_off_leaves_nothing(filled: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    rows = copies._copy_rows

    def fail_at_last(reading: object, writing: object, table: object) -> int:
        if table is tables.metadata.sorted_tables[-1]:
            raise UnavailableError("the connection is gone")
        return rows(reading, writing, table)  # type: ignore[arg-type]

    monkeypatch.setattr(copies, "_copy_rows", fail_at_last)
    target = str(tmp_path / "copy.db")
    with pytest.raises(UnavailableError):
        copy(filled, target)
    assert {name: len(found) for name, found in contents(target).items() if found} == {"workspaces": 1}


PHOTOS = (b"plate" * 1000, b"stove" * 1000, b"receipt" * 1000)


def add_files(store: Store, workspace: str = "default") -> list[str]:
    """Files as uploads leave them; return their hashes."""
    hashes = []
    for content in PHOTOS:
        with store.evidence.receive(10_000) as incoming:
            incoming.write(content)
            store.evidence.keep(workspace, incoming, "image/jpeg")
            hashes.append(incoming.sha256)
    return hashes


def read(where: str, digest: str, evidence: str | None = None, workspace: str = "default") -> bytes:
    store = open_store(where, evidence=evidence)
    try:
        with store.evidence.open(workspace, digest) as file:
            return file.read()
    finally:
        store.close()


def test_a_backup_with_its_files_is_restored_on_an_empty_machine(
    where: str, tmp_path: Path, postgresql_server: str
) -> None:
    """The place of the original is gone; what is restored is in another database, its files in another place."""
    original = str(tmp_path / "machine" / "files")
    store = open_store(where, evidence=original)
    store.workspaces.create("shop")
    hashes = add_files(store) + add_files(store, "shop")
    store.close()
    backup, files = tmp_path / "backup.db", open_blobs(original)
    assert back_up(where, backup, evidence=files).lost_files == ()
    shutil.rmtree(original)
    assert [read(str(backup), each) for each in hashes[:3]] == list(PHOTOS)  # a backup can be served as it is
    for number, target in enumerate((str(tmp_path / "new.db"), new_database(postgresql_server))):
        place = str(tmp_path / f"restored-{number}")
        copied = copy(str(backup), target, evidence=(open_blobs(f"{backup}-evidence"), open_blobs(place)))
        assert (copied.rows["evidence_files"], copied.lost_files) == (6, ())
        assert [read(target, each, place) for each in hashes[:3]] == list(PHOTOS)
        assert [read(target, each, place, "shop") for each in hashes[3:]] == list(PHOTOS)


def test_files_that_are_missing_or_altered_are_named_and_not_copied(where: str, tmp_path: Path) -> None:
    place = tmp_path / "files"
    store = open_store(where, evidence=str(place))
    hashes = add_files(store)
    store.close()
    (altered,), (missing,) = place.rglob(hashes[0]), place.rglob(hashes[1])
    altered.write_bytes(PHOTOS[0][:-1] + b"!")
    missing.unlink()
    backup = tmp_path / "backup.db"
    assert set(back_up(where, backup, evidence=open_blobs(str(place))).lost_files) == set(hashes[:2])
    kept = [each.name for each in (tmp_path / "backup.db-evidence").rglob("*") if each.is_file()]
    assert kept == [hashes[2]]


def test_a_backup_that_finds_no_room_for_its_files_is_no_backup(
    where: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    place = str(tmp_path / "files")
    store = open_store(where, evidence=place)
    add_files(store)
    store.close()

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(FolderBlobs, "put", full)
    with pytest.raises(StoreError, match="No space left"):
        back_up(where, tmp_path / "backup.db", evidence=open_blobs(place))
    assert not (tmp_path / "backup.db").exists()
    assert not (tmp_path / "backup.db.partial").exists()
