"""Builds in the store: kept, changed, found and read, on SQLite and on PostgreSQL alike."""

from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from itertools import count

import pytest
from sqlalchemy import text

from hitchworth.model.kept import BuildEntry, BuildSort, Revision
from hitchworth.store import Store, open_store
from hitchworth.store.builds import BuildQuery
from hitchworth.store.errors import NotKeptError, StaleError
from store_changes import behind_its_back, change

START = datetime(2026, 11, 1, 12, 0, 0, 250, tzinfo=UTC)


@pytest.fixture
def store(where: str) -> Iterator[Store]:
    """A store whose clock ticks once a minute."""
    minutes = count()
    opened = open_store(where, clock=lambda: START + timedelta(minutes=next(minutes)))
    yield opened
    opened.close()


def test_what_is_kept_is_read_to_the_byte(store: Store) -> None:
    body = '{"b":1.10,"a":1,"ä":"\\u0000 é"}'.encode()
    made = store.builds.create("default", change(body, action="created", message="Größe geändert ✓"))
    entry, kept = store.builds.read("default", made.build)
    assert kept.body == body
    assert kept.revision == made
    assert (made.revision, made.action, made.actor, made.message) == (1, "created", "anna", "Größe geändert ✓")
    assert (made.at, made.previous) == (START, "")
    assert (entry.id, entry.revision, entry.digest) == (made.build, 1, made.digest)
    assert (entry.created_at, entry.updated_at, entry.trashed_at) == (START, START, None)


def test_times_are_written_in_one_form(store: Store) -> None:
    store.builds.create("default", change())
    with behind_its_back(store) as connection:
        assert connection.execute(text("SELECT created_at FROM builds")).scalar() == "2026-11-01T12:00:00.000250Z"


def test_a_change_is_the_next_revision_and_the_earlier_ones_stay(store: Store) -> None:
    first = store.builds.create("default", change(b"1"))
    second = store.builds.change("default", first, change(b"2", name="Renamed", jurisdiction="US-WA", actor="bert"))
    assert (second.revision, second.previous, second.actor) == (2, first.digest, "bert")
    entry, kept = store.builds.read("default", first.build)
    assert (kept.body, entry.name, entry.jurisdiction, entry.revision) == (b"2", "Renamed", "US-WA", 2)
    assert entry.updated_at == START + timedelta(minutes=1)
    assert store.builds.read("default", first.build, 1)[1].body == b"1"
    assert store.builds.present("default", first.build) == second
    assert [kept.body for kept in store.builds.history("default", first.build)] == [b"1", b"2"]


def test_a_change_of_what_is_no_longer_present_is_refused_and_leaves_no_trace(store: Store) -> None:
    first = store.builds.create("default", change(b"1"))
    second = store.builds.change("default", first, change(b"2"))
    with pytest.raises(StaleError) as raised:
        store.builds.change("default", first, change(b"3"))
    assert raised.value.present == second
    assert [kept.body for kept in store.builds.history("default", first.build)] == [b"1", b"2"]


@pytest.mark.parametrize(
    "access",
    [
        lambda builds, made: builds.read("other", made.build),
        lambda builds, made: builds.read("other", made.build, 1),
        lambda builds, made: builds.present("other", made.build),
        lambda builds, made: builds.change("other", made, change(b"2")),
        lambda builds, made: builds.revisions("other", made.build, None, 10),
        lambda builds, made: list(builds.history("other", made.build)),
        lambda builds, made: builds.read("default", "0000000000000000"),
        lambda builds, made: builds.read("default", made.build, 2),
    ],
)
def test_what_is_not_in_the_workspace_is_not_there(store: Store, access: Callable[[object, Revision], object]) -> None:
    made = store.builds.create("default", change())
    with pytest.raises(NotKeptError):
        access(store.builds, made)
    assert store.builds.list("other", BuildQuery()) == ()


