"""`hitchworth serve`: the API, until it is stopped."""

from argparse import Namespace
from collections.abc import Iterator
from contextlib import contextmanager

from hitchworth.cli.exit_codes import UsageError
from hitchworth.cli.settings import settings_of
from hitchworth.operations.settings import Settings
from hitchworth.operations.webhook_delivery import sender_of
from hitchworth.store import Store, open_store
from hitchworth.store.errors import StoreError
from hitchworth.web.server import keys_are_required, serve


def run(arguments: Namespace) -> None:
    """Serve with the settings of the environment and of the command line, and the builds of their database."""
    settings = settings_of(arguments)
    _require_networks(settings)
    with _store(settings.database) as store:
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


def _require_networks(settings: Settings) -> None:
    """Raise UsageError for a network of the settings that is none."""
    try:
        sender_of(settings)
    except ValueError as error:
        raise UsageError(f"webhook_networks: {error}") from None


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
