"""Run the migrations on a connection."""

from io import StringIO
from logging import WARNING, getLogger
from pathlib import Path

from alembic import command
from alembic.config import Config
from sqlalchemy import Connection


def upgrade(connection: Connection) -> None:
    """Bring the tables up to the newest version, in the transaction of the connection."""
    getLogger("alembic").setLevel(WARNING)  # who asked for it says what was done
    command.upgrade(configuration(connection), "head")


def configuration(connection: Connection) -> Config:
    """Return the configuration of Alembic for a connection. It prints nothing."""
    config = Config(stdout=StringIO())
    config.set_main_option("script_location", str(Path(__file__).parent))
    config.attributes["connection"] = connection
    return config
