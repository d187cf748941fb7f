"""Idempotency keys in the store: the same request again does nothing more, whoever sends it at the same time."""

from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from databases import new_database
from hitchworth.store import Store, open_store
from hitchworth.store.builds import BuildQuery
from hitchworth.store.errors import BusyError, KeyInUseError, KeyReusedError
from hitchworth.store.idempotency import IdempotencyClaim, take
from store_changes import behind_its_back, change


class Clock:
    """A clock that is set by hand."""

    now = datetime(2026, 11, 1, 12, tzinfo=UTC)

    def __call__(self) -> datetime:
        return self.now


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def store(where: str, clock: Clock) -> Iterator[Store]:
    opened = open_store(where, clock=clock)
    yield opened
    opened.close()


def claim(key: str = "k", request: str = "r", actor: str = "anna") -> IdempotencyClaim:
    return IdempotencyClaim(actor=actor, key=key, request_digest=request)


def test_a_repeated_creation_is_answered_as_the_first_time(store: Store) -> None:
    first = store.builds.create("default", change(claim=claim()))
    assert store.builds.create("default", change(claim=claim())) == first
    assert len(store.builds.list("default", BuildQuery())) == 1
    assert store.builds.made_before("default", claim()) == first


def test_a_repeated_change_is_answered_as_the_first_time_even_if_more_has_changed(store: Store) -> None:
    first = store.builds.create("default", change())
    second = store.builds.change("default", first, change(b"2", claim=claim()))
    store.builds.change("default", second, change(b"3"))
    assert store.builds.change("default", first, change(b"2", claim=claim())) == second
    assert store.builds.present("default", first.build).revision == 3


def test_another_request_under_the_key_is_refused(store: Store) -> None:
    store.builds.create("default", change(claim=claim()))
    other = claim(request="other")
    with pytest.raises(KeyReusedError):
        store.builds.create("default", change(claim=other))
    with pytest.raises(KeyReusedError):
        store.builds.made_before("default", other)
    assert len(store.builds.list("default", BuildQuery())) == 1


def test_a_key_is_that_of_one_caller_in_one_workspace(store: Store) -> None:
    first = store.builds.create("default", change(claim=claim()))
    assert store.builds.create("default", change(claim=claim(actor="bert"))) != first
    assert store.builds.create("default", change(claim=claim(key="l"))) != first
    assert store.builds.made_before("default", claim(key="m")) is None


def test_a_key_is_forgotten_after_a_day(store: Store, clock: Clock) -> None:
    first = store.builds.create("default", change(claim=claim()))
    clock.now += timedelta(hours=24)
    assert store.builds.create("default", change(claim=claim())) == first
    clock.now += timedelta(seconds=1)
    assert store.builds.made_before("default", claim()) is None
    assert store.builds.create("default", change(claim=claim(request="other"))) != first


def test_a_request_that_failed_takes_no_key(store: Store) -> None:
    first = store.builds.create("default", change())
    second = store.builds.change("default", first, change(b"2"))
    with pytest.raises(Exception, match="revision 2"):
        store.builds.change("default", first, change(b"3", claim=claim()))
    assert store.builds.made_before("default", claim()) is None
    assert store.builds.change("default", second, change(b"3", claim=claim())).revision == 3


def test_of_five_at_once_one_does_it_and_all_are_answered_alike(store: Store) -> None:
    with ThreadPoolExecutor(5) as callers:
        made = list(callers.map(lambda _: store.builds.create("default", change(claim=claim())), range(5)))
    assert len(set(made)) == 1
    assert len(store.builds.list("default", BuildQuery())) == 1


def test_a_key_that_is_in_work_for_too_long_is_said_to_be(
    postgresql_server: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """In PostgreSQL, where writers do not take turns; in SQLite the database itself would be busy."""
    monkeypatch.setattr("hitchworth.store.database.WAIT_SECONDS", 1)
    store = open_store(new_database(postgresql_server))
    with behind_its_back(store) as connection:
        assert take(connection, "default", claim(), datetime.now(UTC)) is None
        with pytest.raises(KeyInUseError):
            store.builds.create("default", change(claim=claim()))
    assert store.builds.list("default", BuildQuery()) == ()
    store.close()


def test_a_database_that_others_hold_is_busy(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    place = str(tmp_path / "builds.db")
    other = open_store(place)
    monkeypatch.setattr("hitchworth.store.database.WAIT_SECONDS", 1)
    store = open_store(place)
    with behind_its_back(other), pytest.raises(BusyError):
        store.builds.create("default", change())
    assert store.builds.create("default", change()).revision == 1
    store.close()
    other.close()
