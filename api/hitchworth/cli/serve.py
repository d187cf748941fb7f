"""`hitchworth serve`: the API, until it is stopped."""

from argparse import Namespace
from collections.abc import Iterator
from contextlib import contextmanager

from hitchworth.cli.exit_codes import UsageError
from hitchworth.cli.settings import settings_of
from hitchworth.operations.settings import Settings
from hitchworth.store import Store, open_store
from hitchworth.store.errors import StoreError
from hitchworth.web.server import keys_are_required, serve


def run(arguments: Namespace) -> None:
    """Serve with the settings of the environment and of the command line, and the builds of their database."""
    settings = settings_of(arguments)
    with _store(settings) as store:
        if store is not None:
            _require_first_key(settings, store)
        try:
            serve(settings, store)
        except OSError as error:
            raise UsageError(f"cannot serve on port {settings.port} of {settings.host}: {error.strerror}") from None
        except ModuleNotFoundError:
            raise UsageError("telemetry needs a package that is not installed: install hitchworth[telemetry]") from None


def _require_first_key(settings: Settings, store: Store) -> None:
    """Raise UsageError when others can reach what is kept, and nobody has a key yet."""
    if keys_are_required(settings) and not store.keys.has_administrator(store.clock()):
        raise UsageError(
            f"{settings.host} can be reached by others, so keys are needed, and there is none yet.\nMake the first: "
            "hitchworth keys create NAME --scope admin --database WHERE"
        )


@contextmanager
def _store(settings: Settings) -> Iterator[Store | None]:
    if settings.database is None:
        yield None
        return
    try:
        store = open_store(settings.database, evidence=settings.evidence)
    except StoreError as error:
        raise UsageError(f"cannot use the database: {error}") from None
    try:
        yield store
    finally:
        store.close()
