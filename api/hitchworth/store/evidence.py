"""Files of evidence: kept by the hash of their bytes, checked whenever they are read, deleted when nothing needs them.

A file is on the disk before the database knows it, and the database knows it before a document names it. So what stops
in between leaves a file that nothing names, which `collect` finds, and never a name without its file.
"""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import datetime, timedelta
from hashlib import sha256
from typing import IO, Any
from urllib.parse import quote

import msgspec
from msgspec import Struct
from sqlalchemy import Connection, and_, delete, insert, select, text, update
from sqlalchemy.exc import IntegrityError

from hitchworth.store import tables
from hitchworth.store.blobs import CHUNK_BYTES, Blobs, MissingFileError, file_errors
from hitchworth.store.builds import Clock
from hitchworth.store.database import Database
from hitchworth.store.errors import (
    BusyError,
    DamagedError,
    DamagedFileError,
    LostFileError,
    NoFilesError,
    NotKeptError,
    TooLargeError,
)
from hitchworth.store.tables import evidence_files as files

GRACE = timedelta(days=1)
"""How long a file is kept that no document names: its upload may not be finished."""

_DIGEST_BYTES = 32


class Incoming:
    """A file that is being received: bounded, and hashed on the way."""

    def __init__(self, file: IO[bytes], limit: int) -> None:
        """limit: bytes that it may have."""
        self.file = file
        self.size = 0
        self._limit = limit
        self._digest = sha256()

    def write(self, chunk: bytes | bytearray) -> None:
        """Add bytes; those beyond the limit are counted, and not kept. Raises FullError."""
        self.size += len(chunk)
        if self.size <= self._limit:
            self._digest.update(chunk)
            with file_errors():
                self.file.write(chunk)

    def require_within_limit(self) -> None:
        """Raise TooLargeError when there were more bytes than the limit."""
        if self.size > self._limit:
            raise TooLargeError(f"The limit is {self._limit:,} bytes.")

    @property
    def sha256(self) -> str:
        """The hash of what was received so far."""
        return self._digest.hexdigest()


class Unneeded(Struct, frozen=True):
    """A file that nothing needs."""

    workspace: str
    sha256: str
    size: int


class _Reference(Struct):
    sha256: str


class _References(Struct):
    """What a document names of the files."""

    evidence: tuple[_Reference, ...] = ()


class EvidenceFiles:
    """The files of every workspace. Each method takes the workspace, and sees no other."""

    def __init__(self, database: Database, clock: Clock, blobs: Blobs | None) -> None:
        self._database = database
        self._clock = clock
        self._kept_in = blobs

    @property
    def _blobs(self) -> Blobs:
        if self._kept_in is None:
            raise NoFilesError("no place was named for the files of evidence")
        return self._kept_in

    @contextmanager
    def receive(self, limit: int) -> Iterator[Incoming]:
        """Yield a file to write to. It is gone at the end, unless `keep` has kept it. Raises NoFilesError."""
        with self._blobs.temporary() as file:
            yield Incoming(file, limit)

    def keep(self, workspace: str, incoming: Incoming, media_type: str) -> None:
        """Keep a file; it is on the disk when this returns. One that is there already is written anew.

        So a stored file that was damaged is whole again when somebody adds it again. Raises TooLargeError and other
        errors of the store.
        """
        incoming.require_within_limit()
        key = _key(workspace, incoming.sha256)
        self._blobs.put(key, incoming.file)
        with self._database.writing() as connection:
            _note(connection, workspace, incoming, media_type, self._clock())
            if not self._blobs.is_there(key):  # `collect` has just deleted the one before it
                raise BusyError("files are being collected")

    def open(self, workspace: str, sha256_: str) -> IO[bytes]:
        """Return a file at its beginning, to be closed by the caller; every byte of it has been checked.

        Raises NotKeptError when the workspace has no such file, and DamagedFileError when it is not as it was.
        """
        self._require_known(workspace, sha256_)
        try:
            file = self._blobs.open(_key(workspace, sha256_))
        except MissingFileError:
            raise LostFileError(f"the file {sha256_} is missing") from None
        if _digest_of(file) != sha256_:
            file.close()
            raise DamagedFileError(f"the file {sha256_} has been altered")
        file.seek(0)
        return file

    def held(self, workspace: str) -> frozenset[str]:
        """Return the hashes of all files of a workspace."""
        with self._database.reading() as connection:
            return frozenset(connection.scalars(select(files.c.sha256).where(files.c.workspace == workspace)))

    def derived(self, workspace: str, sha256_: str, name: str, make: Callable[[IO[bytes]], bytes]) -> bytes:
        """Return what is made of a file (a thumbnail), from the cache where it is there and whole.

        Raises NotKeptError and DamagedFileError, and whatever `make` raises.
        """
        self._require_known(workspace, sha256_)
        key = f"{_key(workspace, sha256_, 'derived')}-{name}"
        try:
            with self._blobs.open(key) as cached:
                kept = cached.read()
        except MissingFileError:
            kept = b""
        if kept and sha256(kept[_DIGEST_BYTES:]).digest() == kept[:_DIGEST_BYTES]:
            return kept[_DIGEST_BYTES:]
        with self.open(workspace, sha256_) as file:
            made = make(file)
        with self._blobs.temporary() as cache:
            cache.write(sha256(made).digest() + made)
            self._blobs.put(key, cache)
        return made

    def collect(self, *, delete_them: bool) -> tuple[Unneeded, ...]:
        """Return the files of all workspaces that no revision of any build names, also of none in the trash.

        delete_them: delete them, and what was left half-written. Those younger than a day are left alone: they may
        belong to an upload. Raises DamagedError, before anything is deleted, when a document cannot be read.
        """
        before = self._clock() - GRACE
        if not delete_them:
            with self._database.reading() as connection:
                return tuple(self._unneeded(connection, before))
        with self._database.writing() as connection:
            if self._database.is_postgresql:  # SQLite has one writer at a time
                connection.execute(text(f"LOCK TABLE {files.name} IN EXCLUSIVE MODE"))
            unneeded = tuple(self._unneeded(connection, before))
            for each in unneeded:
                connection.execute(delete(files).where(_is(each.workspace, each.sha256)))
                self._blobs.delete(_key(each.workspace, each.sha256))
                for derived in tuple(self._blobs.list(_folder(each.workspace, "derived"))):
                    if f"/{each.sha256}-" in derived.key:
                        self._blobs.delete(derived.key)
        self._blobs.tidy()
        return unneeded

    def forget(self, workspace: str) -> None:
        """Delete every file of a workspace that is deleted."""
        if self._kept_in is not None:
            for kind in ("files", "derived"):
                for blob in tuple(self._blobs.list(_folder(workspace, kind))):
                    self._blobs.delete(blob.key)

    def _require_known(self, workspace: str, sha256_: str) -> None:
        with self._database.reading() as connection:
            known = connection.scalar(select(files.c.size).where(_is(workspace, sha256_)))
        if known is None:
            raise NotKeptError("the file of this evidence is not kept here")

    def _unneeded(self, connection: Connection, before: datetime) -> Iterator[Unneeded]:
        """Yield the files that nothing names: those of the database, and those that it does not know."""
        needed = frozenset(_needed(connection))
        rows = connection.execute(select(files.c.workspace, files.c.sha256, files.c.size, files.c.added_at)).all()
        for row in rows:
            if (row.workspace, row.sha256) not in needed and row.added_at < before:
                yield Unneeded(row.workspace, row.sha256, row.size)
        known = {_key(row.workspace, row.sha256) for row in rows}
        names = {quote(name, safe=""): name for name in connection.scalars(select(tables.workspaces.c.id))}
        for blob in self._blobs.list("files"):
            _, folder, _, digest = blob.key.split("/")
            if blob.key not in known and blob.modified_at < before:
                yield Unneeded(names.get(folder, folder), digest, blob.size)


