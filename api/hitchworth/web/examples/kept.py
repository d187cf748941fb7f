"""The store of the examples, the same each time: a build with two revisions, and one in the trash."""

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from functools import cache
from importlib.resources import files
from itertools import count

from hitchworth.model.caller import LOCAL_CALLER
from hitchworth.model.kept import KeptBuild
from hitchworth.operations.builds import create_build, patch_build, trash_build
from hitchworth.operations.changes import Alteration, Creation
from hitchworth.store import Store, open_store
from hitchworth.store.database import IN_MEMORY

_START = datetime(2026, 11, 1, 9, 30, tzinfo=UTC)
_IDS = ("5f0c9f2e4a1d4e7b", "b2d85a1790c34f6e")


def example_store() -> Store:
    """Return a new store in memory with the example builds."""
    minutes, ids = count(), _ids()
    store = open_store(IN_MEMORY, clock=lambda: _START + timedelta(minutes=next(minutes)), new_id=lambda: next(ids))
    document = files("hitchworth.web.examples").joinpath("kept-build.json").read_bytes()
    kept = create_build(store, LOCAL_CALLER, document, Creation(message="What is built so far"))
    patch = b'{"build": {"vin": "1HTCH0000AB000017"}}'
    patch_build(store, LOCAL_CALLER, kept.id, patch, _change_of(kept, "The number on the new plate"))
    second = create_build(store, LOCAL_CALLER, b'{"name": "Boat trailer", "currency": "USD"}', Creation())
    trash_build(store, LOCAL_CALLER, second.id, _change_of(second, "Sold"))
    return store


@cache
def example_tag(build: str) -> str:
    """Return the ETag of the present revision of an example build."""
    return f'"{example_store().builds.present(LOCAL_CALLER.workspace, build).digest}"'


def _change_of(kept: KeptBuild, message: str) -> Alteration:
    return Alteration(if_match=f'"{kept.digest}"', message=message)


def _ids() -> Iterator[str]:
    yield from _IDS
    yield from (f"{number:016x}" for number in count(1))
