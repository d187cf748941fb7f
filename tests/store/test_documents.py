"""The present documents of a workspace, and those of an earlier time, on SQLite and on PostgreSQL alike."""

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta

import pytest

from hitchworth.store import Store, open_store
from store_changes import change

START = datetime(2026, 11, 1, tzinfo=UTC)


class Clock:
    now = START

    def __call__(self) -> datetime:
        return self.now


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def store(where: str, clock: Clock) -> Iterator[Store]:
    ids = iter(("b1", "a2", "a1", "c1"))
    opened = open_store(where, clock=clock, new_id=lambda: next(ids))
    yield opened
    opened.close()


def test_documents_as_they_are_and_as_they_were(store: Store, clock: Clock) -> None:
    for body in (b"b1", b"a2", b"a1"):
        store.builds.create("default", change(body))
    store.quotes.create("default", change(b"a quote"))
    clock.now = START + timedelta(days=1)
    store.builds.change("default", store.builds.present("default", "a1"), change(b"a1 changed"))
    store.builds.change("default", store.builds.present("default", "b1"), change(b"b1", action="trashed"))
    clock.now = START + timedelta(days=2)
    store.builds.change("default", store.builds.present("default", "b1"), change(b"b1 again", action="recovered"))

    def bodies(prefix: str = "", days: float | None = None) -> list[bytes]:
        at = None if days is None else START + timedelta(days=days)
        return [kept.body for kept in store.builds.documents("default", prefix, at)]

    assert bodies() == [b"a1 changed", b"a2", b"b1 again"]
    assert bodies("a") == [b"a1 changed", b"a2"]
    assert bodies("a2") == [b"a2"]
    assert bodies("%") == []
    assert bodies(days=1.5) == [b"a1 changed", b"a2"]
    assert bodies(days=1) == [b"a1 changed", b"a2"]  # at that time, not before it
    assert bodies(days=0.5) == [b"a1", b"a2", b"b1"]
    assert bodies(days=-1) == []
    assert store.builds.count("default") == 3
    store.workspaces.create("shop")
    assert list(store.builds.documents("shop")) == []
    assert store.builds.count("shop") == 0


def test_what_is_in_the_trash_is_left_out(store: Store) -> None:
    made = store.builds.create("default", change(b"b1"))
    store.builds.change("default", made, change(b"b1", action="trashed"))
    assert list(store.builds.documents("default")) == []
    assert store.builds.count("default") == 0
