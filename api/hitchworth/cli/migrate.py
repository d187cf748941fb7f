"""`hitchworth migrate`: the tables of a database, brought up to those of this release."""

from argparse import ArgumentParser, Namespace

from hitchworth.cli.database import WHERE
from hitchworth.cli.exit_codes import UsageError
from hitchworth.store.errors import StoreError
from hitchworth.store.schema import migrate


def add_options(parser: ArgumentParser) -> None:
    """Add the options of `hitchworth migrate`."""
    parser.add_argument("--database", metavar="WHERE", required=True, help=WHERE)
    parser.set_defaults(run=run)


def run(arguments: Namespace) -> None:
    """Migrate the chosen database, and say from which version to which."""
    try:
        before, after = migrate(arguments.database)
    except StoreError as error:
        raise UsageError(f"cannot migrate the database: {error}") from None
    if before == after:
        print(f"The tables are at version {after} already.")
    else:
        print(f"The tables are at version {after} now; before, {f'at {before}' if before else 'there were none'}.")
