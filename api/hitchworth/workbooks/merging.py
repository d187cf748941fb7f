"""Add imported entries to a document: only what is new, and what looks like something that is there already is told."""

from collections.abc import Iterator, Sequence
from datetime import timedelta
from typing import Literal, TypeAlias, TypeVar

from msgspec import Struct
from msgspec.structs import replace

from hitchworth.model.build import Component, Labor
from hitchworth.model.document import Document
from hitchworth.model.receipt_import import ReceiptImport

Entry = TypeVar("Entry", Component, Labor)

Likeness: TypeAlias = Literal["other_figures", "same_amount", "same_words"]
"""How a new entry is like one that is there.

other_figures: it has the same id and other figures; what is there stays as it is
same_amount: it has the same amount within three days, in other words
same_words: it has the same day and description, and another amount
"""

_NEAR = timedelta(days=3)


class Similar(Struct, frozen=True):
    """An imported entry that is like one of the document."""

    id: str
    other: str
    likeness: Likeness


class Addition(Struct, frozen=True):
    """A document with imported entries, and what was added to it."""

    document: Document
    added: tuple[str, ...]
    seen: tuple[str, ...]
    """Ids of imported entries that the document had already."""
    similar: tuple[Similar, ...]


def with_imported(document: Document, imported: ReceiptImport) -> Addition:
    """Return the document with the imported entries that it does not have yet, found by their ids."""
    build = document.build
    components = _new(build.components, imported.components)
    labor = _new(build.labor, imported.labor)
    added = (*(part.id for part in components), *(entry.id for entry in labor))
    ids = (*(part.id for part in imported.components), *(entry.id for entry in imported.labor))
    grown = replace(build, components=(*build.components, *components), labor=(*build.labor, *labor))
    return Addition(
        document=replace(document, build=grown),
        added=added,
        seen=tuple(name for name in ids if name not in set(added)),
        similar=tuple(_similar(build.components, imported.components)),
    )


def _new(there: Sequence[Entry], imported: Sequence[Entry]) -> tuple[Entry, ...]:
    ids = {entry.id for entry in there}
    return tuple(entry for entry in imported if entry.id not in ids)


def _similar(there: Sequence[Component], imported: Sequence[Component]) -> Iterator[Similar]:
    """Yield the imported components that are like one of those there, each once."""
    by_id = {part.id: part for part in there}
    incoming = {part.id for part in imported}
    others = [part for part in there if part.id not in incoming]
    for part in imported:
        same = by_id.get(part.id)
        if same is not None:
            if _figures(same) != _figures(part):
                yield Similar(part.id, same.id, "other_figures")
            continue
        near = [other for other in others if abs(other.acquired_on - part.acquired_on) <= _NEAR]
        likeness = ((other, found) for other in near if (found := _likeness(part, other)) is not None)
        other, found = next(likeness, (None, None))
        if other is not None and found is not None:
            yield Similar(part.id, other.id, found)


def _figures(part: Component) -> tuple[object, ...]:
    return part.quantity, part.unit_cost, part.tax, part.freight, part.acquired_on


def _likeness(part: Component, other: Component) -> Likeness | None:
    has_same_amount = part.quantity * part.unit_cost == other.quantity * other.unit_cost
    has_same_words = part.description.casefold() == other.description.casefold()
    if has_same_amount and not has_same_words:
        return "same_amount"
    is_same_day = part.acquired_on == other.acquired_on
    return "same_words" if is_same_day and has_same_words and not has_same_amount else None
