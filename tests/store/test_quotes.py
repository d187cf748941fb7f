"""Quotes in the store: kept apart from builds, accepted once whoever is faster, and copied and exported with them."""

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, datetime
from io import BytesIO
from pathlib import Path
from typing import Any
from zipfile import ZipFile

import pytest
from sqlalchemy import text

from hitchworth.model.caller import DEFAULT_WORKSPACE
from hitchworth.model.kept import Revision
from hitchworth.model.quote_document import QuoteDocument
from hitchworth.operations.documents import read_kept
from hitchworth.operations.workspaces import write_export
from hitchworth.store import Store, open_store
from hitchworth.store.builds import BuildQuery
from hitchworth.store.copies import copy
from hitchworth.store.errors import DamagedError, NotKeptError, StaleError
from store_changes import behind_its_back, change


def test_the_id_of_one_kind_opens_nothing_of_the_other(store: Store) -> None:
    quote = store.quotes.create("default", change(b"1", name="Q"))
    build = store.builds.create("default", change(b"1", name="B"))
    accesses: tuple[tuple[Callable[[], object], str], ...] = (
        (lambda: store.builds.read("default", quote.build), "build"),
        (lambda: store.quotes.read("default", build.build), "quote"),
        (lambda: store.builds.present("default", quote.build), "build"),
        (lambda: store.quotes.verify("default", build.build), "quote"),
        (lambda: store.quotes.revisions("default", build.build, None, 5), "quote"),
        (lambda: tuple(store.builds.history("default", quote.build)), "build"),
    )
    for access, kind in accesses:
        with pytest.raises(NotKeptError, match=f"there is no such {kind}"):
            access()
    with pytest.raises(NotKeptError, match="there is no such build"):
        share(store, quote)
    share(store, build)
    assert [each.name for each in store.quotes.list("default", BuildQuery())] == ["Q"]
    assert store.builds.ids("default") == (build.build,)


@pytest.mark.parametrize("altered", [{"body": b"{"}, {"at": "yesterday"}])
def test_a_damaged_revision_is_named_as_one_of_a_quote(store: Store, altered: dict[str, Any]) -> None:
    quote = store.quotes.create("default", change(b"1")).build
    with behind_its_back(store) as connection:
        columns = ", ".join(f"{name} = :{name}" for name in altered)
        connection.execute(text(f"UPDATE revisions SET {columns}"), altered)
    with pytest.raises(DamagedError, match=f"^revision 1 of the quote {quote} does not fit"):
        read_kept(store.quotes.read("default", quote)[1], QuoteDocument)


def share(store: Store, kept: Revision) -> None:
    until = datetime(2027, 1, 31, tzinfo=UTC)
    link = store.new_credential("hs")
    store.shares.create("default", kept.build, link, name="Agent", for_policy=None, actor="Anna", expires_at=until)


def test_a_quote_and_its_build_are_kept_together_or_not_at_all(store: Store) -> None:
    first = store.quotes.create("default", change(b"1"))
    second = store.quotes.change("default", first, change(b"2"))
    with pytest.raises(StaleError, match="the quote is at revision 2"):
        store.quotes.accept("default", first, change(b"3"), change(b"4"))
    assert store.builds.ids("default") == ()
    made = store.quotes.accept("default", second, change(b"3"), change(b"4"))
    assert store.quotes.entry("default", first.build).made_build == made.build
    assert store.builds.entry("default", made.build).quote == first.build
    moved = store.builds.change("default", made, change(b"5"))
    present = store.quotes.present("default", first.build)
    with pytest.raises(StaleError, match="the build is at revision 2"):
        store.quotes.change_with_build("default", present, change(b"6"), made, change(b"7"))
    assert store.quotes.present("default", first.build) == present
    after = store.quotes.change_with_build("default", present, change(b"6"), moved, change(b"7"))
    assert (after.revision, store.builds.present("default", made.build).revision) == (4, 3)


def test_of_many_who_accept_at_once_one_does(store: Store) -> None:
    seen = store.quotes.create("default", change(b"1"))

    def accept(_: int) -> Revision | None:
        try:
            return store.quotes.accept("default", seen, change(b"2"), change(b"3"))
        except StaleError:
            return None

    with ThreadPoolExecutor(5) as callers:
        made = [each for each in callers.map(accept, range(5)) if each is not None]
    assert len(made) == 1
    assert store.builds.ids("default") == (made[0].build,)


def test_copies_and_exports_have_the_quotes(store: Store, where: str, tmp_path: Path) -> None:
    quote = store.quotes.create("default", change(b"1"))
    build = store.quotes.accept("default", quote, change(b"2"), change(b"3"))
    target = str(tmp_path / "copy.db")
    assert copy(where, target).unfit == ()
    copied = open_store(target)
    assert copied.quotes.entry("default", quote.build).made_build == build.build
    assert copied.quotes.verify("default", quote.build).first_unfit is None
    copied.close()
    archive = BytesIO()
    write_export(store, DEFAULT_WORKSPACE, archive)
    names = set(ZipFile(archive).namelist())
    assert {f"quotes/{quote.build}/2.json", f"builds/{build.build}/1.json"} <= names
    assert f"builds/{quote.build}/1.json" not in names
    held = store.workspaces.read("default")
    assert (held.builds, held.quotes, held.revisions) == (1, 1, 3)
