"""What the databases call what goes wrong, as errors of the store."""

from collections.abc import Iterator
from contextlib import contextmanager

from sqlalchemy.exc import DBAPIError
from sqlalchemy.exc import TimeoutError as PoolTimeoutError

from hitchworth.store.errors import BusyError, FullError, ReadOnlyError, StoreError, UnavailableError

_SQLITE: dict[int, type[StoreError]] = {5: BusyError, 6: BusyError, 8: ReadOnlyError, 13: FullError}
"""By the primary result code of SQLite; any other is UnavailableError."""

LOCK_NOT_AVAILABLE = "55P03"

_POSTGRESQL: dict[str, type[StoreError]] = {
    "53100": FullError,
    "25006": ReadOnlyError,
    "40001": BusyError,
    "40P01": BusyError,
    LOCK_NOT_AVAILABLE: BusyError,
}
"""By SQLSTATE; any other is UnavailableError."""


@contextmanager
def translated() -> Iterator[None]:
    """Raise what a database raises as an error of the store."""
    try:
        yield
    except DBAPIError as error:
        raise _kind(error)(str(error.orig)) from error
    except PoolTimeoutError as error:
        raise BusyError("all connections are in use") from error


def _kind(error: DBAPIError) -> type[StoreError]:
    code = getattr(error.orig, "sqlite_errorcode", None)
    if code is not None:
        return _SQLITE.get(code & 0xFF, UnavailableError)
    return _POSTGRESQL.get(getattr(error.orig, "sqlstate", None) or "", UnavailableError)
