"""Keys that several ask for at once, on both databases."""

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from datetime import timedelta

import pytest
from alembic import command
from sqlalchemy import Connection, inspect, text

from hitchworth.model.access import KeyRecord
from hitchworth.store import Store, open_store
from hitchworth.store.database import Database
from hitchworth.store.errors import MadeBeforeError, NameTakenError, NotKeptError, RotatedError, StoreError
from hitchworth.store.idempotency import IdempotencyClaim
from hitchworth.store.migrations import HEAD
from hitchworth.store.migrations.upgrade import configuration
from hitchworth.store.schema import migrate


def at_once(do: Callable[[], KeyRecord]) -> list[KeyRecord]:
    """What ten threads get that do the same; those that are refused get nothing."""

    def attempt(_: int) -> KeyRecord | None:
        try:
            return do()
        except (NameTakenError, NotKeptError, RotatedError):
            return None

    with ThreadPoolExecutor(10) as pool:
        return [made for made in pool.map(attempt, range(10)) if made is not None]


def create(store: Store, claim: IdempotencyClaim | None = None) -> KeyRecord:
    credential = store.new_credential("hw")
    return store.keys.create("default", credential, name="A", scope="read", actor="local", expires_at=None, claim=claim)


def rotate(store: Store, key: str, grace: timedelta) -> KeyRecord:
    return store.keys.rotate("default", key, store.new_credential("hw"), actor="local", grace=grace)


def unrevoked(store: Store) -> int:
    return sum(each.revoked_at is None for each in store.keys.list("default"))


def test_of_ten_keys_with_one_name_one_is_made(store: Store) -> None:
    assert len(at_once(lambda: create(store))) == 1
    assert unrevoked(store) == 1


@pytest.mark.parametrize(("grace", "left"), [(0, 1), (3600, 2)])
def test_of_ten_rotations_of_a_key_one_is_done(store: Store, grace: int, left: int) -> None:
    first = create(store)
    assert len(at_once(lambda: rotate(store, first.id, timedelta(seconds=grace)))) == 1
    assert unrevoked(store) == left


def test_a_key_in_its_grace_is_not_rotated_again(store: Store) -> None:
    first = create(store)
    second = rotate(store, first.id, timedelta(hours=1))
    with pytest.raises(RotatedError, match=second.id):
        rotate(store, first.id, timedelta(hours=1))
    assert rotate(store, second.id, timedelta()).expires_at is None


def test_the_database_itself_keeps_one_key_of_a_name(store: Store, where: str) -> None:
    first = create(store)
    second = rotate(store, first.id, timedelta(hours=1))
    listed = {key.id: key.replaced_at for key in store.keys.list("default")}
    assert listed == {first.id: second.created_at, second.id: None}
    database = Database(where)
    with pytest.raises(StoreError, match=r"(?i)unique"), database.writing() as connection:
        connection.execute(text("UPDATE keys SET replaced_at = NULL"))
    database.close()


def test_a_name_is_free_again_when_its_key_is_revoked(store: Store) -> None:
    first = create(store)
    with pytest.raises(NameTakenError):
        create(store)
    store.keys.revoke("default", first.id)
    second = create(store)
    assert [key.replaced_at for key in store.keys.list("default")] == [second.created_at, None]


def test_a_refused_key_leaves_its_idempotency_key_free(store: Store) -> None:
    first, claim = create(store), IdempotencyClaim(actor="local", key="once", request_digest="a")
    with pytest.raises(NameTakenError):
        create(store, claim)
    store.keys.revoke("default", first.id)
    second = create(store, claim)
    with pytest.raises(MadeBeforeError, match=second.id):
        create(store, claim)


def test_keys_of_the_release_before_get_their_order(where: str) -> None:
    # A was rotated to B, and B revoked; C has its name since. D has never been replaced.
    database = Database(where)
    with database.writing() as connection:
        clear(connection)
        command.upgrade(configuration(connection), "0002")
        for number, (key, name) in enumerate((("A", "x"), ("B", "x"), ("C", "x"), ("D", "y"))):
            made = f"2026-11-0{number + 1}T00:00:00.000000Z"
            values = f"'{key}', 'default', '{name}', 'read', '', '{made}', 'local', NULL, NULL"
            connection.execute(text(f"INSERT INTO keys VALUES ({values})"))
    database.close()
    assert migrate(where) == ("0002", HEAD)
    store = open_store(where)
    replaced = {key.id: key.replaced_at and key.replaced_at.day for key in store.keys.list("default")}
    store.close()
    assert replaced == {"A": 2, "B": 3, "C": None, "D": None}


def clear(connection: Connection) -> None:
    """Take away every table."""
    for table in (*inspect(connection).get_table_names(),):
        cascade = "" if connection.dialect.name == "sqlite" else " CASCADE"
        connection.execute(text(f"DROP TABLE {table}{cascade}"))
