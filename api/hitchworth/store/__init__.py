"""Kept builds and quotes, in SQLite or PostgreSQL: records in, records out, and nothing of the database outside."""

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from hitchworth.store.store import Store, open_store

__all__ = ["Store", "open_store"]


def __getattr__(name: str) -> Any:
    """Return the store when it is asked for: it draws in the database library, and most commands keep nothing."""
    if name in __all__:
        return getattr(import_module("hitchworth.store.store"), name)
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
