"""Fixtures: a new database for each test, in SQLite and in PostgreSQL, so that the same tests run on both."""

from collections.abc import Iterator
from itertools import count
from pathlib import Path

import psycopg
import pytest

from hitchworth.store import Store, open_store
from hitchworth.store.schema import migrate
from postgresql_server import postgresql

_numbers = count(1)


@pytest.fixture(scope="session")
def postgresql_server() -> Iterator[str]:
    """The address of a server, whose database has the tables. It is started once."""
    with postgresql() as address:
        migrate(address)
        yield address


@pytest.fixture(params=["sqlite", "postgresql"])
def where(request: pytest.FixtureRequest, tmp_path: Path) -> str:
    """The place of a new database with tables, in SQLite and then in PostgreSQL."""
    if request.param == "sqlite":
        return str(tmp_path / "builds.db")
    return new_database(request.getfixturevalue("postgresql_server"))


@pytest.fixture
def store(where: str) -> Iterator[Store]:
    """The store in a new database."""
    opened = open_store(where)
    yield opened
    opened.close()


def new_database(server: str, template: str = "hitchworth") -> str:
    """Make a copy of a database on the server, and return its address."""
    name = f"test_{next(_numbers)}"
    with psycopg.connect(server.replace("/hitchworth?", "/postgres?"), autocommit=True) as connection:
        connection.execute(f"CREATE DATABASE {name} TEMPLATE {template}")
    return server.replace("/hitchworth?", f"/{name}?")
