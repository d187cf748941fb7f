"""`hitchworth keys`: the keys of a database, made and ended by who can open the database itself."""

import sys
from argparse import ArgumentParser, Namespace
from collections.abc import Callable, Sequence
from datetime import timedelta
from typing import Any, get_args

from hitchworth.cli import settings
from hitchworth.cli.command_parser import add_actions, add_command
from hitchworth.cli.database import opened
from hitchworth.cli.layout import word_table
from hitchworth.cli.options import add_workspace, value_of
from hitchworth.cli.request_file import input_errors
from hitchworth.cli.terminal import show_result
from hitchworth.model.access import GraceSeconds, Instant, KeyRecord, KeyRequest, NewKey
from hitchworth.model.caller import LOCAL_CALLER, Scope
from hitchworth.model.strings import Identifier
from hitchworth.operations import keys


def add_options(parser: ArgumentParser) -> None:
    """Add the actions of `hitchworth keys` with their options."""
    actions = add_actions(parser)
    made = _add_action(actions, create, "make a key, and show it this once")
    made.add_argument(
        "name", type=value_of(Identifier), metavar="NAME", help="who will use it: the name in every history"
    )
    made.add_argument("--scope", choices=get_args(Scope), default="write", help="what it may do; default: %(default)s")
    made.add_argument(
        "--expires-at", type=value_of(Instant), metavar="TIME", help="as 2027-11-27T00:00:00Z; default: never"
    )
    _add_action(actions, list_keys, "list the keys, without their secrets")
    rotated = _add_action(actions, rotate, "replace a key by a new one")
    rotated.add_argument("key", metavar="KEY", help="the public part of the key")
    rotated.add_argument(
        "--grace-seconds",
        type=value_of(GraceSeconds),
        default=0,
        metavar="N",
        help="how long the old key stays valid; default: 0",
    )
    _add_action(actions, revoke, "end a key at once").add_argument(
        "key", metavar="KEY", help="the public part of the key"
    )


def _add_action(actions: Any, run: Callable[[Namespace], None], purpose: str) -> ArgumentParser:
    action = add_command(actions, run.__name__.partition("_")[0], purpose)
    settings.add_options(action, "database")
    add_workspace(action)
    action.set_defaults(run=run)
    return action


def create(arguments: Namespace) -> None:
    """Make a key, and print it this once."""
    wanted = KeyRequest(name=arguments.name, scope=arguments.scope, expires_at=arguments.expires_at)
    with opened(arguments, make=True) as store, input_errors():
        keys.require_end_ahead("/expires_at", wanted.expires_at, store.clock())
        _print_new(keys.new_key(store, arguments.workspace, LOCAL_CALLER.actor, wanted))


def list_keys(arguments: Namespace) -> None:
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
    print(f"The key of {key.name}, with the scope {key.scope}. It is not shown again.", file=sys.stderr)


def _print_table(records: Sequence[KeyRecord]) -> None:
    table = word_table("key", "name", "scope", "made", "valid until", "revoked")
    for record in records:
        times = (record.created_at, record.expires_at, record.revoked_at)
        table.add_row(record.id, record.name, record.scope, *(f"{at:%Y-%m-%d %H:%M}" if at else "" for at in times))
    show_result(table)
