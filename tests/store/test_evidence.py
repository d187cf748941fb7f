"""Files of evidence in the store: kept whole, apart by workspace, checked when read, collected when not needed."""

import os
import sys
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from hashlib import sha256
from pathlib import Path

import msgspec
import pytest

from hitchworth.store import Store, open_store
from hitchworth.store.blobs import FolderBlobs
from hitchworth.store.errors import (
    DamagedError,
    DamagedFileError,
    NoFilesError,
    NotKeptError,
    StoreError,
    TooLargeError,
    UnavailableError,
)
from open_files import is_open
from store_changes import behind_its_back, change

PHOTO = b"a photo" * 100
SHA = sha256(PHOTO).hexdigest()


class Clock:
    def __init__(self) -> None:
        self.now = datetime.now(UTC)

    def __call__(self) -> datetime:
        return self.now


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def files(tmp_path: Path) -> Path:
    return tmp_path / "evidence"


@pytest.fixture(params=["folder", "memory"])
def kept(request: pytest.FixtureRequest, where: str, files: Path, clock: Clock) -> Iterator[Store]:
    """A store on each database, with its files in a folder and in an object store."""
    place = str(files) if request.param == "folder" else "memory:///"
    store = open_store(where, clock=clock, evidence=place)
    yield store
    store.close()


def add(store: Store, content: bytes = PHOTO, workspace: str = "default") -> str:
    with store.evidence.receive(10_000_000) as incoming:
        for start in range(0, len(content), 100):
            incoming.write(content[start : start + 100])
        store.evidence.keep(workspace, incoming, "image/jpeg")
        return incoming.sha256


def naming(*hashes: str) -> bytes:
    """A document that names these files."""
    return msgspec.json.encode({"build": {}, "evidence": [{"sha256": each} for each in hashes]})


def read(store: Store, digest: str, workspace: str = "default") -> bytes:
    with store.evidence.open(workspace, digest) as file:
        return file.read()


def test_a_file_is_found_again_by_its_hash(kept: Store) -> None:
    assert add(kept) == SHA
    assert read(kept, SHA) == PHOTO
    assert kept.evidence.held("default") == {SHA}
    add(kept)
    assert read(kept, SHA) == PHOTO


def test_another_workspace_has_no_such_file(kept: Store) -> None:
    kept.workspaces.create("other/..")
    add(kept)
    with pytest.raises(NotKeptError):
        kept.evidence.open("other/..", SHA)
    assert kept.evidence.held("other/..") == frozenset()
    add(kept, workspace="other/..")
    kept.workspaces.delete("other/..", "other/..")
    assert read(kept, SHA) == PHOTO


def test_a_workspace_is_deleted_with_its_files(kept: Store) -> None:
    kept.workspaces.create("other")
    add(kept, workspace="other")
    kept.workspaces.delete("other", "other")
    assert kept.evidence._kept_in is not None
    assert list(kept.evidence._kept_in.list("files")) == []


def test_what_nobody_kept_leaves_nothing(where: str, files: Path) -> None:
    store = open_store(where, evidence=str(files))
    with store.evidence.receive(700) as incoming:
        incoming.write(b"1" * 700)
        incoming.require_within_limit()
        incoming.write(b"1")
        with pytest.raises(TooLargeError, match="700"):
            store.evidence.keep("default", incoming, "image/jpeg")
    assert [file for file in files.rglob("*") if file.is_file()] == []
    store.close()


def test_a_file_that_was_altered_is_never_given_out(where: str, files: Path) -> None:
    store = open_store(where, evidence=str(files))
    add(store)
    (file,) = (each for each in files.rglob(SHA) if each.is_file())
    file.write_bytes(PHOTO[:-1] + b"!")
    with pytest.raises(DamagedFileError, match="altered"):
        store.evidence.open("default", SHA)
    with pytest.raises(DamagedFileError, match="altered"):
        store.evidence.derived("default", SHA, "480", lambda file: file.read())
    file.unlink()
    with pytest.raises(DamagedFileError, match="missing"):
        store.evidence.open("default", SHA)
    add(store)  # added again, it is whole again
    assert read(store, SHA) == PHOTO
    store.close()


def test_what_is_made_of_a_file_is_made_once(kept: Store) -> None:
    add(kept)
    made: list[bytes] = []

    def make(file: object) -> bytes:
        made.append(b"small")
        return b"small"

    assert [kept.evidence.derived("default", SHA, "480", make) for _ in range(3)] == [b"small"] * 3
    assert len(made) == 1
    with pytest.raises(NotKeptError):
        kept.evidence.derived("other", SHA, "480", make)


def test_a_damaged_cache_is_made_anew(where: str, files: Path) -> None:
    store = open_store(where, evidence=str(files))
    add(store)
    store.evidence.derived("default", SHA, "480", lambda _: b"small")
    (cached,) = files.rglob(f"{SHA}-480")
    cached.write_bytes(cached.read_bytes()[:-1] + b"!")
    assert store.evidence.derived("default", SHA, "480", lambda _: b"small") == b"small"
    assert cached.read_bytes().endswith(b"small")
    store.close()


