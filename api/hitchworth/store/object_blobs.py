"""Files by key in an object store that speaks the protocol of S3, or in memory."""

from collections.abc import Iterator
from contextlib import contextmanager, suppress
from tempfile import NamedTemporaryFile, TemporaryFile
from typing import IO, BinaryIO, cast

import obstore
from obstore.exceptions import BaseError
from obstore.store import MemoryStore, ObjectStore, from_url

from hitchworth.store.blobs import CHUNK_BYTES, Blob, MissingFileError, file_errors
from hitchworth.store.errors import UnavailableError


class ObjectBlobs:
    """Files in an object store, which itself keeps one whole or not at all."""

    def __init__(self, store: ObjectStore) -> None:
        self._store = store

    @contextmanager
    def temporary(self) -> Iterator[IO[bytes]]:
        with file_errors():
            file = NamedTemporaryFile()  # noqa: SIM115  (an error of the caller is no error of the disk)
        with file:
            yield file

    def put(self, key: str, file: IO[bytes]) -> None:
        with _errors():
            file.flush()
            file.seek(0)
            obstore.put(self._store, key, cast("BinaryIO", file))

    def open(self, key: str) -> IO[bytes]:
        with _errors():
            copy = TemporaryFile()  # noqa: SIM115  (the caller closes it)
            try:
                for chunk in obstore.get(self._store, key).stream(min_chunk_size=CHUNK_BYTES):
                    copy.write(chunk)
                copy.seek(0)
            except BaseException:
                copy.close()
                raise
            return copy

    def is_there(self, key: str) -> bool:
        try:
            with _errors():
                obstore.head(self._store, key)
        except MissingFileError:
            return False
        return True

    def delete(self, key: str) -> None:
        with suppress(MissingFileError), _errors():
            obstore.delete(self._store, key)

    def list(self, folder: str) -> Iterator[Blob]:
        with _errors():
            for batch in obstore.list(self._store, folder):
                for each in batch:
                    yield Blob(each["path"], each["size"], each["last_modified"])

    def tidy(self) -> None:
        """There is nothing half-written."""


def open_object_blobs(where: str) -> ObjectBlobs:
    """Open the files at an address. Raises UnavailableError when it is none."""
    try:
        return ObjectBlobs(MemoryStore() if where.startswith("memory:") else from_url(where))
    except (BaseError, ValueError) as error:
        raise UnavailableError(f"the place of evidence cannot be used: {_first_line(error)}") from None


@contextmanager
def _errors() -> Iterator[None]:
    """Raise what the object store says as an error of the store."""
    try:
        with file_errors():
            yield
    except BaseError as error:
        raise UnavailableError(f"evidence: {_first_line(error)}") from error


def _first_line(error: Exception) -> str:
    return str(error).partition("\n")[0]
