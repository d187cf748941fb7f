"""Keys that several ask for at once, on both databases."""

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from datetime import timedelta

import pytest

from hitchworth.model.access import KeyRecord
from hitchworth.store import Store
from hitchworth.store.errors import NotKeptError, RotatedError


def at_once(do: Callable[[], KeyRecord | None]) -> list[KeyRecord]:
    """What ten threads get that do the same; those that are refused get nothing."""

    def attempt(_: int) -> KeyRecord | None:
        try:
            return do()
        except (NotKeptError, RotatedError):
            return None

    with ThreadPoolExecutor(10) as pool:
        return [made for made in pool.map(attempt, range(10)) if made is not None]


def create(store: Store) -> KeyRecord | None:
    credential = store.new_credential("hw")
    return store.keys.create("default", credential, name="A", scope="read", actor="local", expires_at=None)


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
    assert first is not None
    assert len(at_once(lambda: rotate(store, first.id, timedelta(seconds=grace)))) == 1
    assert unrevoked(store) == left


def test_a_key_in_its_grace_is_not_rotated_again(store: Store) -> None:
    first = create(store)
    assert first is not None
    second = rotate(store, first.id, timedelta(hours=1))
    with pytest.raises(RotatedError, match=second.id):
        rotate(store, first.id, timedelta(hours=1))
    assert rotate(store, second.id, timedelta()).expires_at is None