def copy_files(connection: Connection, source: Blobs, target: Blobs) -> tuple[str, ...]:
    """Copy every file that a database knows from one place to another, each checked against its hash on the way.

    Return the hashes of those that are missing or not as they were; they are not copied. Raises StoreError.
    """
    rows = connection.execute(select(files.c.workspace, files.c.sha256).order_by(files.c.workspace, files.c.sha256))
    return tuple(
        row.sha256 for row in rows if not _is_copied(_key(row.workspace, row.sha256), row.sha256, source, target)
    )


def _is_copied(key: str, sha256_: str, source: Blobs, target: Blobs) -> bool:
    """Copy a file, and return whether it was whole."""
    try:
        content = source.open(key)
    except MissingFileError:
        return False
    digest = sha256()
    with content, target.temporary() as copied:
        while chunk := content.read(CHUNK_BYTES):
            digest.update(chunk)
            with file_errors():
                copied.write(chunk)
        if digest.hexdigest() == sha256_:
            target.put(key, copied)
    return digest.hexdigest() == sha256_


def _needed(connection: Connection) -> Iterator[tuple[str, str]]:
    """Yield workspace and hash of each file that a revision names. Raises DamagedError."""
    revisions, builds = tables.revisions, tables.builds
    columns = builds.c.workspace, builds.c.kind, builds.c.id, revisions.c.body
    statement = select(*columns).join(builds, builds.c.id == revisions.c.build)
    for row in connection.execute(statement, execution_options={"yield_per": 20}):
        yield from ((row.workspace, name) for name in _named(row.body, f"{row.kind} {row.id}"))


def _named(body: Any, kept: str) -> Iterator[str]:
    try:
        yield from (each.sha256 for each in msgspec.json.decode(body, type=_References).evidence)
    except (msgspec.MsgspecError, TypeError):
        raise DamagedError(f"a document of the {kept} has been altered and cannot be read") from None


def _note(connection: Connection, workspace: str, incoming: Incoming, media_type: str, at: datetime) -> None:
    """Note that a file is there, and since when it may wait for a document that names it."""
    seen = update(files).where(_is(workspace, incoming.sha256)).values(added_at=at)
    if connection.execute(seen).rowcount:
        return
    values = {"size": incoming.size, "media_type": media_type, "added_at": at}
    try:
        with connection.begin_nested():
            connection.execute(insert(files).values(workspace=workspace, sha256=incoming.sha256, **values))
    except IntegrityError:  # another request has added the same file at the same time
        connection.execute(seen)


def _digest_of(file: IO[bytes]) -> str:
    digest = sha256()
    while chunk := file.read(CHUNK_BYTES):
        digest.update(chunk)
    return digest.hexdigest()


def _is(workspace: str, sha256_: str) -> Any:
    """The condition that every access to a single file goes through."""
    return and_(files.c.workspace == workspace, files.c.sha256 == sha256_)


def _folder(workspace: str, kind: str) -> str:
    return f"{kind}/{quote(workspace, safe='')}"


def _key(workspace: str, sha256_: str, kind: str = "files") -> str:
    """Return where a file is: apart from those of other workspaces, and in folders that stay small."""
    return f"{_folder(workspace, kind)}/{sha256_[:2]}/{sha256_}"
