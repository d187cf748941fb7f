"""What the tests of the store keep, and how they alter it behind its back."""

from contextlib import AbstractContextManager

from sqlalchemy import Connection

from hitchworth.store import Store
from hitchworth.store.builds import Change


def change(body: bytes = b"{}", **fields: object) -> Change:
    """A change with nothing special about it but what is given."""
    usual: dict[str, object] = {"action": "changed", "actor": "anna", "message": None, "format": 1, "name": "Camper"}
    return Change(**{**usual, "jurisdiction": None, "registered_class": None, "body": body, **fields})  # type: ignore[arg-type]


def behind_its_back(store: Store) -> AbstractContextManager[Connection]:
    """A transaction on the database of a store."""
    return store._database.writing()
