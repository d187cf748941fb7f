"""The lists of a kept document whose items have addresses: an item is added, read, changed and removed by its own.

Its faults have pointers into its own body.
"""

from collections.abc import Callable
from typing import Any, TypeVar

import msgspec
from msgspec import Struct

from hitchworth import validation
from hitchworth.model.caller import Caller
from hitchworth.model.evidence import NUMBER
from hitchworth.model.kept import Revision
from hitchworth.operations.changes import (
    BUILD,
    Addition,
    Alteration,
    Keeping,
    change,
    present_body,
    require_same,
    seen_from,
)
from hitchworth.store import Store
from hitchworth.store.errors import NotKeptError

T = TypeVar("T")


def _always(_value: Any) -> None:
    """Allow it."""


class Parts(Struct, frozen=True):
    """A list of a document whose items have addresses."""

    name: str
    singular: str
    key: str | None
    """The field by which an item is addressed. None: by its place in the list."""
    of_build: bool = False
    keeping: Keeping[Any] = BUILD
    require_addable: Callable[[Any], None] = _always
    """Raises for the JSON of a document to which no item can be added."""
    require_changeable: Callable[[Any], None] = _always
    """Raises for the JSON of an item that can be neither changed nor removed."""

    def of(self, document: Any) -> list[Any]:
        """Return the list in the JSON of a document."""
        holder = document["build"] if self.of_build else document
        items: list[Any] = holder.setdefault(self.name, [])
        return items

    def place(self, items: list[Any], wanted: str | int) -> int:
        """Return the place of an item. Raises NotKeptError."""
        keys = list(range(len(items))) if self.key is None else [item[self.key] for item in items]
        if wanted not in keys:
            raise NotKeptError(f"The {self.keeping.kind} has no {self.singular} {wanted!r}.")
        return keys.index(wanted)

    def pointer(self, place: int) -> str:
        """Return the JSON Pointer to an item in the document."""
        return f"{'/build' if self.of_build else ''}/{self.name}/{place}"


EVIDENCE = Parts("evidence", "evidence", "id")


def get_part(parts: Parts, store: Store, caller: Caller, kept: str, *, wanted: str | int, kind: type[T]) -> T:
    """Return an item. Raises NotKeptError."""
    _, present = parts.keeping.records(store).read(caller.workspace, kept)
    items = parts.of(validation.read_json(present_body(present, parts.keeping.document)))
    return msgspec.convert(items[parts.place(items, wanted)], kind)


def add_part(parts: Parts, store: Store, caller: Caller, kept: str, *, request: bytes, how: Addition) -> Revision:
    """Add an item at the end of its list."""
    item = validation.read_json(request)

    def append(document: Any, items: list[Any]) -> int:
        parts.require_addable(document)
        items.append(item)
        return len(items) - 1

    return _change_list(parts, store, caller, kept, how, alter=append, request=f"{parts.name}\n".encode() + request)


def replace_part(
    parts: Parts, store: Store, caller: Caller, kept: str, *, wanted: str | int, request: bytes, how: Alteration
) -> Revision:
    """Put the item of the body in the place of one. Raises NotKeptError, and InvalidInputError for another key."""
    item = validation.read_json(request)
    if parts.key is not None:
        require_same(parts.key, str(wanted), item)
    return change_part(parts, store, caller, kept, wanted=wanted, change_of=lambda _present: item, how=how)


def change_part(
    parts: Parts,
    store: Store,
    caller: Caller,
    kept: str,
    *,
    wanted: str | int,
    change_of: Callable[[Any], Any],
    how: Alteration,
) -> Revision:
    """Put what is made of an item in its place. Raises NotKeptError."""

    def substitute(_document: Any, items: list[Any]) -> int:
        place = parts.place(items, wanted)
        parts.require_changeable(items[place])
        items[place] = change_of(items[place])
        return place

    return _change_list(parts, store, caller, kept, how, alter=substitute)


def remove_part(
    parts: Parts, store: Store, caller: Caller, kept: str, *, wanted: str | int, how: Alteration
) -> Revision:
    """Remove an item. Raises NotKeptError."""

    def edit(body: bytes) -> bytes:
        document = validation.read_json(body)
        items = parts.of(document)
        place = parts.place(items, wanted)
        parts.require_changeable(items[place])
        del items[place]
        if parts.of_build:
            _untie(document, wanted)
        return validation.write_json(document)

    return change(store, caller, kept, how, edit, keeping=parts.keeping)


def _change_list(
    parts: Parts,
    store: Store,
    caller: Caller,
    kept: str,
    how: Addition | Alteration,
    *,
    alter: Callable[[Any, list[Any]], int],
    request: bytes = b"",
) -> Revision:
    """Change one item. `alter` takes the document and the list in it, and returns the place of the item."""
    place = 0

    def edit(body: bytes) -> bytes:
        nonlocal place
        document = validation.read_json(body)
        place = alter(document, parts.of(document))
        return validation.write_json(document)

    with seen_from(lambda: parts.pointer(place), parts.keeping.kind):
        return change(store, caller, kept, how, edit, request=request, keeping=parts.keeping)


def _untie(document: Any, subject: str | int) -> None:
    """Have no evidence say that it is of what is no longer there. The evidence stays."""
    gone = (subject, f"{NUMBER}{subject}")
    for item in EVIDENCE.of(document):
        item["subjects"] = [each for each in item.get("subjects", ()) if each not in gone]
