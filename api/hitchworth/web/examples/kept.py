"""The store of the examples: one build with two revisions, the same each time."""

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from functools import cache
from importlib.resources import files
from itertools import count

from hitchworth.model.caller import LOCAL_CALLER
from hitchworth.operations.builds import create_build, patch_build
from hitchworth.operations.changes import Alteration, Creation
from hitchworth.store import Store, open_store
from hitchworth.store.database import IN_MEMORY

EXAMPLE_BUILD = "5f0c9f2e4a1d4e7b"
_START = datetime(2026, 11, 1, 9, 30, tzinfo=UTC)


def example_store() -> Store:
    """Return a new store in memory with the example build."""
    minutes, ids = count(), _ids()
    store = open_store(IN_MEMORY, clock=lambda: _START + timedelta(minutes=next(minutes)), new_id=lambda: next(ids))
    document = files("hitchworth.web.examples").joinpath("kept-build.json").read_bytes()
    kept = create_build(store, LOCAL_CALLER, document, Creation(message="What is built so far"))
    patch = b'{"build": {"vin": "1HTCH0000AB000017"}}'
    how = Alteration(if_match=f'"{kept.digest}"', message="The number on the new plate")
    patch_build(store, LOCAL_CALLER, EXAMPLE_BUILD, patch, how)
    return store


@cache
def example_tag() -> str:
    """Return the ETag of the present revision of the example build."""
    return f'"{example_store().builds.present(LOCAL_CALLER.workspace, EXAMPLE_BUILD).digest}"'


def _ids() -> Iterator[str]:
    yield EXAMPLE_BUILD
    yield from (f"{number:016x}" for number in count(1))
