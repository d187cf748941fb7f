"""`hitchworth serve`: the API, until interrupted."""

from argparse import Namespace
from collections.abc import Iterator
from contextlib import contextmanager

from hitchworth.cli.exit_codes import UsageError
from hitchworth.store import Store, open_store
from hitchworth.store.errors import StoreError
from hitchworth.web.server import serve


def run(arguments: Namespace) -> None:
    """Serve on the chosen host and port, with the builds of the chosen database."""
    with _store(arguments.database) as store:
        try:
            serve(arguments.host, arguments.port, store)
        except OSError as error:
            raise UsageError(f"cannot serve on port {arguments.port} of {arguments.host}: {error.strerror}") from None


@contextmanager
def _store(where: str | None) -> Iterator[Store | None]:
    if where is None:
        yield None
        return
    try:
        store = open_store(where)
    except StoreError as error:
        raise UsageError(f"cannot use the database: {error}") from None
    try:
        yield store
    finally:
        store.close()