def test_only_what_no_revision_names_is_collected(kept: Store, clock: Clock) -> None:
    """In the trash and in an earlier revision a file is needed, too."""
    present, earlier, trashed, nothing = (add(kept, content) for content in (b"1", b"2", b"3", b"4"))
    first = kept.builds.create("default", change(naming(earlier)))
    kept.builds.change("default", first, change(naming(present)))
    old = kept.builds.create("default", change(naming(trashed)))
    kept.builds.change("default", old, msgspec.structs.replace(change(naming()), action="trashed"))
    kept.evidence.derived("default", nothing, "480", lambda _: b"small")
    assert kept.evidence.collect(delete_them=True) == ()  # they are younger than a day
    clock.now += timedelta(days=1, seconds=1)
    told = kept.evidence.collect(delete_them=False)
    assert [(each.workspace, each.sha256, each.size) for each in told] == [("default", nothing, 1)]
    assert read(kept, nothing) == b"4"  # a look deletes nothing
    assert kept.evidence.collect(delete_them=True) == told
    assert kept.evidence.held("default") == {present, earlier, trashed}
    assert [read(kept, each) for each in (present, earlier, trashed)] == [b"1", b"2", b"3"]
    with pytest.raises(NotKeptError):
        kept.evidence.open("default", nothing)
    assert kept.evidence._kept_in is not None
    assert len(list(kept.evidence._kept_in.list("files"))) == 3
    assert list(kept.evidence._kept_in.list("derived")) == []


def test_a_file_of_another_workspace_does_not_keep_it(kept: Store, clock: Clock) -> None:
    kept.workspaces.create("other")
    add(kept)
    kept.builds.create("other", change(naming(SHA)))
    clock.now += timedelta(days=2)
    assert [each.sha256 for each in kept.evidence.collect(delete_them=True)] == [SHA]


def test_added_again_it_waits_another_day(kept: Store, clock: Clock) -> None:
    add(kept)
    clock.now += timedelta(days=2)
    add(kept)
    assert kept.evidence.collect(delete_them=True) == ()


@pytest.mark.skipif(sys.platform != "linux", reason="looks into /proc")
def test_a_file_is_closed_before_it_is_renamed(tmp_path: Path, files: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    renamed: list[bool] = []
    rename = os.replace

    def replace(source: str, target: Path) -> None:
        renamed.append(is_open(source))
        rename(source, target)

    monkeypatch.setattr(os, "replace", replace)
    store = open_store(str(tmp_path / "builds.db"), evidence=str(files))
    assert read(store, add(store)) == PHOTO
    assert store.evidence.derived("default", SHA, "thumbnail", lambda file: file.read()) == PHOTO
    assert renamed == [False, False]
    store.close()


def test_what_a_killed_process_left_is_collected(kept: Store, clock: Clock) -> None:
    """A file that was on the disk before the database knew of it."""
    assert kept.evidence._kept_in is not None
    with kept.evidence._kept_in.temporary() as file:
        file.write(b"orphan")
        digest = sha256(b"orphan").hexdigest()
        kept.evidence._kept_in.put(f"files/default/{digest[:2]}/{digest}", file)
    assert kept.evidence.collect(delete_them=True) == ()
    clock.now += timedelta(days=2)
    assert [each.sha256 for each in kept.evidence.collect(delete_them=True)] == [digest]
    assert list(kept.evidence._kept_in.list("files")) == []


def test_nothing_is_collected_where_a_document_cannot_be_read(kept: Store, clock: Clock) -> None:
    add(kept)
    kept.builds.create("default", change(b"no JSON"))
    clock.now += timedelta(days=2)
    with pytest.raises(DamagedError):
        kept.evidence.collect(delete_them=True)
    assert read(kept, SHA) == PHOTO


def test_without_a_place_for_files_nothing_is_received(where: str) -> None:
    store = open_store(where)
    if where.startswith("postgresql"):
        with pytest.raises(NoFilesError), store.evidence.receive(1):
            pass
    else:
        add(store)
        assert Path(f"{where}-evidence").is_dir()  # beside the database
    store.close()


def test_a_place_that_is_none(tmp_path: Path) -> None:
    with pytest.raises(UnavailableError, match="place of evidence"):
        open_store(str(tmp_path / "builds.db"), evidence="nowhere://x")


def test_a_snapshot_reads_the_same_files(kept: Store) -> None:
    add(kept)
    with kept.snapshot() as state:
        assert read(state, SHA) == PHOTO


def test_the_database_knows_no_file_that_is_not_there(kept: Store, monkeypatch: pytest.MonkeyPatch) -> None:
    """`collect` has deleted the file before the database could know it: the request is sent again."""
    assert kept.evidence._kept_in is not None
    monkeypatch.setattr(kept.evidence._kept_in, "is_there", lambda _: False)
    with pytest.raises(StoreError, match="collected"):
        add(kept)
    assert kept.evidence.held("default") == frozenset()


def test_altered_rows_open_nothing(where: str, files: Path) -> None:
    """A hash in the database that is a way out of the folder leads to no file."""
    store = open_store(where, evidence=str(files))
    add(store)
    with behind_its_back(store) as connection:
        connection.exec_driver_sql("UPDATE evidence_files SET sha256 = '../../etc/passwd'")
    with pytest.raises(DamagedFileError):
        store.evidence.open("default", "../../etc/passwd")
    store.close()


def test_a_file_that_two_delete_is_gone_for_both(tmp_path: Path) -> None:
    blobs = FolderBlobs(tmp_path)
    with blobs.temporary() as file:
        file.write(PHOTO)
        blobs.put("files/one", file)
    for _ in range(2):
        blobs.delete("files/one")
        assert not blobs.is_there("files/one")
