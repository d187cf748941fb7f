"""Print a new migration: the difference between the tables of the last one and those of `store.tables`."""

import sys

from alembic import command

from hitchworth.store.database import IN_MEMORY, Database
from hitchworth.store.migrations import HEAD
from hitchworth.store.migrations.upgrade import configuration

if __name__ == "__main__":
    with Database(IN_MEMORY).writing() as connection:
        settings = configuration(connection)
        command.upgrade(settings, "head")
        command.revision(settings, sys.argv[1], autogenerate=True, rev_id=f"{int(HEAD) + 1:04}")
