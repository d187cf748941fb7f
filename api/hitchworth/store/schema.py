"""The version of the tables in a database: made in a new one, checked at each start, brought up to date on request.

Alembic is imported only where tables are changed: it takes as long to load as the web framework.
"""

from importlib import import_module

from sqlalchemy import Connection, inspect, text

from hitchworth.store import migrations
from hitchworth.store.database import IN_MEMORY, Database, create_file, exists
from hitchworth.store.database_errors import translated
from hitchworth.store.errors import StoreError, UnavailableError


class SchemaError(StoreError):
    """The tables are not those of this release."""


def prepare(where: str) -> Database:
    """Connect to a database with the tables of this release. A SQLite file that is not there is created.

    Raises SchemaError when the tables are missing, older or newer; and StoreError.
    """
    is_new = not exists(where)
    if is_new and where != IN_MEMORY:
        _create(where)
    database = Database(where)
    try:
        if is_new:
            _upgrade(database)
        _check(database, where)
    except StoreError:
        database.close()
        raise
    return database


def migrate(where: str) -> tuple[str | None, str]:
    """Bring the tables of a database up to date. Return their version before (None: there were none) and after.

    Raises SchemaError when they are newer than this release, and StoreError. Nothing is half-done then.
    """
    if not exists(where):
        _create(where)
    database = Database(where)
    try:
        before = _version(database)
        _refuse_newer(before, where)
        _upgrade(database)
    finally:
        database.close()
    return before, migrations.HEAD


def require_present(database: Database) -> None:
    """Raise SchemaError when the tables of a database in use are not those of this release; and StoreError."""
    if _version(database) != migrations.HEAD:
        raise SchemaError("The tables are not those of this release.")


def _create(where: str) -> None:
    try:
        create_file(where)
    except FileExistsError:
        return  # another process was faster
    except OSError as error:
        raise UnavailableError(f"{where}: {error.strerror}") from None


def _check(database: Database, where: str) -> None:
    version = _version(database)
    if version == migrations.HEAD:
        return
    _refuse_newer(version, where)
    state = "has no tables yet" if version is None else "was written by an older release"
    raise SchemaError(f"The database {state}. Run: hitchworth migrate --database {_shown(where)}")


def _refuse_newer(version: str | None, where: str) -> None:
    if version is not None and version > migrations.HEAD:
        raise SchemaError(f"The database {_shown(where)} was written by a newer release. Install that release.")


def _shown(where: str) -> str:
    """Return the place without a password, also without one among its parameters."""
    address, at, host = (where.partition("?")[0] if "://" in where else where).rpartition("@")
    scheme, slashes, user = address.partition("://")
    return f"{scheme}://{user.partition(':')[0]}@{host}" if at and slashes else host


def _version(database: Database) -> str | None:
    with database.reading() as connection:
        return version_of(connection)


def version_of(connection: Connection) -> str | None:
    """Return the version of the tables; None where there are none."""
    with translated():
        if not inspect(connection).has_table("alembic_version"):
            return None
        version: str | None = connection.scalar(text("SELECT version_num FROM alembic_version"))
        return version


def _upgrade(database: Database) -> None:
    with database.writing() as connection:
        import_module("hitchworth.store.migrations.upgrade").upgrade(connection)
