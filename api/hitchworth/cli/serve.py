"""`hitchworth serve`: the API, until it is stopped."""

from argparse import ArgumentParser, Namespace
from collections.abc import Iterator
from contextlib import contextmanager

from hitchworth.cli import settings
from hitchworth.cli.exit_codes import UsageError
from hitchworth.operations.settings import Settings
from hitchworth.operations.webhook_delivery import sender_of
from hitchworth.store import Store, open_store
from hitchworth.store.errors import StoreError


def add_options(parser: ArgumentParser) -> None:
    """Add the options of `hitchworth serve`."""
    settings.add_options(parser)
    parser.set_defaults(run=run)


def run(arguments: Namespace) -> None:
    """Serve with the settings of the environment and of the command line, and the builds of their database."""
    from hitchworth.web import server  # noqa: PLC0415  (the help does not wait for the web framework)

    chosen = settings.settings_of(arguments)
    _require_networks(chosen)
    settings.workshop_of_settings(arguments)
    with _store(chosen) as store:
        if store is not None and server.keys_are_required(chosen):
            _require_administrator(store, chosen.host)
        try:
            server.serve(chosen, store)
        except OSError as error:
            raise UsageError(f"cannot serve on port {chosen.port} of {chosen.host}: {error.strerror}") from None
        except ModuleNotFoundError:
            raise UsageError("telemetry needs a package that is not installed: install hitchworth[telemetry]") from None


def _require_networks(chosen: Settings) -> None:
    """Raise UsageError for a network of the settings that is none."""
    try:
        sender_of(chosen)
    except ValueError as error:
        raise UsageError(f"webhook_networks: {error}") from None


def _require_administrator(store: Store, host: str) -> None:
    """Raise UsageError when nobody has a key with which others can be made."""
    if not store.keys.has_administrator(store.clock()):
        raise UsageError(
            f"{host} can be reached by others, so keys are needed, and there is none yet that may "
            "make others.\nMake the first: "
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
