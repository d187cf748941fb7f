"""`hitchworth keys`: the keys of a database, made and ended by who can open the database itself."""

from argparse import Namespace
from collections.abc import Sequence
from datetime import timedelta

from rich.console import Console
from rich.table import Table

from hitchworth.cli.database import opened
from hitchworth.cli.request_file import input_errors
from hitchworth.model.access import KeyRecord, KeyRequest, NewKey
from hitchworth.model.caller import LOCAL_CALLER
from hitchworth.operations import keys


def create(arguments: Namespace) -> None:
    """Make a key, and print it this once."""
    wanted = KeyRequest(name=arguments.name, scope=arguments.scope, expires_at=arguments.expires_at)
    with opened(arguments, make=True) as store, input_errors():
        keys.require_end_ahead("/expires_at", wanted.expires_at, store.clock())
        _print_new(keys.new_key(store, arguments.workspace, LOCAL_CALLER.actor, wanted))


def list_all(arguments: Namespace) -> None:
    """Print the keys of a workspace, without their secrets."""
    with opened(arguments) as store:
        store.workspaces.read(arguments.workspace)
        _print_table(store.keys.list(arguments.workspace))


def rotate(arguments: Namespace) -> None:
    """Replace a key by a new one, and print that this once."""
    grace = timedelta(seconds=arguments.grace_seconds)
    with opened(arguments) as store:
        _print_new(keys.rotated_key(store, arguments.workspace, LOCAL_CALLER.actor, arguments.key, grace))


def revoke(arguments: Namespace) -> None:
    """End a key."""
    with opened(arguments) as store:
        record = store.keys.revoke(arguments.workspace, arguments.key)
    print(f"The key {record.id} of {record.name} opens nothing any more.")


def _print_new(key: NewKey) -> None:
    print(key.key)
    Console(stderr=True).print(
        f"The key of {key.name}, with the scope {key.scope}. It is not shown again.",
        highlight=False,
    )


def _print_table(records: Sequence[KeyRecord]) -> None:
    table = Table("key", "name", "scope", "made", "valid until", "revoked")
    for record in records:
        times = (record.created_at, record.expires_at, record.revoked_at)
        table.add_row(record.id, record.name, record.scope, *(f"{at:%Y-%m-%d %H:%M}" if at else "" for at in times))
    Console().print(table)
