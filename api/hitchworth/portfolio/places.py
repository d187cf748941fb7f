"""Folders and object stores, by their addresses."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from obstore.exceptions import BaseError
from obstore.store import LocalStore, ObjectStore, from_url


class PlaceError(Exception):
    """A folder or an object store cannot be read or written. The message says why."""


def open_place(where: str, *, make: bool = False) -> ObjectStore:
    """Open a folder, or an address of an object store: s3://BUCKET/PREFIX, with the variables of the protocol.

    make: make a folder that is not there. Raises PlaceError.
    """
    with place_errors():
        if "://" in where:
            return from_url(where)
        folder = Path(where).absolute()
        if not make and not folder.is_dir():
            raise PlaceError(f"there is no folder {where}")
        return LocalStore(folder, mkdir=make)


@contextmanager
def place_errors() -> Iterator[None]:
    """Raise what an object store or a disk says as a PlaceError."""
    try:
        yield
    except (BaseError, OSError, ValueError) as error:
        raise PlaceError(str(error).partition("\n")[0]) from error
