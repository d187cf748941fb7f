"""Files by key, in a folder of their own. `object_blobs` has the same for an object store.

A file appears under its key whole or not at all: it is written under a temporary name in the same folder, flushed to
the disk and renamed.
"""

import errno
import os
from collections.abc import Iterator
from contextlib import AbstractContextManager, contextmanager, suppress
from datetime import UTC, datetime
from pathlib import Path
from tempfile import NamedTemporaryFile
from time import time
from typing import IO, Protocol

from msgspec import Struct

from hitchworth.store.database import IN_MEMORY
from hitchworth.store.errors import FullError, ReadOnlyError, StoreError, UnavailableError

CHUNK_BYTES = 1_000_000
_INCOMING = "incoming"
_STALE_SECONDS = 86_400
"""A temporary file that nobody has written to for so long is of a process that was killed."""


class MissingFileError(StoreError):
    """There is no file under the key."""


class Blob(Struct, frozen=True):
    """A file that is there."""

    key: str
    size: int
    modified_at: datetime


class Blobs(Protocol):
    """Files by key. Threads and processes may share them. Every method raises StoreError."""

    def temporary(self) -> AbstractContextManager[IO[bytes]]:
        """Open a new file for `put`. It is gone at the end."""

    def put(self, key: str, file: IO[bytes]) -> None:
        """Keep a temporary file under a key, over what is there. It is on the disk when this returns.

        The temporary file may be closed by then.
        """

    def open(self, key: str) -> IO[bytes]:
        """Return a file, at its beginning, to be closed by the caller. Raises MissingFileError."""

    def is_there(self, key: str) -> bool:
        """Return whether there is a file under the key."""

    def delete(self, key: str) -> None:
        """Delete a file; one that is not there is no error."""

    def list(self, folder: str) -> Iterator[Blob]:
        """Yield the files in a folder of keys, and in those in it."""

    def tidy(self) -> None:
        """Delete what processes that were killed have left half-written."""


class FolderBlobs:
    """Files in a folder, which is made when the first is kept."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder

    @contextmanager
    def temporary(self) -> Iterator[IO[bytes]]:
        with file_errors():
            incoming = self._folder / _INCOMING
            incoming.mkdir(parents=True, exist_ok=True, mode=0o700)
            file = NamedTemporaryFile(dir=incoming, delete=False)  # noqa: SIM115  (it may be renamed)
        try:
            with file:
                yield file
        finally:
            with suppress(OSError):
                Path(file.name).unlink(missing_ok=True)

    def put(self, key: str, file: IO[bytes]) -> None:
        with file_errors():
            file.flush()
            os.fsync(file.fileno())
            file.close()  # Windows renames no file that is open
            place = self._folder / key
            place.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
            os.replace(file.name, place)  # noqa: PTH105  (atomic, and over what may be damaged)
            folder = place.parent
            while folder != self._folder.parent:  # any of them may be new
                _flush_folder(folder)
                folder = folder.parent

    def open(self, key: str) -> IO[bytes]:
        with file_errors():
            return (self._folder / key).open("rb")

    def is_there(self, key: str) -> bool:
        return (self._folder / key).is_file()

    def delete(self, key: str) -> None:
        with file_errors():
            (self._folder / key).unlink(missing_ok=True)

    def list(self, folder: str) -> Iterator[Blob]:
        with file_errors():
            for file in sorted((self._folder / folder).rglob("*")):
                with suppress(FileNotFoundError):
                    found = file.stat()
                    if file.is_file():
                        changed = datetime.fromtimestamp(found.st_mtime, UTC)
                        yield Blob(file.relative_to(self._folder).as_posix(), found.st_size, changed)

    def tidy(self) -> None:
        for file in (self._folder / _INCOMING).glob("*"):
            with suppress(OSError):
                if file.stat().st_mtime < time() - _STALE_SECONDS:
                    file.unlink()


def open_blobs(where: str) -> Blobs:
    """Open the files in a folder, or at an address of an object store. Raises UnavailableError.

    where: a path; s3://BUCKET/PREFIX, with the variables of the protocol (AWS_ACCESS_KEY_ID, AWS_ENDPOINT_URL and so
    on); or memory:///, which ends with the process.
    """
    if "://" not in where:
        return FolderBlobs(Path(where).resolve())
    from hitchworth.store.object_blobs import open_object_blobs  # noqa: PLC0415  (few need it, and it takes its time)

    return open_object_blobs(where)


def blobs_of(where: str, evidence: str | None = None) -> Blobs | None:
    """Open the files of a database. None: there is no place for them. Raises UnavailableError.

    where: the database. evidence: a place, as `open_blobs` takes it. None: beside a SQLite file, and nowhere with
    PostgreSQL.
    """
    if evidence is not None:
        return open_blobs(evidence)
    if where == IN_MEMORY:
        return open_blobs("memory:///")
    return None if "://" in where else open_blobs(f"{where}-evidence")


@contextmanager
def file_errors() -> Iterator[None]:
    """Raise what the disk says as an error of the store."""
    try:
        yield
    except FileNotFoundError:
        raise MissingFileError("the file is not there") from None
    except OSError as error:
        kind = _KINDS.get(error.errno or 0, UnavailableError)
        raise kind(f"evidence: {error.strerror or type(error).__name__}") from error


_KINDS: dict[int, type[StoreError]] = {
    errno.ENOSPC: FullError,
    errno.EDQUOT: FullError,
    errno.EROFS: ReadOnlyError,
    errno.EACCES: ReadOnlyError,
    errno.EPERM: ReadOnlyError,
}


def _flush_folder(folder: Path) -> None:
    """Have the disk know the names in a folder. Windows has no way to, and needs none."""
    if os.name == "nt":
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