def test_the_trash_is_a_list_of_its_own(store: Store) -> None:
    first, second = (store.builds.create("default", change(name=name)) for name in ("One", "Two"))
    trashed = store.builds.change("default", first, change(name="One", action="trashed"))
    assert names(store, BuildQuery()) == ["Two"]
    assert names(store, BuildQuery(trashed=True)) == ["One"]
    assert store.builds.read("default", first.build)[0].trashed_at == trashed.at
    store.builds.change("default", trashed, change(name="One", action="recovered"))
    assert names(store, BuildQuery(trashed=True)) == []
    assert sorted(names(store, BuildQuery())) == ["One", "Two"]
    assert second.revision == 1


def names(store: Store, query: BuildQuery) -> list[str]:
    return [entry.name for entry in store.builds.list("default", query)]


@pytest.mark.parametrize(
    ("query", "found"),
    [
        (BuildQuery(name="AÖÜ"), ["Aöü 100%"]),
        (BuildQuery(name="0%"), ["Aöü 100%"]),
        (BuildQuery(name="_"), ["b_c"]),
        (BuildQuery(jurisdiction="DE"), ["b_c"]),
        (BuildQuery(registered_class="utility_trailer"), ["Aöü 100%", "C"]),
        (BuildQuery(updated_since=START + timedelta(minutes=1)), ["b_c", "C"]),
        (BuildQuery(updated_since=(START + timedelta(minutes=2)).astimezone()), ["C"]),
        (BuildQuery(updated_since=datetime(999, 1, 1, tzinfo=UTC)), ["Aöü 100%", "b_c", "C"]),
        (BuildQuery(name="nothing"), []),
    ],
)
def test_filters(store: Store, query: BuildQuery, found: list[str]) -> None:
    store.builds.create("default", change(name="Aöü 100%", registered_class="utility_trailer"))
    store.builds.create("default", change(name="b_c", jurisdiction="DE"))
    store.builds.create("default", change(name="C", registered_class="utility_trailer"))
    assert sorted(names(store, query)) == sorted(found)


ORDERS: dict[BuildSort, list[str]] = {
    "name": ["Aa", "ab", "B", "b", "é", "Ö"],
    "-name": ["Ö", "é", "b", "B", "ab", "Aa"],
    "created_at": ["b", "Ö", "Aa", "B", "ab", "é"],
    "-created_at": ["é", "ab", "B", "Aa", "Ö", "b"],
    "updated_at": ["Ö", "Aa", "B", "ab", "é", "b"],
    "-updated_at": ["b", "é", "ab", "B", "Aa", "Ö"],
}


@pytest.mark.parametrize("sort", ORDERS)
def test_a_list_is_in_order_and_its_pages_follow_each_other(store: Store, sort: BuildSort) -> None:
    """`B` and `b` are the same name without regard to case; their ids, which are in order here, decide."""
    ids = iter(["2", "3", "4", "1", "5", "6"])
    store.builds._new_id = lambda: next(ids)
    made = [store.builds.create("default", change(name=name)) for name in ("b", "Ö", "Aa", "B", "ab", "é")]
    store.builds.change("default", made[0], change(name="b"))
    assert names(store, BuildQuery(sort=sort)) == ORDERS[sort]
    assert [entry.name for entry in paged(store, sort)] == ORDERS[sort]


def paged(store: Store, sort: BuildSort) -> Iterator[BuildEntry]:
    """Every build of the list, read in pages of two."""
    after = None
    for _ in range(4):
        found = store.builds.list("default", BuildQuery(sort=sort, after=after, limit=2))
        yield from found[:2]
        if len(found) <= 2:
            return
        last, name = found[1], sort.removeprefix("-")
        after = (last.name.casefold() if name == "name" else getattr(last, name), last.id)


def test_the_history_comes_in_pages_the_newest_first(store: Store) -> None:
    seen = store.builds.create("default", change())
    for number in range(4):
        seen = store.builds.change("default", seen, change(message=str(number)))
    assert [each.revision for each in store.builds.revisions("default", seen.build, None, 2)] == [5, 4, 3]
    assert [each.revision for each in store.builds.revisions("default", seen.build, 4, 2)] == [3, 2, 1]
    assert [each.revision for each in store.builds.revisions("default", seen.build, 2, 2)] == [1]
