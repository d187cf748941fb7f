"""A writer of a build, in a module of its own, so that another process can import it."""

from hitchworth.store import open_store
from hitchworth.store.errors import StaleError
from store_changes import change


def add_lines(where: str, build: str, writer: int, changes: int) -> None:
    """Add lines to the document of a build, each to what it is by then; again, where somebody else was faster."""
    store, number = open_store(where), 0
    while number < changes:
        _, kept = store.builds.read("default", build)
        try:
            store.builds.change("default", kept.revision, change(kept.body + b"%d-%d\n" % (writer, number)))
            number += 1
        except StaleError:
            continue
    store.close()
