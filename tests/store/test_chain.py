"""The chain of digests: computed as it is documented, and broken by any alteration behind the program's back."""

import json
from hashlib import sha256
from pathlib import Path

import pytest
from sqlalchemy import Connection, delete, insert, select, text, update

from hitchworth.model.kept import BuildEntry, Revision
from hitchworth.store import Store, open_store, tables
from hitchworth.store.builds import Builds
from hitchworth.store.chain import chained, fitting
from hitchworth.store.errors import DamagedError, ReadOnlyError
from store_changes import behind_its_back, change

REVISIONS = tables.revisions


def test_a_digest_is_what_its_description_says(store: Store) -> None:
    """Worked with the standard library from the description in `chained` alone."""
    first = store.builds.create("default", change(b'{"a":1}', action="created", message='Größe "x"', actor="anna"))
    second = store.builds.change("default", first, change(b'{"a":2}'))
    assert first.digest == by_hand("", first, b'{"a":1}')
    assert second.digest == by_hand(first.digest, second, b'{"a":2}')


def by_hand(previous: str, revision: Revision, body: bytes) -> str:
    at = f"{revision.at:%Y-%m-%dT%H:%M:%S.%fZ}"
    told = (
        f'{{"action":"{revision.action}","actor":"{revision.actor}","at":"{at}","build":"{revision.build}","format":1,'
        f'"message":{json.dumps(revision.message, ensure_ascii=False)},"revision":{revision.revision}}}'
    )
    return sha256(previous.encode() + told.encode() + body).hexdigest()


@pytest.fixture
def seen(store: Store) -> Revision:
    """The fourth revision of a build."""
    seen = store.builds.create("default", change(b"1", action="created"))
    for body in (b"2", b"3", b"4"):
        seen = store.builds.change("default", seen, change(body, message="why"))
    return seen


def fitting_revisions(store: Store, build: str) -> list[int]:
    return [kept.revision.revision for kept in fitting(store.builds.history("default", build))]


def test_an_unaltered_history_fits(store: Store, seen: Revision) -> None:
    assert fitting_revisions(store, seen.build) == [1, 2, 3, 4]


@pytest.mark.parametrize(
    "altered",
    [
        {"body": b"9"},
        {"body": b""},
        {"actor": "bert"},
        {"message": None},
        {"action": "restored"},
        {"format": 2},
        {"at": "2020-01-01T00:00:00.000000Z"},
        {"digest": "0" * 64},
        {"previous": "0" * 64},
    ],
    ids=str,
)
def test_an_altered_revision_does_not_fit(store: Store, seen: Revision, altered: dict[str, object]) -> None:
    with behind_its_back(store) as connection:
        values = {name: value for name, value in altered.items() if name != "at"}
        if "at" in altered:
            values["at"] = seen.at.replace(year=2020)
        connection.execute(update(REVISIONS).where(REVISIONS.c.revision == 3).values(**values))
    assert fitting_revisions(store, seen.build) == [1, 2]


def test_a_missing_revision_is_noticed(store: Store, seen: Revision) -> None:
    with behind_its_back(store) as connection:
        connection.execute(delete(REVISIONS).where(REVISIONS.c.revision == 2))
    assert fitting_revisions(store, seen.build) == [1]


def test_a_revision_that_was_slipped_in_is_noticed(store: Store, seen: Revision) -> None:
    """It fits the first, and its own digest is right; but the next does not follow from it."""
    with behind_its_back(store) as connection:
        copied = connection.execute(select(REVISIONS).where(REVISIONS.c.revision == 2)).one()._mapping
        connection.execute(delete(REVISIONS).where(REVISIONS.c.revision == 2))
        forged = chained(Revision(**{name: copied[name] for name in Revision.__struct_fields__}), b"forged")
        connection.execute(insert(REVISIONS).values(**dict(copied) | {"digest": forged.digest, "body": b"forged"}))
    assert fitting_revisions(store, seen.build) == [1, 2]


@pytest.mark.parametrize(
    "altered", ["at = 'yesterday'", "body = CAST('{}' AS TEXT)", "body = x'7b'", "action = 'wiped'"], ids=str
)
def test_a_revision_that_cannot_be_read_does_not_fit(tmp_path: Path, altered: str) -> None:
    """Each as somebody can write it with the sqlite3 program."""
    store = open_store(str(tmp_path / "builds.db"))
    first = store.builds.create("default", change(b"1", action="created"))
    for _ in range(2):
        first = store.builds.change("default", first, change(b"2"))
    with behind_its_back(store) as connection:
        connection.execute(text(f"UPDATE revisions SET {altered} WHERE revision = 2"))
    chain = store.builds.verify("default", first.build)
    assert (chain.revisions, chain.first_unfit) == (1, 2)
    if altered != "body = x'7b'":
        with pytest.raises(DamagedError, match=r"revision 2 .* does not fit"):
            store.builds.read("default", first.build, 2)
    store.close()


def test_verifying_sees_one_state_while_others_add(
    store: Store, seen: Revision, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A revision that is added after the build was looked up, and before its history is, belongs to a later state."""
    looked_up = Builds._entry

    def then_added(self: Builds, connection: Connection, workspace: str, build: str) -> BuildEntry:
        entry = looked_up(self, connection, workspace, build)
        monkeypatch.undo()
        store.builds.change("default", seen, change(b"5"))
        return entry

    monkeypatch.setattr(Builds, "_entry", then_added)
    assert store.builds.verify("default", seen.build).first_unfit is None
    assert store.builds.verify("default", seen.build).revisions == 5


def test_a_snapshot_stays_as_it_is(store: Store, seen: Revision) -> None:
    with store.snapshot() as state:
        before = state.workspaces.read("default")
        store.builds.change("default", seen, change(b"5"))
        assert state.workspaces.read("default") == before
        assert len(list(state.builds.history("default", seen.build))) == before.revisions == 4
        with pytest.raises(ReadOnlyError):
            state.workspaces.create("shop")
